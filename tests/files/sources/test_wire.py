"""Asking servers: whole answers only, no faster than they say, and nowhere else."""

from __future__ import annotations

import socket
import ssl
from urllib.error import URLError

import pytest

from funnelfinder.files.sources.faults import Fault, WireError, wire_error
from funnelfinder.files.sources.kept_bytes import KeptBytes, tidy
from funnelfinder.files.sources.remote_file import RemoteFile
from funnelfinder.files.sources.wire import Patience, Wire, _Redirects


def wire(**more):
    return Wire(patience=Patience(timeout_s=2.0, tries=2), pause=lambda seconds: None, **more)


@pytest.mark.parametrize(
    ("reason", "fault"),
    [
        (socket.gaierror(socket.EAI_NONAME, "x"), Fault.NO_NAME),
        (socket.gaierror(socket.EAI_AGAIN, "x"), Fault.NO_NETWORK),
        (ConnectionRefusedError(), Fault.REFUSED),
        (ConnectionResetError(), Fault.CUT),
        (TimeoutError(), Fault.SLOW),
        (ssl.SSLError(), Fault.UNSAFE),
        (OSError(101, "Network is unreachable"), Fault.NO_NETWORK),
    ],
)
def test_what_the_system_says_has_plain_words(reason, fault):
    found = wire_error(URLError(reason), "n41w084.tif")
    assert found.fault is fault
    assert found.remedy


def test_a_name_that_no_server_has_is_told(monkeypatch):
    def unknown(*words, **more):
        raise socket.gaierror(socket.EAI_NONAME, "Name or service not known")

    monkeypatch.setattr(socket, "getaddrinfo", unknown)
    with pytest.raises(WireError, match="name of the server is not known"):
        wire().get("http://grids.invalid/a.tif")


def test_no_way_from_safe_to_unsafe(world):
    import urllib.request

    request = urllib.request.Request("https://example.org/a")
    with pytest.raises(WireError, match="where we do not go"):
        _Redirects().redirect_request(request, None, 302, "", {}, "http://example.org/a")


def test_an_answer_that_trickles_is_given_up(world):
    """Time passes by the clock that is given, not by waiting."""
    (world.folder / "a.bin").write_bytes(bytes(200_000))
    now = iter(range(0, 100_000, 60))
    slow = Wire(
        patience=Patience(timeout_s=2.0, tries=1, grace_s=30.0, least_bytes_per_s=5_000.0),
        clock=lambda: float(next(now)),
    )
    with pytest.raises(WireError, match="too slow"):
        slow.get(f"http://{world.host}/a.bin")


def test_an_answer_that_is_too_large_is_not_taken(world):
    (world.folder / "a.bin").write_bytes(bytes(5000))
    with pytest.raises(WireError, match="larger"):
        wire().get(f"http://{world.host}/a.bin", most_bytes=1000)


def test_one_changed_byte_is_seen_and_asked_for_again(world):
    (world.folder / "a.bin").write_bytes(bytes(range(200)))
    world.faults({"path": "a.bin", "fault": "corrupt", "at": 77, "times": 1})
    assert wire().get(f"http://{world.host}/a.bin").data == bytes(range(200))
    assert len(world.asked()) == 4


def test_bytes_are_counted_as_they_come(world):
    (world.folder / "a.bin").write_bytes(bytes(100_000))
    seen: list[int] = []
    wire(watch=seen.append).get(f"http://{world.host}/a.bin")
    assert sum(seen) == 200_000  # twice, since nothing proves plain http


def test_a_remote_file_reads_as_the_file_does(world, tmp_path):
    content = bytes(i * i % 251 for i in range(300_000))
    (world.folder / "a.bin").write_bytes(content)
    address = f"http://{world.host}/a.bin"
    file = RemoteFile(wire(), KeptBytes(tmp_path, address), address)
    for start, size in ((0, 10), (65_530, 20), (299_990, 500), (131_072, 65_536)):
        file.seek(start)
        assert file.read(size) == content[start : start + size]
    file.seek(-4, 2)
    assert file.read() == content[-4:]
    n_asked = len(world.asked())
    again = RemoteFile(wire(), KeptBytes(tmp_path, address), address)
    assert again.read(70_000) == content[:70_000]
    assert len(world.asked()) == n_asked


def test_after_a_fault_a_remote_file_ends_and_says_so(world, tmp_path):
    (world.folder / "a.bin").write_bytes(bytes(300_000))
    address = f"http://{world.host}/a.bin"
    file = RemoteFile(wire(), KeptBytes(tmp_path, address), address)
    world.faults({"path": "a.bin", "fault": "404"})
    file.seek(200_000)
    assert file.read(10) == b""
    with pytest.raises(WireError, match="no such file"):
        file.check()


def test_what_was_not_used_for_long_is_removed(tmp_path):
    kept = KeptBytes(tmp_path, "http://example.org/a")
    kept.begin(3, "x")
    kept.keep(0, b"abc")
    tidy(tmp_path)
    assert kept.block(0) == b"abc"
    year_later = next(tmp_path.iterdir()).stat().st_mtime + 365 * 86_400
    tidy(tmp_path, now_s=year_later)
    assert list(tmp_path.iterdir()) == []
