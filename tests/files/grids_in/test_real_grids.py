"""Real public grids."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import rasterio
from affine import Affine
from pyproj import Transformer
from rasterio.enums import Resampling
from rasterio.warp import reproject

from funnelfinder.defaults import Settings
from funnelfinder.errors import GridError
from funnelfinder.ground import prepare_ground
from funnelfinder.units import US_SURVEY_FOOT_M
from tests.files.grids_in.written import (
    REAL,
    UTM,
    needs_real,
    property_at,
    read,
)

# Real grids ---------------------------------------------------------------------------------


@needs_real
def test_the_lidar_grid_comes_in_with_most_of_the_surround_missing():
    x, y = Transformer.from_crs(3358, UTM, always_xy=True).transform(597_420, 150_805)
    place = replace(property_at(x, y), settings=Settings())
    lidar = REAL / "lidar_1m"
    grids, table = read(lidar / "elevation_2016.tif", lidar / "landcover.tif", place=place)
    assert table.legend == "nlcd"
    assert any("covers 6 % of the extent" in note for note in grids.notes)
    with rasterio.open(lidar / "elevation_2016.tif") as dataset:
        there = Transformer.from_crs(UTM, 3358, always_xy=True)
        rows, cols = np.nonzero(np.isfinite(grids.elevation.values))
        points = grids.elevation.grid.points_m(rows[::997], cols[::997])
        samples = np.array(list(dataset.sample(np.column_stack(there.transform(*points.T)))))
    known = grids.elevation.values[rows[::997], cols[::997]]
    # The nearest cell lies within 0.7 m; the ground is gentle.
    assert np.median(np.abs(known - samples[:, 0])) < 0.1
    assert prepare_ground(replace(place, cover_table=table), grids).is_inside.any()


@needs_real
def test_the_canyon_comes_in_from_degrees_and_an_odd_system():
    x, y = Transformer.from_crs(4326, 32612, always_xy=True).transform(-113.0, 37.3)
    place = property_at(x, y, side=1500.0, epsg=32612)
    canyon = REAL / "canyon_30m"
    grids, table = read(canyon / "srtm.tif", canyon / "nlcd2011.tif", place=place)
    assert table.legend == "nlcd"
    assert np.isfinite(grids.elevation.values).all()
    with rasterio.open(canyon / "srtm.tif") as dataset:
        near = next(dataset.sample([(-113.0, 37.3)]))[0]
    row, col = grids.elevation.grid.nearest_cells(np.array([[x, y]]))
    assert grids.elevation.values[row[0], col[0]] == pytest.approx(near, abs=40)
    assert grids.cover.source_cell_m == pytest.approx(31.5, abs=0.1)


@needs_real
@pytest.mark.parametrize(("unit", "unit_m"), [("us-ft", US_SURVEY_FOOT_M), ("m", 1.0)])
def test_the_lidar_grid_in_state_plane_feet(tmp_path, unit, unit_m):
    """EPSG:2264 is NAD83 / North Carolina (ftUS); the same ground as in metres must come out."""
    x, y = Transformer.from_crs(3358, UTM, always_xy=True).transform(597_420, 150_805)
    place = property_at(x, y, side=150.0)
    lidar = REAL / "lidar_1m"
    with rasterio.open(lidar / "elevation_2016.tif") as dataset:
        feet, transform = reproject(
            dataset.read(1) / unit_m,
            src_transform=dataset.transform,
            src_crs=dataset.crs,
            dst_crs="EPSG:2264",
            dst_nodata=-9999,
            src_nodata=-9999,
            resampling=Resampling.cubic,
        )
    for name, crs in (("bare.tif", "EPSG:2264"), ("stated.tif", "EPSG:2264+6360")):
        with rasterio.open(
            tmp_path / name, "w", driver="GTiff", count=1, dtype="float32", crs=crs,
            height=feet.shape[-2], width=feet.shape[-1], transform=transform,
        ) as out:  # fmt: skip
            out.write(feet.reshape(feet.shape[-2:]), 1)
    cover = lidar / "landcover.tif"
    expected, _ = read(lidar / "elevation_2016.tif", cover, place=place)
    with pytest.raises(GridError, match="Its map is in feet"):
        read(tmp_path / "bare.tif", cover, place=place)
    grids, _ = read(tmp_path / "bare.tif", cover, place=place, height_unit=unit)
    off = np.abs(grids.elevation.values - expected.elevation.values)
    # Resampled twice; NAD83 and NAD83(HARN) differ by under a metre in North Carolina.
    assert np.nanmedian(off) < 0.05
    if unit == "us-ft":
        stated, _ = read(tmp_path / "stated.tif", cover, place=place)
        assert np.array_equal(stated.elevation.values, grids.elevation.values, equal_nan=True)


@needs_real
def test_the_canyon_turned_south_up_is_the_same(tmp_path):
    x, y = Transformer.from_crs(4326, 32612, always_xy=True).transform(-113.0, 37.3)
    place = property_at(x, y, side=1500.0, epsg=32612)
    for name in ("srtm.tif", "nlcd2011.tif"):
        with rasterio.open(REAL / "canyon_30m" / name) as dataset:
            profile, values = dataset.profile, dataset.read(1)
        turn = Affine.translation(0, dataset.height) @ Affine.scale(1, -1)
        profile["transform"] = profile["transform"] @ turn
        with rasterio.open(tmp_path / name, "w", **profile) as out:
            out.write(values[::-1], 1)
    north, _ = read(
        REAL / "canyon_30m" / "srtm.tif", REAL / "canyon_30m" / "nlcd2011.tif", place=place
    )
    south, _ = read(tmp_path / "srtm.tif", tmp_path / "nlcd2011.tif", place=place)
    assert np.abs(south.elevation.values - north.elevation.values).max() < 0.01
    assert (south.cover.values == north.cover.values).mean() > 0.999


@needs_real
@pytest.mark.parametrize("fill", [-32768, None])
def test_real_heights_as_integers_with_holes(tmp_path, fill):
    x, y = Transformer.from_crs(4326, 32612, always_xy=True).transform(-113.0, 37.3)
    place = property_at(x, y, side=1500.0, epsg=32612)
    with rasterio.open(REAL / "canyon_30m" / "srtm.tif") as dataset:
        profile, values = dataset.profile, dataset.read(1).astype("int16")
        row, col = dataset.index(-113.0, 37.3)
    values[row - 2 : row + 3, col - 2 : col + 3] = -32768
    profile.update(dtype="int16", nodata=fill)
    with rasterio.open(tmp_path / "holes.tif", "w", **profile) as out:
        out.write(values, 1)
    cover = REAL / "canyon_30m" / "nlcd2011.tif"
    grids, _ = read(tmp_path / "holes.tif", cover, place=place)
    assert np.isnan(grids.elevation.values).any()
    assert np.nanmin(grids.elevation.values) > 1000
