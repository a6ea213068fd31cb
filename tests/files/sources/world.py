"""A small public world: grids and pictures with the names and layouts of the public services.

The heights and classes are formulas of the place, so that a right grid can be told from a wrong
one wherever it came from. Names and layouts: USGS staged products, Copernicus and WorldCover
buckets, the national map's tiles (row before column), as their publishers document them.
"""

from __future__ import annotations

import csv
import json
import subprocess
import sys
from dataclasses import fields, replace
from enum import Enum
from pathlib import Path

import mercantile
import numpy as np
import rasterio
from affine import Affine
from PIL import Image
from pyproj import Transformer

from funnelfinder.files.sources.table import Source, shipped_sources
from tests import scenes

SERVER = Path(__file__).with_name("server.py")


def place_and_degrees():
    """The scene's property and the degrees of its middle."""
    place, _ = scenes.scene(width=400.0, depth=300.0)
    to_degrees = Transformer.from_crs(place.epsg, 4326, always_xy=True)
    middle = place.boundary.centroid
    return place, to_degrees.transform(middle.x, middle.y)


def heights(lon, lat):
    """Height of the ground [m] at degrees: smooth, and nowhere level."""
    return 300.0 + 2000.0 * (lon + 82.15) + 1500.0 * (lat - 38.84)


def classes(x):
    """NLCD woods in the west and crops in the east of Albers x [m]."""
    return np.where(x % 400.0 < 200.0, 41, 82).astype(np.uint8)


def grid(path: Path, values, transform, crs, *, nodata=None, block=128) -> Path:
    """Write a cloud-optimized GeoTIFF."""
    path.parent.mkdir(parents=True, exist_ok=True)
    with rasterio.open(
        path,
        "w",
        driver="COG",
        height=values.shape[0],
        width=values.shape[1],
        count=1,
        dtype=values.dtype,
        crs=crs,
        transform=transform,
        nodata=nodata,
        compress="deflate",
        blocksize=block,
    ) as out:
        out.write(values, 1)
    return path


def degree_grid(path: Path, west, north, cell, n, *, lift=0.0, noise=0.0, crs=4269, **more):
    """Write heights on cells in degrees; noise [m] keeps them from packing well."""
    lon = west + (np.arange(n) + 0.5) * cell
    lat = north - (np.arange(n) + 0.5) * cell
    values = heights(*np.meshgrid(lon, lat)).astype(np.float32) + np.float32(lift)
    values += np.random.default_rng(3).uniform(-noise, noise, values.shape).astype(np.float32)
    return grid(path, values, Affine(cell, 0, west, 0, -cell, north), f"EPSG:{crs}", **more)


def _cell(value: object) -> str:
    """A value as it stands in the table of sources."""
    if value is None:
        return ""
    if isinstance(value, tuple):
        return " ".join(str(one) for one in value)
    return str(value.value if isinstance(value, Enum) else value)


