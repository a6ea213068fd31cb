"""A server of our own with the layout of the public ones, and every fault that one can have.

Run in a process of its own: ``python server.py FOLDER``, with a file of key and certificate after
it for https; it prints its port. What a request meets
is said by the file ``faults.json`` in the folder: a list of ``{"path", "fault", "times",
"at", "after"}``, where a fault hits the next ``times`` answers whose address contains ``path``
(-1: all), once ``after`` of them passed. Every
request is written into ``asked.txt``, its other heads into ``heads.txt``. If there is a file
``cuts``, a question with a box gets the part of the grid in the box, as services for maps give it.
"""

from __future__ import annotations

import json
import re
import ssl
import sys
import threading
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from urllib.parse import parse_qs, unquote, urlsplit

FOLDER = Path(sys.argv[1]) if len(sys.argv) > 1 else Path()
LOCK = threading.Lock()
KINDS = {".tif": "image/tiff", ".jpg": "image/jpeg", ".json": "application/json"}


def fault_for(path: str) -> dict | None:
    """The fault that an answer meets, counted down."""
    with LOCK:
        file = FOLDER / "faults.json"
        faults = json.loads(file.read_text()) if file.exists() else []
        for one in faults:
            if one["path"] in path and not path.startswith("/moved") and one["times"] != 0:
                is_hit = one.get("after", 0) <= 0
                one["times" if is_hit else "after"] -= 1
                hit = dict(one) if is_hit else None
                file.write_text(json.dumps(faults))
                return hit
    return None


def part_in_box(path: Path, asked: dict[str, list[str]]) -> bytes:
    """The part of a grid that a WCS 1.0.0 (BBOX), WCS 2.0.1 (subset) or an image service gives."""
    import rasterio
    from rasterio.enums import Resampling
    from rasterio.io import MemoryFile
    from rasterio.vrt import WarpedVRT
    from rasterio.windows import from_bounds

    if "subset" in asked:
        sides = [re.findall(r"-?[\d.]+", one) for one in asked["subset"]]
        (west, east), (south, north) = (map(float, one) for one in sides)
    else:
        box = asked.get("BBOX") or asked["bbox"]
        west, south, east, north = map(float, box[0].split(","))
    with rasterio.open(path) as whole:
        system = f"EPSG:{asked['imageSR'][0]}" if "imageSR" in asked else whole.crs
        with WarpedVRT(whole, crs=system, resampling=Resampling.bilinear) as grid:
            window = from_bounds(west, south, east, north, grid.transform)
            size = asked.get("size", [f"{round(window.width)},{round(window.height)}"])[0]
            cols, rows = map(int, size.split(","))
            values = grid.read(
                1, window=window, out_shape=(rows, cols), resampling=Resampling.bilinear
            )
            profile = {"crs": grid.crs, "nodata": grid.nodata, "dtype": values.dtype}
    transform = rasterio.transform.from_bounds(west, south, east, north, cols, rows)
    with MemoryFile() as memory:
        with memory.open(
            driver="GTiff", width=cols, height=rows, count=1, transform=transform, **profile
        ) as out:
            out.write(values, 1)
        return bytes(memory.getbuffer())


