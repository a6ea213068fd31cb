"""Land cover: codes, legends, tables."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from funnelfinder.errors import GridError, SettingError
from funnelfinder.land_cover import CoverClass, CoverTable, shipped_table
from tests.files.grids_in.written import (
    PLACE,
    X_0,
    read,
    stripes,
    written,
)

# Land cover ---------------------------------------------------------------------------------


def expected_stripes(grids) -> np.ndarray:
    """The stripes at the centres of the travel cells."""
    grid = grids.cover.grid
    points = grid.points_m(*np.indices(grid.shape))
    return stripes(points[:, 0], points[:, 1]).reshape(grid.shape)


@pytest.mark.parametrize("cell", [1.0, 2.5, 5.0])
def test_classes_are_never_interpolated(tmp_path, cell):
    hills = written(tmp_path / "hill.tif")
    codes = written(tmp_path / "c.tif", stripes, dtype="uint8", cell=(cell, cell), half=330.0)
    grids, _ = read(hills, codes)
    assert set(np.unique(grids.cover.values)) <= {41, 81, 82}
    assert (grids.cover.values == expected_stripes(grids)).mean() > 0.95


def test_cover_ten_times_coarser_than_elevation(tmp_path):
    hills = written(tmp_path / "hill.tif", cell=(1.0, 1.0), half=260.0)
    codes = written(
        tmp_path / "c.tif", stripes, dtype="uint8", cell=(30.0, 30.0), half=450.0, crs="EPSG:5070"
    )
    grids, _ = read(hills, codes)
    assert grids.cover.source_cell_m == pytest.approx(30.0, abs=0.05)
    assert grids.elevation.grid.cell_m == 1.0
    assert set(np.unique(grids.cover.values)) == {41, 81, 82}
    assert (grids.cover.values == expected_stripes(grids)).mean() > 0.7


def test_a_palette_is_read_by_its_codes(tmp_path):
    codes = written(
        tmp_path / "c.tif", stripes, dtype="uint8", palette={41: (9, 99, 9, 255)}, half=400.0
    )
    grids, _ = read(written(tmp_path / "hill.tif"), codes)
    assert set(np.unique(grids.cover.values)) == {41, 81, 82}


def test_unknown_codes_are_named_and_become_holes(tmp_path):
    odd = lambda x, y: np.where(x > X_0 + 150, 99, stripes(x, y))  # noqa: E731
    codes = written(tmp_path / "c.tif", odd, dtype="uint8", half=400.0)
    grids, table = read(written(tmp_path / "hill.tif"), codes, legend="nlcd")
    assert any("20 % of the extent has unknown codes (99)" in note for note in grids.notes)
    assert (grids.cover.values == table.hole_code).mean() == pytest.approx(0.2, abs=0.01)


def test_mostly_unknown_codes_are_an_error(tmp_path):
    crops = lambda x, y: np.where(x > X_0, 141, 5)  # noqa: E731
    codes = written(tmp_path / "c.tif", crops, dtype="uint8", half=400.0)
    with pytest.raises(GridError, match=r"c\.tif: Most of its codes \(5, 141\)"):
        read(written(tmp_path / "hill.tif"), codes, legend="nlcd")


def test_the_legend_is_recognised_when_only_one_fits(tmp_path):
    hills = written(tmp_path / "hill.tif")
    world = lambda x, y: np.where(x > X_0, 10, 40)  # noqa: E731
    codes = written(tmp_path / "c.tif", world, dtype="uint8", half=400.0)
    grids, table = read(hills, codes)
    assert table.legend == "worldcover"
    assert "c.tif: the class codes are those of worldcover, which was taken." in grids.notes


@pytest.mark.parametrize(("code", "why"), [(90, "more than one legend"), (7, "no legend")])
def test_an_ambiguous_legend_is_asked_for(tmp_path, code, why):
    codes = written(
        tmp_path / "c.tif", lambda x, y: np.full(x.shape, code), dtype="uint8", half=400.0
    )
    with pytest.raises(GridError, match=rf"{why}.*Pass the legend"):
        read(written(tmp_path / "hill.tif"), codes)


def test_a_table_of_ones_own_gets_a_class_for_holes(tmp_path):
    own = CoverTable(
        legend="mine",
        classes=(
            CoverClass(code=0, name="woods", resistance=1.0, low=1.0, high=1.2, is_woody=True),
            CoverClass(code=1, name="field", resistance=1.2, low=1.0, high=2.0, is_open=True),
        ),
    )
    codes = written(
        tmp_path / "c.tif", lambda x, y: (x > X_0).astype(int), dtype="int16", half=150.0
    )
    grids, table = read(written(tmp_path / "hill.tif"), codes, legend=own)
    assert table.hole_code == 255
    assert set(np.unique(grids.cover.values)) == {0, 1, 255}


def test_the_table_that_the_property_has_is_recognised_too(tmp_path):
    classes = tuple(
        CoverClass(code=code, name=f"c{code}", resistance=1.0, low=1.0, high=1.2)
        for code in (1, 2, 3)
    )
    place = replace(PLACE, cover_table=CoverTable(legend="mine", classes=classes))
    codes = written(tmp_path / "c.tif", lambda x, y: 1 + (x > X_0), dtype="float32", half=400.0)
    grids, table = read(written(tmp_path / "hill.tif"), codes, place=place)
    assert table.legend == "mine"
    assert set(np.unique(grids.cover.values)) == {1, 2}


def test_codes_beyond_255_are_unknown_and_named(tmp_path):
    odd = lambda x, y: np.where(x > X_0 + 150, 4100, stripes(x, y))  # noqa: E731
    codes = written(tmp_path / "c.tif", odd, dtype="int32", half=400.0)
    grids, _ = read(written(tmp_path / "hill.tif"), codes, legend="nlcd")
    assert any("unknown codes (4100)" in note for note in grids.notes)


def test_costs_that_the_person_edited_stay(tmp_path, cover):
    edited = shipped_table("nlcd").with_resistances({41: 1.15})
    place = replace(PLACE, cover_table=edited)
    _, table = read(written(tmp_path / "hill.tif"), cover, place=place)
    assert table == edited


def test_an_unknown_legend_is_an_error(tmp_path, cover):
    with pytest.raises(SettingError, match="No land-cover legend"):
        read(written(tmp_path / "hill.tif"), cover, legend="bogus")


def test_elevation_and_cover_mixed_up_are_caught(tmp_path, cover):
    hills = written(tmp_path / "hill.tif")
    with pytest.raises(GridError, match=r"cover\.tif: It looks like land cover"):
        read(cover, hills)
    with pytest.raises(GridError, match=r"hill\.tif: Its cells hold fractions"):
        read(hills, hills)
    tall = written(tmp_path / "tall.tif", dtype="int16", change=lambda values: values * 20)
    with pytest.raises(GridError, match=r"tall\.tif: Its cells hold \d+ different values"):
        read(hills, tall)
    whole = written(tmp_path / "whole.tif", dtype="int16")
    with pytest.raises(GridError, match=r"whole\.tif"):
        read(hills, whole)
