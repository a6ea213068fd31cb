"""Grids in any map system."""

from __future__ import annotations

import numpy as np
import pytest
import rasterio
from affine import Affine
from pyproj import Transformer
from rasterio.transform import from_origin

from funnelfinder.errors import GridError
from funnelfinder.ground import travel_grid
from funnelfinder.units import FOOT_M, US_SURVEY_FOOT_M
from tests.files.grids_in.written import (
    PLACE,
    UTM,
    X_0,
    Y_0,
    errors_m,
    property_at,
    read,
    stripes,
    written,
)


def test_a_grid_on_the_same_cells_comes_in_unchanged(tmp_path, cover):
    # The centre is moved by 0 m: edges of file and property both lie on multiples of 5 m.
    file = written(tmp_path / "hill.tif")
    grids, table = read(file, cover)
    assert grids.elevation.values.dtype == np.float32
    assert np.nanmax(errors_m(grids)) < 1e-3
    assert grids.cover.grid == travel_grid(PLACE)
    assert grids.cover.values.dtype == np.uint8
    assert table.legend == "nlcd"
    assert grids.elevation.source_cell_m == pytest.approx(5.0)
    with pytest.raises(ValueError, match="read-only"):
        grids.elevation.values[0, 0] = 0.0


# Map systems and cell shapes ----------------------------------------------------------------


@pytest.mark.parametrize(
    ("crs", "cell"),
    [
        ("EPSG:4326", (5 / 85_000, 5 / 111_000)),  # degrees, square on the ground
        ("EPSG:4269", (1 / 10_800 / 2, 1 / 10_800 / 3)),  # degrees, not square either way
        ("EPSG:5070", (5.0, 5.0)),  # Albers, turned by 8 degrees here
        ("EPSG:26917", (2.5, 5.0)),
        ("EPSG:3857", (6.0, 6.0)),
        ("EPSG:32616", (5.0, 5.0)),  # the neighbouring zone
    ],
)
def test_any_map_system_gives_the_same_heights(tmp_path, cover, crs, cell):
    file = written(tmp_path / "hill.tif", crs=crs, cell=cell, half=320.0)
    grids, _ = read(file, cover)
    # NAD 83 and WGS 84 count as one; the hill's steepest slope is 0.2, cells are about 5 m.
    assert np.nanpercentile(errors_m(grids), 99) < 0.15
    assert np.isfinite(grids.elevation.values).all()


def test_a_south_up_grid_is_read_right_side_up(tmp_path, cover):
    file = written(tmp_path / "up.tif", south_up=True)
    with rasterio.open(file) as dataset:
        assert dataset.transform.e > 0
    grids, _ = read(file, cover)
    assert np.nanmax(errors_m(grids)) < 1e-3


def test_south_up_cover_and_coarsening_agree_with_north_up(tmp_path, cover):
    up = written(tmp_path / "up.tif", stripes, dtype="uint8", cell=(2.0, 2.0), south_up=True)
    down = written(tmp_path / "down.tif", stripes, dtype="uint8", cell=(2.0, 2.0))
    hills = written(tmp_path / "hill.tif", cell=(1.7, 1.7), south_up=True)
    first, _ = read(hills, up)
    second, _ = read(hills, down)
    assert np.array_equal(first.cover.values, second.cover.values)
    assert np.nanmax(errors_m(first)) < 0.2


def test_longitudes_from_0_to_360_are_turned(tmp_path, cover):
    file = written(tmp_path / "plain.tif", crs="EPSG:4326", cell=(5e-5, 5e-5))
    with rasterio.open(file) as dataset:
        profile, values = dataset.profile, dataset.read(1)
    profile["transform"] = Affine.translation(360, 0) @ profile["transform"]
    with rasterio.open(tmp_path / "turned.tif", "w", **profile) as out:
        out.write(values, 1)
    grids, _ = read(tmp_path / "turned.tif", cover)
    assert np.nanpercentile(errors_m(grids), 99) < 0.15


def test_a_compound_system_is_used_by_its_two_parts(tmp_path, cover):
    to_feet = lambda values: values / US_SURVEY_FOOT_M  # noqa: E731
    file = written(tmp_path / "hill.tif", crs="EPSG:26917+6360", change=to_feet)
    grids, _ = read(file, cover)
    assert np.nanmax(errors_m(grids)) < 0.01
    assert not any("unit" in note for note in grids.notes)