class Handler(BaseHTTPRequestHandler):
    """Answers with files of the folder, whole or in parts, and with lists that name them."""

    protocol_version = "HTTP/1.1"

    def do_GET(self):
        with LOCK, (FOLDER / "asked.txt").open("a") as asked:
            asked.write(f"{self.path} {self.headers.get('Range', '')}\n")
            with (FOLDER / "heads.txt").open("a") as heads:
                heads.write(json.dumps(dict(self.headers)) + "\n")
        hit = fault_for(self.path)
        self.fault = hit["fault"] if hit else ""
        self.at = hit.get("at", 0) if hit else 0
        if self.fault.isdigit():
            self.answer(int(self.fault), b"busy or gone", {"Retry-After": "7"})
        elif self.fault == "redirect":
            self.answer(302, b"", {"Location": f"/moved{self.path}"})
        elif self.fault == "loop":
            self.answer(302, b"", {"Location": self.path})
        elif self.fault == "away":
            self.answer(302, b"", {"Location": "file:///etc/hostname"})
        elif self.fault == "unsafe":
            self.answer(302, b"", {"Location": f"http://{self.headers['Host']}{self.path}"})
        elif self.fault == "sign in":
            page = b"<html><body>Welcome to our network. Please sign in.</body></html>"
            self.answer(200, page, {"Content-Type": "text/html"}, status_for_part=False)
        elif self.fault == "stall":
            self.connection.settimeout(10)
            self.connection.recv(1)
            self.close_connection = True
        else:
            self.file()

    def file(self):
        """Answer with a file, or with what a service would make of the question."""
        parts = urlsplit(self.path)
        path = unquote(parts.path).removeprefix("/moved").lstrip("/")
        if parts.query and "prefix" in parse_qs(parts.query):
            self.list_keys(parse_qs(parts.query)["prefix"][0])
            return
        file = FOLDER / path
        if not file.is_file():
            self.answer(404, b"<Error><Code>NoSuchKey</Code></Error>", {})
            return
        data = file.read_bytes()
        if file.suffix != ".tif":
            data = data.replace(b"SERVER", self.headers["Host"].encode())
        kind = KINDS.get(file.suffix, "text/xml")
        asked = parse_qs(parts.query)
        has_box = {"subset", "BBOX", "bbox"} & asked.keys() and data[:2] in (b"II", b"MM")
        if has_box and (FOLDER / "cuts").exists():
            data = part_in_box(file, asked)
        tag = f'"{len(data)}-{file.stat().st_mtime_ns}"'
        self.answer(200, data, {"Content-Type": kind, "ETag": tag}, status_for_part=True)

    def list_keys(self, prefix: str):
        """List a bucket's files of a prefix as S3 does."""
        found = sorted(
            str(one.relative_to(FOLDER)) for one in FOLDER.rglob("*.tif") if one.is_file()
        )
        keys = "".join(
            f"<Contents><Key>{key}</Key></Contents>" for key in found if key.startswith(prefix)
        )
        space = "http://s3.amazonaws.com/doc/2006-03-01/"
        text = f'<ListBucketResult xmlns="{space}">{keys}</ListBucketResult>'
        self.answer(200, text.encode(), {"Content-Type": "application/xml"})

    def answer(self, status: int, data: bytes, heads: dict, *, status_for_part: bool = False):
        """Send an answer, damaged on its way if a fault says so."""
        found = re.match(r"bytes=(\d+)-(\d+)$", self.headers.get("Range", ""))
        if status_for_part and found and self.fault != "no parts":
            first, last = int(found[1]), min(int(found[2]), len(data) - 1)
            heads["Content-Range"] = f"bytes {first}-{last}/{len(data)}"
            status, data = 206, data[first : last + 1]
        if self.fault == "corrupt" and data:
            at = self.at % len(data)
            data = data[:at] + bytes([data[at] ^ 0x5A]) + data[at + 1 :]
        self.send_response(status)
        for name, value in heads.items():
            self.send_header(name, value)
        self.send_header("Content-Length", str(len(data)))
        self.end_headers()
        if self.fault in ("cut", "hang up") and data:
            data = data[: self.at % len(data)]
            self.close_connection = True
        self.wfile.write(data)
        self.wfile.flush()
        if self.fault in ("cut", "hang up"):
            self.connection.close()

    def log_message(self, *words):
        """Say nothing."""

    def handle_one_request(self):
        try:
            super().handle_one_request()
        except OSError:
            self.close_connection = True


class Server(ThreadingHTTPServer):
    """Takes many connections and says nothing of broken ones."""

    daemon_threads = True

    def handle_error(self, request, client_address):
        """A client that hung up is no news."""


if __name__ == "__main__":
    server = Server(("127.0.0.1", 0), Handler)
    if len(sys.argv) > 2:
        context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
        context.load_cert_chain(sys.argv[2])
        server.socket = context.wrap_socket(
            server.socket, server_side=True, do_handshake_on_connect=False
        )
    sys.stdout.write(f"{server.server_address[1]}\n")
    sys.stdout.flush()
    server.serve_forever()
