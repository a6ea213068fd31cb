"""Services that cut out a box themselves: what is sent, that it is enough, what they may answer.

The server of our own answers the questions of a WCS 1.0.0 and 2.0.1 (OGC 03-065r6, OGC 09-110r4)
and of an image service as their publishers document them; the live services were never tried.
"""

from __future__ import annotations

import re
from dataclasses import replace
from urllib.parse import parse_qs, urlsplit

import numpy as np
import pytest

from funnelfinder.errors import SourceError
from funnelfinder.files.sources import Bring
from tests.files.sources.test_bring import GRIDS, NLCD, THIRD, WORLD, brought, check_heights

ANNUAL, SERVICE, CROPS = "Annual NLCD 2024", "3DEP by the image service", "Cropland Data Layer 2024"
ANNUAL_PATH = "geoserver/mrlc_Land-Cover-Native_conus_year_data/wcs"
SERVICE_PATH = "arcgis/rest/services/3DEPElevation/ImageServer/exportImage"


def asked_of(world, word):
    """The questions asked of one service, as their parts."""
    lines = [line.split()[0] for line in world.asked() if word in line]
    return [parse_qs(urlsplit(line).query) for line in lines]


def stripes(grid):
    """Classes of the world's stripes, 200 m wide in national Albers, at the centres of cells."""
    from pyproj import Transformer

    rows, cols = np.indices(grid.shape)
    points = grid.points_m(rows.ravel(), cols.ravel())
    to_albers = Transformer.from_crs(grid.epsg, 5070, always_xy=True)
    x = to_albers.transform(points[:, 0], points[:, 1])[0].reshape(grid.shape)
    return np.where(x % 400.0 < 200.0, 41, 82), np.abs((x + 100) % 200.0 - 100.0)


@pytest.mark.parametrize(("name", "path"), [(NLCD, None), (ANNUAL, ANNUAL_PATH)])
def test_a_box_of_national_cover_is_enough_and_lies_right(world, tmp_path, name, path):
    world.third()
    world.cover(*([path] if path else []))
    world.cut_boxes()
    found = brought(world, tmp_path, THIRD, name)
    cover = found.grids.cover
    codes, from_edge_m = stripes(cover.grid)
    # 30 m cells whose centre decides, taken to the nearest: right 30 m away from every edge.
    sure = from_edge_m > 30.0
    assert np.array_equal(cover.values[sure], codes[sure])
    assert found.grids.cover.values.min() > 0


def test_only_numbers_of_the_box_are_sent(world, tmp_path):
    world.third()
    world.cover()
    world.cut_boxes()
    brought(world, tmp_path, THIRD, NLCD)
    (asked, again) = asked_of(world, "wcs")
    assert asked == again
    # What the table says, and nothing but numbers in place of its fields.
    template = parse_qs(urlsplit(world.source(NLCD).address).query)
    assert asked.keys() == template.keys()
    for key, values in template.items():
        for before, sent in zip(values, asked[key], strict=True):
            pattern = re.sub(r"\\{\w+\\}", r"-?[\\d.]+", re.escape(before))
            assert re.fullmatch(pattern, sent)
    known = {"Host", "User-Agent", "Accept-Encoding", "Connection", "Range"}
    for heads in world.heads():
        assert set(heads) <= known
        assert heads["User-Agent"].startswith("funnelfinder/")


def test_heights_by_the_image_service_are_right(world, tmp_path):
    made = world.third()
    (world.folder / SERVICE_PATH).parent.mkdir(parents=True)
    made.rename(world.folder / SERVICE_PATH)
    world.cover()
    world.cut_boxes()
    found = brought(world, tmp_path, THIRD, SERVICE, NLCD)
    assert found.grids.elevation.source == SERVICE
    assert np.isfinite(found.grids.elevation.values).all()
    check_heights(found.grids.elevation)
    (asked, _) = asked_of(world, "exportImage")
    west, south, east, north = map(float, asked["bbox"][0].split(","))
    width, height = map(int, asked["size"][0].split(","))
    assert (east - west, north - south) == (width * 5.0, height * 5.0)
    assert width * height < 8_000_000
    assert any("smoothed away" in note for note in found.notes)