class World:
    """A folder of grids, its server, and the table of sources that leads to it.

    With a file of key and certificate the server speaks https.
    """

    def __init__(self, folder: Path, proof: Path | None = None) -> None:
        self.folder = folder
        self.scheme = "http" if proof is None else "https"
        self.place, (self.lon, self.lat) = place_and_degrees()
        self._server = subprocess.Popen(
            [sys.executable, str(SERVER), str(folder), *([str(proof)] if proof else [])],
            stdout=subprocess.PIPE,
            text=True,
        )
        self.host = f"127.0.0.1:{self._server.stdout.readline().strip()}"

    def close(self) -> None:
        """End the server."""
        self._server.terminate()
        self._server.wait()
        self._server.stdout.close()

    def source(self, name: str, **changes) -> Source:
        """A shipped source whose address leads here."""
        one = next(one for one in shipped_sources() if one.name == name)
        return replace(one, address=self.here(one.address), asks=self.here(one.asks), **changes)

    def here(self, address: str) -> str:
        """An address on this server in place of the public one."""
        _, sign, rest = address.partition("://")
        if not sign:
            return address
        return f"{self.scheme}://{self.host}/{rest.partition('/')[2]}"

    def table(self, path: Path) -> Path:
        """A table of all shipped sources whose addresses lead here."""
        sources = [self.source(one.name) for one in shipped_sources()]
        columns = [one.name for one in fields(Source)]
        with path.open("w", encoding="utf-8", newline="") as file:
            rows = csv.writer(file)
            rows.writerow([name.removesuffix("_deg") for name in columns])
            rows.writerows([_cell(getattr(one, name)) for name in columns] for one in sources)
        return path

    def faults(self, *faults: dict) -> None:
        """Say what goes wrong from now on."""
        (self.folder / "faults.json").write_text(
            json.dumps([{"times": -1, **one} for one in faults])
        )

    def asked(self) -> list[str]:
        """What was asked so far."""
        file = self.folder / "asked.txt"
        return file.read_text().splitlines() if file.exists() else []

    def heads(self) -> list[dict[str, str]]:
        """The heads of what was asked so far."""
        lines = (self.folder / "heads.txt").read_text().splitlines()
        return [json.loads(line) for line in lines]

    def cut_boxes(self) -> None:
        """From now on a question with a box gets just that box."""
        (self.folder / "cuts").touch()

    def third(self, **more) -> Path:
        """The 1/3 arc-second tile of the place, cut small: a strip of it around the place."""
        name = f"n{int(np.ceil(self.lat)):02d}w{int(np.ceil(-self.lon)):03d}"
        path = self.folder / f"StagedProducts/Elevation/13/TIFF/current/{name}/USGS_13_{name}.tif"
        cell = 1 / 10800
        return degree_grid(
            path, self.lon - 150 * cell, self.lat + 150 * cell, cell, 300,
            nodata=-999999, **more,
        )  # fmt: skip

    def surface(self) -> Path:
        """The 30 m surface heights of the world: treetops 12 m above the ground."""
        lat, lon = int(np.floor(self.lat)), int(np.floor(self.lon))
        stem = f"Copernicus_DSM_COG_10_N{lat:02d}_00_W{-lon:03d}_00_DEM"
        cell = 1 / 3600
        return degree_grid(
            self.folder / stem / f"{stem}.tif",
            self.lon - 60 * cell, self.lat + 60 * cell, cell, 120, lift=12.0, crs=4326,
        )  # fmt: skip

    def albers(self) -> tuple[float, float]:
        """The place in national Albers [m]."""
        return Transformer.from_crs(4326, 5070, always_xy=True).transform(self.lon, self.lat)

    def cover(self, path: str = "geoserver/mrlc_download/wcs", codes=classes) -> Path:
        """The answer of the national land cover's service, edges on its cells."""
        x, y = self.albers()
        west, north = round((x - 900) / 30) * 30 + 15, round((y + 900) / 30) * 30 + 15
        xs = west + (np.arange(60) + 0.5) * 30
        values = np.tile(codes(xs), (60, 1))
        made = grid(
            self.folder / f"{path}.tmp.tif", values, Affine(30, 0, west, 0, -30, north),
            "EPSG:5070", nodata=0,
        )  # fmt: skip
        return made.replace(self.folder / path)

    def crops(self) -> None:
        """The crop service: it names a grid of corn (1) and alfalfa (36)."""
        self.cover("cdl/clip.tif", codes=lambda x: np.where(x % 400 < 200, 1, 36).astype("u1"))
        answer = self.folder / "axis2/services/CDLService/GetCDLFile"
        answer.parent.mkdir(parents=True)
        answer.write_text(
            '<ns1:GetCDLFileResponse xmlns:ns1="http://cropscape.csiss.gmu.edu/CDLService/">'
            "<returnURL>http://SERVER/cdl/clip.tif</returnURL></ns1:GetCDLFileResponse>"
        )

    def world_cover(self) -> Path:
        """The world's 10 m cover: woods (10) and crops (40)."""
        lat, lon = int(np.floor(self.lat / 3) * 3), int(np.floor(self.lon / 3) * 3)
        name = f"ESA_WorldCover_10m_2021_v200_N{lat:02d}W{-lon:03d}_Map.tif"
        cell = 1 / 12000
        values = np.where(np.indices((300, 300))[1] % 40 < 20, 10, 40).astype(np.uint8)
        return grid(
            self.folder / f"v200/2021/map/{name}", values,
            Affine(cell, 0, self.lon - 150 * cell, 0, -cell, self.lat + 150 * cell),
            "EPSG:4326", nodata=0,
        )  # fmt: skip

    def one_metre(self) -> Path:
        """The seamless 1 m tile: the western half of the place only."""
        x, y = Transformer.from_crs(4326, 6350, always_xy=True).transform(self.lon, self.lat)
        side = "e" if x >= 0 else "w"
        col, row = int(abs(np.floor(x / 1e4)) * 10), int(np.floor(y / 1e4) * 10 + 10)
        square = f"n{row}{side}{col}"
        path = f"StagedProducts/Elevation/S1M/n{row // 100}{side}{col // 100}/{square}"
        west, north = np.floor(x) - 500.0, np.floor(y) + 400.0
        xs, ys = np.meshgrid(west + np.arange(500) + 0.5, north - np.arange(800) - 0.5)
        lon, lat = Transformer.from_crs(6350, 4326, always_xy=True).transform(xs, ys)
        return grid(
            self.folder / path / f"S1M_{square}_20250101.tif",
            heights(lon, lat).astype(np.float32), Affine(1, 0, west, 0, -1, north),
            "EPSG:6350", nodata=-999999, block=256,
        )  # fmt: skip

    def pictures(self, zoom: int = 16) -> None:
        """Aerial tiles whose red is the column and green the row, modulo 256."""
        base = self.folder / "arcgis/rest/services/USGSImageryOnly/MapServer/tile"
        middle = mercantile.tile(self.lon, self.lat, zoom)
        for x in range(middle.x - 3, middle.x + 4):
            for y in range(middle.y - 3, middle.y + 4):
                path = base / str(zoom) / str(y) / str(x)
                path.parent.mkdir(parents=True, exist_ok=True)
                colour = (x % 256, y % 256, 90)
                Image.new("RGB", (256, 256), colour).save(path, format="JPEG", quality=95)
