"""Files that would do harm, and damaged ones."""

from __future__ import annotations

import contextlib
import io
import random
import stat
import struct
import zipfile
from pathlib import Path

import pytest

from funnelfinder.errors import MarkError
from funnelfinder.files.outlines_in import read_boundary, read_marks, safe_copies
from tests.files.outlines_in.drawn import (
    SQUARE,
    UTM,
    WRITERS,
    boundary_file,
    frame,
    kml,
    placemark,
    shapefile,
    zipped,
)

# Files that are damaged or dangerous --------------------------------------------------------

BOMB = (
    '<?xml version="1.0"?><!DOCTYPE kml [<!ENTITY a "aaaaaaaaaa">'
    + "".join(f'<!ENTITY {chr(98 + n)} "{f"&{chr(97 + n)};" * 10}">' for n in range(9))
    + ']><kml xmlns="http://www.opengis.net/kml/2.2"><Document><name>&j;</name></Document></kml>'
)


OUTSIDE = (
    '<?xml version="1.0"?><!DOCTYPE gpx [<!ENTITY x SYSTEM "file:///etc/passwd">]>'
    '<gpx version="1.1" creator="x" xmlns="http://www.topografix.com/GPX/1/1">'
    "<wpt lat='40' lon='-83'><name>&x;</name></wpt></gpx>"
)


@pytest.mark.parametrize("text", [BOMB, OUTSIDE], ids=["entities", "outside"])
@pytest.mark.parametrize("form", ["kml", "gpx", "geojson", "kmz", "zip", "utf-16"])
def test_xml_with_entities_is_refused_in_any_wrapping(tmp_path, text, form):
    path = tmp_path / f"land.{form}"
    if form in ("kmz", "zip"):
        zipped(path, {"doc.kml": text})
    elif form == "utf-16":
        path.write_text(text.replace('"1.0"', '"1.0" encoding="UTF-16"'), encoding="utf-16")
    else:
        path.write_text(text)
    for reader in (read_boundary, lambda one: read_marks(one, epsg=UTM)):
        with pytest.raises(MarkError, match="document type") as caught:
            reader(path)
        assert path.name in str(caught.value)


def test_endless_nesting_is_refused(tmp_path):
    path = tmp_path / "deep.kml"
    path.write_text(kml(("a", "<Folder>" * 50_000 + "</Folder>" * 50_000)))
    with pytest.raises(MarkError, match="endless nesting"):
        read_boundary(path)
    path = tmp_path / "deep.json"
    path.write_text('{"type":' + "[" * 100_000)
    with pytest.raises(MarkError, match="damaged"):
        read_boundary(path)


def test_an_archive_that_unpacks_to_gigabytes_is_refused(tmp_path, monkeypatch):
    monkeypatch.setattr(safe_copies, "MOST_UNPACKED", 1_000_000)
    path = zipped(tmp_path / "bomb.zip", {"parcel.shp": bytes(1_500_000)})
    assert path.stat().st_size < 10_000
    with pytest.raises(MarkError, match=r"bomb\.zip: The archive unpacks to more than 1 MB"):
        read_boundary(path)


def test_an_archive_that_lies_about_its_sizes_is_refused(tmp_path, monkeypatch):
    monkeypatch.setattr(safe_copies, "MOST_UNPACKED", 1_000_000)
    content = bytearray(zipped(tmp_path / "b.zip", {"parcel.shp": bytes(1_500_000)}).read_bytes())
    true_size = struct.pack("<I", 1_500_000)
    assert content.count(true_size) == 2
    (tmp_path / "b.zip").write_bytes(content.replace(true_size, struct.pack("<I", 1000)))
    with pytest.raises(MarkError, match=r"b\.zip"):
        read_boundary(tmp_path / "b.zip")


def test_an_archive_that_states_gigabytes_is_refused_before_it_is_unpacked(tmp_path):
    content = bytearray(zipped(tmp_path / "g.zip", {"parcel.shp": bytes(1_500_000)}).read_bytes())
    three_gigabytes = struct.pack("<I", 3_000_000_000)
    (tmp_path / "g.zip").write_bytes(content.replace(struct.pack("<I", 1_500_000), three_gigabytes))
    with pytest.raises(MarkError, match=r"g\.zip: The archive unpacks to more than 500 MB"):
        read_boundary(tmp_path / "g.zip")


