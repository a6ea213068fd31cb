"""Names and boxes of files, against those that their publishers give."""

from __future__ import annotations

import json
import re

import pytest

from funnelfinder.files.sources.area import Area
from funnelfinder.files.sources.faults import WireError
from funnelfinder.files.sources.table import shipped_sources
from funnelfinder.files.sources.tiles import fitting_zoom, tile_fields, tiles_of
from funnelfinder.files.sources.wire import Reply
from funnelfinder.grid import Grid


class Answers:
    """A wire that gives one answer to everything, and remembers what was asked."""

    def __init__(self, data: bytes) -> None:
        self.data = data
        self.asked: list[str] = []

    def get(self, address, **more):
        self.asked.append(address)
        return Reply(data=self.data, total=len(self.data), tag="", kind="")


def ohio(n: int = 20) -> Area:
    """Around 40.10 N 83.20 W, UTM 17N 312474.9 E 4441175.9 N."""
    grid = Grid(epsg=32617, west_m=312_400, north_m=4_441_200, cell_m=10, n_rows=n, n_cols=n)
    return Area(grid=grid)


def source(name):
    return next(one for one in shipped_sources() if one.name == name)


def addresses(name, tmp_path, answer=b"", area=None):
    wire = Answers(answer)
    found = [one.address for one in tiles_of(source(name), area or ohio(), wire, tmp_path)]
    return found, wire.asked


def test_the_third_arc_second_tile_is_where_usgs_puts_it(tmp_path):
    # USGS staged products: n41w084 holds 40.10 N 83.20 W.
    found, _ = addresses("3DEP 1/3 arc-second", tmp_path)
    assert found == [
        "https://prd-tnm.s3.amazonaws.com/StagedProducts/Elevation/13/TIFF/current/n41w084/"
        "USGS_13_n41w084.tif"
    ]


def test_copernicus_and_worldcover_name_their_south_west_corner(tmp_path):
    # Copernicus DEM and ESA WorldCover buckets on the registry of open data.
    stem = "Copernicus_DSM_COG_10_N40_00_W084_00_DEM"
    found, _ = addresses("Copernicus GLO-30", tmp_path)
    assert found == [f"https://copernicus-dem-30m.s3.amazonaws.com/{stem}/{stem}.tif"]
    found, _ = addresses("WorldCover 2021", tmp_path)
    assert found[0].endswith("/v200/2021/map/ESA_WorldCover_10m_2021_v200_N39W084_Map.tif")


def test_the_seamless_metre_is_listed_and_the_newest_taken(tmp_path):
    # USGS S1M: folder n19e10/n1980e1070, the date ends the name; listing as S3 documents it.
    prefix = "StagedProducts/Elevation/S1M/n19e10/n1980e1070/S1M_n1980e1070_"
    keys = "".join(
        f"<Contents><Key>{prefix}{on}.tif</Key></Contents>" for on in (20240101, 20251231)
    )
    listing = (
        '<ListBucketResult xmlns="http://s3.amazonaws.com/doc/2006-03-01/">'
        f"{keys}<Contents><Key>{prefix}20251231.xml</Key></Contents></ListBucketResult>"
    )
    found, asked = addresses("3DEP 1 m, seamless", tmp_path, listing.encode())
    assert asked[0].endswith("prefix=StagedProducts/Elevation/S1M/n19e10/n1980e1070/")
    assert found == [f"https://prd-tnm.s3.amazonaws.com/{prefix}20251231.tif"]


def test_a_square_that_was_not_flown_has_no_file(tmp_path):
    assert addresses("3DEP 1 m, seamless", tmp_path, b"<ListBucketResult/>")[0] == []


def test_products_come_newest_first(tmp_path):
    # Form of the national map's product look-up: items with downloadURL and publicationDate.
    items = [
        {"publicationDate": "2016-01-01", "downloadURL": "https://example.org/old.tif"},
        {"publicationDate": "2023-01-01", "downloadURL": "https://example.org/new.tif"},
        {"publicationDate": "2024-01-01", "downloadURL": "https://example.org/notes.xml"},
    ]
    answer = json.dumps({"total": "3", "items": items}).encode()
    found, asked = addresses("3DEP 1 m, by project", tmp_path, answer)
    assert found == ["https://example.org/new.tif", "https://example.org/old.tif"]
    box = re.search(r"bbox=([-\d.,]+)", asked[0])[1]
    west, south, east, north = map(float, box.split(","))
    assert west < -83.199 < east
    assert south < 40.0999 < north


@pytest.mark.parametrize(
    ("answer", "words"),
    [
        (b'{"items": [], "total": null}', "an empty list"),
        (b"<html>Busy, come back later.</html>", "Busy, come back later"),
        (b'{"message": "no"}', "something else"),
        (b'{"items": [{"downloadURL": "file:///a.tif"}], "total": 1}', "leads nowhere"),
    ],
)
def test_a_look_up_that_is_none_is_told_and_not_kept(tmp_path, answer, words):
    with pytest.raises(WireError, match=words):
        addresses("3DEP 1 m, by project", tmp_path, answer)
    assert not list(tmp_path.iterdir())


def test_a_look_up_that_says_none_has_none(tmp_path):
    assert addresses("3DEP 1 m, by project", tmp_path, b'{"items": [], "total": 0}')[0] == []


def test_boxes_of_national_cover_lie_on_its_cells(tmp_path):
    # NLCD grid origin -2493045, 3310005 (MRLC): edges at 15 m beyond multiples of 30 m. The place
    # lies at 1078393.1, 1970916.2 in national Albers (pyproj).
    found, _ = addresses("NLCD 2021", tmp_path)
    west, east = map(float, re.search(r"X\((.*?),(.*?)\)", found[0]).groups())
    south, north = map(float, re.search(r"Y\((.*?),(.*?)\)", found[0]).groups())
    assert west < 1_078_393.1 < east
    assert south < 1_970_916.2 < north
    for value in (west + 2_493_045, east + 2_493_045, south - 3_310_005, north - 3_310_005):
        assert value % 30 == 0
    assert east - west < 500


def test_picture_tiles_have_their_row_before_their_column(tmp_path):
    # National map template {z}/{y}/{x}; z16 of the place is x 17621, y 24786.
    found, _ = addresses("National Map aerial picture", tmp_path)
    assert any(one.endswith("/tile/16/24786/17621") for one in found)


def test_a_large_area_takes_coarser_pictures():
    picture = source("National Map aerial picture")
    assert fitting_zoom(picture, ohio()) == 16
    wide = ohio(n=3000)
    assert fitting_zoom(picture, wide) < 16
    assert len(tile_fields(picture, wide)) <= 400
