"""Holes, fill values and water in elevation grids."""

from __future__ import annotations

import numpy as np
import pytest

from funnelfinder.errors import GridError
from tests.files.grids_in.written import (
    X_0,
    Y_0,
    errors_m,
    hill,
    property_at,
    read,
    with_pit,
    written,
)

# Holes --------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("dtype", "fill", "nodata"),
    [
        ("int16", -32768, -32768),
        ("int16", -32768, None),
        ("int32", -999999, -999999),
        ("float32", -999999, None),
        ("float32", -9999, None),
        ("float32", 1e38, 1e38),
        ("float32", 1e38, None),
        ("float32", -3.4028234663852886e38, -3.4028234663852886e38),
        ("float32", np.nan, None),
        ("float32", np.nan, np.nan),
        ("uint16", 65535, None),
        ("float32", 0.0, None),
        ("int16", 0, 0),
    ],
)
@pytest.mark.parametrize("cell", [5.0, 2.5, 10.0])
def test_fill_values_become_holes_and_never_bleed(tmp_path, cover, *, dtype, fill, nodata, cell):
    place = property_at(side=100.0)
    file = written(
        tmp_path / "hill.tif",
        cell=(cell, cell),
        half=cell * 60,
        dtype=dtype,
        nodata=nodata,
        change=with_pit(fill),
    )
    grids, _ = read(file, cover, place=property_at(side=300.0) if cell == 5.0 else place)
    heights = grids.elevation.values
    known = np.isfinite(heights)
    # Whole metres lose half of one; nothing else may move a height beside the hole.
    assert np.nanmax(errors_m(grids)) < 0.6 + 0.05 * cell
    hole_m2 = (~known).sum() * grids.elevation.grid.cell_m**2
    if cell == 5.0:
        assert hole_m2 == pytest.approx((20 * cell) ** 2, rel=0.05)
        assert any("covers 9" in note for note in grids.notes)


def test_untagged_fill_is_named_in_a_note(tmp_path, cover):
    file = written(tmp_path / "hill.tif", dtype="int16", change=with_pit(-32768))
    grids, _ = read(file, cover)
    assert any("-32768 are no heights" in note for note in grids.notes)


def test_a_lake_at_0_m_beside_low_ground_is_no_hole(tmp_path, cover):
    file = written(
        tmp_path / "coast.tif", lambda x, y: np.maximum(hill(x, y) - 260.0, 0.0), half=300.0
    )
    grids, _ = read(file, cover)
    assert np.isfinite(grids.elevation.values).all()


def test_a_lake_stays_level_when_cells_become_smaller(tmp_path, cover):
    def lake(x: np.ndarray, y: np.ndarray) -> np.ndarray:
        return np.where(np.hypot(x - X_0, y - Y_0) < 120.0, 240.0, hill(x, y))

    grids, _ = read(written(tmp_path / "lake.tif", lake, cell=(10.0, 10.0), half=320.0), cover)
    grid = grids.elevation.grid
    points = grid.points_m(*np.indices(grid.shape))
    inner = (np.hypot(points[:, 0] - X_0, points[:, 1] - Y_0) < 90.0).reshape(grid.shape)
    assert np.abs(grids.elevation.values[inner] - 240.0).max() < 1e-3


def test_integer_heights_refine_smoothly(tmp_path, cover):
    file = written(tmp_path / "hill.tif", dtype="int16", cell=(30.0, 30.0), half=330.0)
    grids, _ = read(file, cover)
    assert grids.elevation.grid.cell_m == 5.0
    assert np.nanmax(errors_m(grids)) < 1.5


def test_only_holes_is_an_error(tmp_path, cover):
    file = written(tmp_path / "none.tif", nodata=-9999, change=lambda values: 0 * values - 9999)
    with pytest.raises(GridError, match=r"only holes on Hickory Run"):
        read(file, cover)


@pytest.mark.parametrize("fill", [-9999.0, np.nan])
def test_a_tile_that_is_all_untagged_fill_leaves_the_others(tmp_path, cover, fill):
    empty = written(tmp_path / "empty.tif", change=lambda values: 0 * values + fill)
    grids, _ = read([empty, written(tmp_path / "hill.tif")], cover)
    assert np.nanmax(errors_m(grids)) < 1e-3
    assert grids.elevation.source == "hill.tif"


def test_no_height_at_all_is_an_error(tmp_path, cover):
    file = written(tmp_path / "far.tif", change=lambda values: values + 20_000)
    with pytest.raises(GridError, match=r"far\.tif: Its cells, such as .* are no heights"):
        read(file, cover)


def test_partial_cover_is_a_note_with_its_share(tmp_path, cover):
    file = written(tmp_path / "part.tif", half=125.0)
    grids, _ = read(file, cover)
    share = np.isfinite(grids.elevation.values).mean()
    assert 0.2 < share < 0.3
    note = f"The elevation covers {100 * share:.0f} % of the extent; the rest counts as a hole."
    assert note in grids.notes