def test_an_archive_of_very_many_files_is_refused(tmp_path):
    path = zipped(tmp_path / "many.zip", {f"{n}.txt": b"" for n in range(5001)})
    with pytest.raises(MarkError, match="or 5,000 files"):
        read_boundary(path)


@pytest.mark.parametrize(
    "inner", ["../../parcel.shp", "/tmp/parcel.shp", "a\\..\\..\\p.shp", "C:/p.shp"]
)
def test_an_archive_that_reaches_out_of_its_folder_is_refused(tmp_path, inner):
    path = zipped(tmp_path / "slip.zip", {inner: b"x"})
    with pytest.raises(MarkError, match=r"slip\.zip: The archive reaches out of its folder"):
        read_boundary(path)
    assert [one.name for one in tmp_path.iterdir()] == ["slip.zip"]


def test_a_link_in_an_archive_is_refused(tmp_path):
    info = zipfile.ZipInfo("parcel.shp")
    info.external_attr = (stat.S_IFLNK | 0o777) << 16
    with zipfile.ZipFile(tmp_path / "link.zip", "w") as archive:
        archive.writestr(info, "/etc/passwd")
    with pytest.raises(MarkError, match="reaches out of its folder"):
        read_boundary(tmp_path / "link.zip")


def damaged(folder: Path, kind: str) -> Path:
    """Write a file that is damaged in one way."""
    path = folder / f"{kind}.bin"
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w") as archive:
        archive.writestr("land.kml", kml(("a", placemark(SQUARE))))
    frame(SQUARE).to_file(folder / "whole.gpkg")
    whole = (folder / "whole.gpkg").read_bytes()
    contents = {
        "empty": b"",
        "text": b"These are the corners of my land: ...",
        "picture": b"\x89PNG\r\n\x1a\n" + bytes(50),
        "half-gpkg": whole[: len(whole) // 3],
        "half-json": b'{"type": "Polygon", "coordinates": [[[1, 2], [',
        "other-json": b'{"name": "settings"}',
        "half-kml": kml(("a", placemark(SQUARE))).encode()[:300],
        "html": b"<html><body>Not found</body></html>",
        "half-zip": buffer.getvalue()[:-30],
        "no-outline.zip": b"PK\x05\x06" + bytes(18),
        "empty-kml": kml(("a", "")).encode(),
        "no-shapes": b'{"type": "FeatureCollection", "features": []}',
        "half-shp": shapefile(folder / "s", frame(SQUARE))[".shp"][:60],
    }
    if kind != "missing":
        path.write_bytes(contents[kind])
    return path


@pytest.mark.parametrize(
    "kind",
    [
        *("missing", "empty", "text", "picture", "half-gpkg", "half-json", "other-json"),
        *("half-kml", "html", "half-zip", "no-outline.zip", "empty-kml", "no-shapes", "half-shp"),
    ],
)
def test_a_damaged_file_is_said_with_its_name_and_a_way_out(tmp_path, kind):
    path = damaged(tmp_path, kind)
    for reader in (read_boundary, lambda one: read_marks(one, epsg=UTM, kind="bed")):
        with pytest.raises(MarkError) as caught:
            reader(path)
        assert path.name in str(caught.value)
        assert caught.value.remedy


@pytest.mark.parametrize("form", WRITERS)
def test_changed_bytes_give_an_outline_or_a_told_error(tmp_path, form):
    path = boundary_file(tmp_path, form)
    whole = path.read_bytes()
    for seed in range(6):
        draw = random.Random(seed)
        content = bytearray(whole)
        for _ in range(draw.choice([1, 5, 30])):
            end = min(draw.choice([60, 400, len(content)]), len(content))
            content[draw.randrange(end)] = draw.randrange(256)
        path.write_bytes(content)
        with contextlib.suppress(MarkError):
            assert read_boundary(path).outline.is_valid
        with contextlib.suppress(MarkError):
            assert read_marks(path, epsg=UTM, kind="bed")[0]


def test_an_archive_with_a_password_is_said(tmp_path):
    # Bit 0 of the flags says encrypted (PKWARE APPNOTE.TXT 6.3.10, section 4.4.4).
    content = bytearray(zipped(tmp_path / "p.zip", {"land.kml": "<kml/>"}).read_bytes())
    for signature, offset in ((b"PK\x03\x04", 6), (b"PK\x01\x02", 8)):
        content[content.index(signature) + offset] |= 1
    (tmp_path / "p.zip").write_bytes(content)
    with pytest.raises(MarkError, match="password"):
        read_boundary(tmp_path / "p.zip")
