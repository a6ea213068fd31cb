"""Likely beds and food on real ground: outlines lie where the words say, and are few.

Ground: public elevation (SRTM) and national land cover 2011 of a canyon in Utah, 30 m, and 1 m
lidar of a hill in North Carolina. No beds were recorded there: only the words are checked.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
import rasterio
import shapely
from pyproj import Transformer

from funnelfinder.defaults import Settings, with_setting
from funnelfinder.files.grids_in import read_grids
from funnelfinder.ground import prepare_ground
from funnelfinder.marks import MarkKind, Property
from funnelfinder.suggestions import suggestions

REAL = Path(__file__).parents[3] / "shared" / "real"
CANYON, LIDAR = REAL / "canyon_30m", REAL / "lidar_1m"


def looked_at(elevation: Path, cover: Path, *, half_m: float, surround: str):
    """A square property in the middle of real grids, its ground, and what is suggested."""
    with rasterio.open(elevation) as dataset:
        to_degrees = Transformer.from_crs(dataset.crs.to_wkt(), 4326, always_xy=True)
        west, south, east, north = to_degrees.transform_bounds(*dataset.bounds)
    lon, lat = (west + east) / 2, (south + north) / 2
    epsg = 32600 + int(lon // 6 + 31)
    x, y = Transformer.from_crs(4326, epsg, always_xy=True).transform(lon, lat)
    square = shapely.box(x - half_m, y - half_m, x + half_m, y + half_m)
    place = Property(
        name="Real",
        epsg=epsg,
        boundary=shapely.MultiPolygon([square]),
        settings=with_setting(Settings(), "surround", surround),
    )
    grids, table = read_grids(place, elevation=[elevation], cover=[cover])
    place = replace(place, cover_table=table)
    return prepare_ground(place, grids), suggestions(place, grids)


@pytest.mark.skipif(not CANYON.exists(), reason="real grids (shared/real/canyon_30m) are not here")
def test_beds_of_a_canyon_lie_in_woods_on_ground_that_can_be_lain_on():
    ground, found = looked_at(
        CANYON / "srtm.tif", CANYON / "nlcd2011.tif", half_m=600.0, surround="800"
    )
    beds = [one for one in found if one.kind is MarkKind.BED]
    assert 3 <= len(beds) <= 12
    woods = {41, 42, 43, 52, 90}
    for one in beds:
        inside = shapely.contains_xy(
            one.geometry,
            *np.moveaxis(
                ground.grid.points_m(*map(np.ravel, np.indices(ground.grid.shape))), -1, 0
            ),
        ).reshape(ground.grid.shape)
        assert set(np.unique(ground.cover[inside])) <= woods
        # The outline may take in a steeper cell where its staircase was taken out.
        assert np.quantile(ground.slope_deg[inside], 0.9) < 27.0
        assert 0.2 < one.geometry.area / 4046.86 < 2.0


@pytest.mark.skipif(not LIDAR.exists(), reason="real grids (shared/real/lidar_1m) are not here")
def test_scattered_trees_hold_no_beds():
    """Woods of the hill are ragged: nowhere 20 yards inside cover (looked at as a picture)."""
    _, found = looked_at(
        LIDAR / "elevation_2016.tif", LIDAR / "landcover.tif", half_m=130.0, surround="100"
    )
    assert [one for one in found if one.kind is MarkKind.BED] == []