def test_an_old_datum_is_said_to_be_rough(tmp_path, cover):
    # NAD 27 / UTM 17N (EPSG:26717): without shift grids its positions are known to tens of metres.
    file = written(tmp_path / "old.tif", crs="EPSG:26717", half=330.0)
    grids, _ = read(file, cover)
    assert any("old.tif: positions on its old datum" in note for note in grids.notes)
    assert np.nanmedian(errors_m(grids)) < 2.5


def test_south_of_the_equator(tmp_path):
    x, y = 350_000.0, 5_900_000.0
    place = property_at(x, y, epsg=32755)
    square = {"driver": "GTiff", "height": 140, "width": 140, "count": 1, "crs": "EPSG:32755"}
    for name, value, dtype in (("hill.tif", 77.0, "float32"), ("cover.tif", 41, "uint8")):
        transform = from_origin(x - 350, y + 350, 5, 5)
        with rasterio.open(tmp_path / name, "w", dtype=dtype, transform=transform, **square) as out:
            out.write(np.full((140, 140), value, dtype=dtype), 1)
    grids, _ = read(tmp_path / "hill.tif", tmp_path / "cover.tif", place=place, legend="nlcd")
    assert np.allclose(grids.elevation.values, 77.0)


def test_a_property_across_a_zone_edge_reads_tiles_of_both_zones(tmp_path):
    x, y = Transformer.from_crs(4326, UTM, always_xy=True).transform(-84.0, 40.1)
    place = property_at(x, y)
    files = {}
    for zone in (16, 17):
        files[zone] = written(
            tmp_path / f"zone{zone}.tif",
            lambda x, y: np.full(x.shape, 200.0),
            crs=f"EPSG:326{zone}",
            centre=(x + (zone - 16.5) * 400, y),
            half=320.0,
        )
    cover = written(
        tmp_path / "cover.tif", stripes, dtype="uint8", centre=(x, y), crs="EPSG:5070", half=400.0
    )
    grids, _ = read([files[16], files[17]], cover, place=place)
    assert np.allclose(grids.elevation.values, 200.0, atol=1e-3)


def test_no_map_system_is_an_error_that_asks(tmp_path, cover):
    file = written(tmp_path / "hill.tif")
    with rasterio.open(file) as dataset:
        values, profile = dataset.read(1), dataset.profile
    profile.pop("crs")
    with rasterio.open(tmp_path / "lost.tif", "w", **profile) as out:
        out.write(values, 1)
    with pytest.raises(GridError, match=r"lost\.tif: It does not say where on earth"):
        read(tmp_path / "lost.tif", cover)


def test_local_coordinates_are_an_error(tmp_path, cover):
    local = 'LOCAL_CS["site grid",UNIT["metre",1]]'
    file = tmp_path / "site.tif"
    with rasterio.open(
        file, "w", driver="GTiff", height=10, width=10, count=1, dtype="float32",
        crs=rasterio.crs.CRS.from_wkt(local), transform=from_origin(X_0, Y_0, 5, 5),
    ) as out:  # fmt: skip
        out.write(np.ones((10, 10), dtype="float32"), 1)
    with pytest.raises(GridError, match=r"site\.tif"):
        read(file, cover)


# Units of heights ---------------------------------------------------------------------------
# Codes of vertical systems: EPSG registry, 5703 NAVD88 height (m), 8228 NAVD88 height (ft),
# 6360 NAVD88 height (ftUS). EPSG:3735 is NAD83 / Ohio South (ftUS), 3753 its HARN kin.


@pytest.mark.parametrize(
    ("vertical", "unit_m"), [("5703", 1.0), ("8228", FOOT_M), ("6360", US_SURVEY_FOOT_M)]
)
def test_state_plane_feet_with_a_vertical_system(tmp_path, cover, vertical, unit_m):
    file = written(
        tmp_path / "hill.tif",
        crs=f"EPSG:3735+{vertical}",
        cell=(16.0, 16.0),
        half=320.0,
        change=lambda values: values / unit_m,
    )
    grids, _ = read(file, cover)
    assert np.nanpercentile(errors_m(grids), 99) < 0.15
    assert grids.elevation.source_cell_m == pytest.approx(16.0 * US_SURVEY_FOOT_M, abs=0.01)