def test_the_next_service_is_asked_where_one_answers_in_words(world, tmp_path):
    """A WCS tells errors as XML with the status 200 (OGC 03-065r6, 7.2.4)."""
    world.third()
    world.cover()
    (world.folder / ANNUAL_PATH).parent.mkdir(parents=True)
    (world.folder / ANNUAL_PATH).write_text(
        "<ServiceExceptionReport><ServiceException>Mixed map systems.</ServiceException>"
        "</ServiceExceptionReport>"
    )
    found = brought(world, tmp_path, THIRD, ANNUAL, NLCD)
    assert found.grids.cover.source == NLCD
    assert any("it says: Mixed map systems." in note for note in found.notes)


def test_an_answer_that_lies_elsewhere_is_no_cover(world, tmp_path):
    """Never zeros, never the wrong ground: the next source has it."""
    world.third()
    world.cover()
    world.world_cover()
    x, y = world.albers()
    world.albers = lambda: (x + 50_000.0, y)
    world.cover(ANNUAL_PATH)
    found = brought(world, tmp_path, THIRD, ANNUAL, WORLD)
    assert found.grids.cover.source == WORLD


def test_an_answer_of_zeros_is_no_cover(world, tmp_path):
    # Subsets in degrees gave zeros for one author of public code.
    world.third()
    world.cover(codes=lambda x: np.zeros(x.shape, dtype=np.uint8))
    world.world_cover()
    assert brought(world, tmp_path, THIRD, NLCD, WORLD).grids.cover.source == WORLD
    with pytest.raises(SourceError, match="No source has land cover here"):
        brought(world, tmp_path, THIRD, NLCD)


def test_a_file_of_another_kind_is_told(world, tmp_path):
    from PIL import Image

    world.third()
    path = world.cover()
    Image.new("RGB", (64, 64)).save(path, format="TIFF")
    with pytest.raises(SourceError, match="something else than what was asked for"):
        brought(world, tmp_path, THIRD, NLCD)


@pytest.mark.parametrize("share", [0.3, 0.7, 0.95])
def test_a_file_that_was_cut_off_before_it_was_put_there_is_damaged(world, tmp_path, share):
    """Its length is what the server says, its end is not: the next source is taken."""
    path = world.third()
    content = path.read_bytes()
    path.write_bytes(content[: round(share * len(content))])
    world.surface()
    world.cover()
    found = brought(world, tmp_path, THIRD, "Copernicus GLO-30", NLCD)
    elevation = found.grids.elevation
    if elevation.source == "Copernicus GLO-30":
        assert any("It is damaged" in note for note in found.notes)
        check_heights(replace(elevation, values=elevation.values - 12.0), most_m=1.0)
    else:
        check_heights(elevation)


def test_crops_are_asked_for_by_box_and_read_through_the_link(world, tmp_path):
    world.crops()
    found = brought(world, tmp_path, CROPS, kinds=[Bring.CROPS])
    asked = asked_of(world, "GetCDLFile")[0]
    assert asked["year"] == ["2024"]
    west, south, east, north = map(float, asked["bbox"][0].split(","))
    x, y = world.albers()
    assert west < x < east
    assert south < y < north
    assert found.crops.source == CROPS
    assert found.origins[0].credit == "USDA NASS Cropland Data Layer 2024"


def test_a_link_that_leads_to_no_server_is_not_followed(world, tmp_path):
    world.crops()
    answer = world.folder / "axis2/services/CDLService/GetCDLFile"
    answer.write_text("<a><returnURL>file:///etc/hostname</returnURL></a>")
    with pytest.raises(SourceError, match="leads nowhere"):
        brought(world, tmp_path, CROPS, kinds=[Bring.CROPS])


def test_grids_of_both_kinds_from_services_alone(world, tmp_path):
    made = world.third()
    (world.folder / SERVICE_PATH).parent.mkdir(parents=True)
    made.rename(world.folder / SERVICE_PATH)
    world.cover(ANNUAL_PATH)
    world.cut_boxes()
    found = brought(world, tmp_path, SERVICE, ANNUAL, kinds=GRIDS)
    assert [one.source for one in found.grids.origins] == [SERVICE, ANNUAL]
    assert all(len(one.fingerprint) == 32 for one in found.grids.origins)
