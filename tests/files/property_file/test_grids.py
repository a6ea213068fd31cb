"""Grids go through the file unchanged, holes and odd values included."""

import sqlite3
from dataclasses import replace

import numpy as np
import pytest

from funnelfinder.errors import PropertyFileError, Stopped
from funnelfinder.files.property_file import (
    create,
    load_findings,
    load_grids,
    load_place,
    save_findings,
    save_grids,
)
from funnelfinder.grid import Grid
from funnelfinder.ground import Grids, Raster
from funnelfinder.progress import Told
from tests import scenes
from tests.files.property_file.made_up import findings_on, is_same

PLACE, GRIDS = scenes.scene(parts=2, marks=scenes.pair_marks())


@pytest.fixture
def path(tmp_path):
    create(tmp_path / "hollow.gpkg", PLACE)
    return tmp_path / "hollow.gpkg"


def odd_grids(n_rows=700, n_cols=530):
    """Grids with whole tiles of holes and of zeros, tiny and infinite heights, all codes."""
    rng = np.random.default_rng(3)
    heights = rng.normal(300, 20, (n_rows, n_cols)).astype(np.float32)
    heights[:300, :300] = np.nan
    heights[300:600, :300] = 0
    heights[650, 500:504] = np.inf, -np.inf, 1e-40, -np.float32(3e38)
    codes = rng.integers(0, 256, (n_rows // 2, n_cols // 2)).astype(np.uint8)
    codes[:256, :256] = 0
    fine = Grid(
        epsg=32617, west_m=400_000.3, north_m=4_300_000.7, cell_m=1.25, n_rows=n_rows, n_cols=n_cols
    )
    coarse = replace(fine, cell_m=2.5, n_rows=n_rows // 2, n_cols=n_cols // 2)
    return Grids(
        elevation=Raster(grid=fine, values=heights, source="north.tif, süd.tif", source_cell_m=1.0),
        cover=Raster(grid=coarse, values=codes, source="cover.tif", source_cell_m=30.0),
        notes=("3 % of the elevation is missing.", "A note."),
    )


def test_every_cell_comes_back_equal(path):
    grids = odd_grids()
    save_grids(path, grids)
    back = load_grids(path)
    assert is_same(back, grids)
    assert not back.elevation.values.flags.writeable
    assert not back.cover.values.flags.writeable


@pytest.mark.parametrize("height", [np.nan, 0.0, 123.456])
def test_a_grid_of_one_value_comes_back_equal(path, height):
    values = np.full(GRIDS.elevation.grid.shape, height, dtype=np.float32)
    grids = replace(GRIDS, elevation=replace(GRIDS.elevation, values=values))
    save_grids(path, grids)
    assert is_same(load_grids(path), grids)


def test_one_cell_is_a_grid(path):
    tiny = replace(GRIDS.elevation.grid, n_rows=1, n_cols=1)
    one = replace(GRIDS.elevation, grid=tiny, values=np.array([[7]], np.float32))
    grids = Grids(elevation=one, cover=replace(one, values=np.array([[41]], np.uint8)))
    save_grids(path, grids)
    assert is_same(load_grids(path), grids)


def test_new_property_has_no_grids(path):
    assert load_grids(path) is None


def test_new_grids_take_the_place_of_the_old_and_all_else_stays(path):
    save_grids(path, odd_grids())
    size = path.stat().st_size
    findings = findings_on(GRIDS.cover.grid)
    save_findings(path, findings)
    save_grids(path, GRIDS)
    assert is_same(load_grids(path), GRIDS)
    assert is_same(load_findings(path), findings)
    assert load_place(path) == PLACE
    assert path.stat().st_size < size, "the space of the old grids was given back"


def test_stopping_leaves_the_file_as_it_was(path):
    save_grids(path, GRIDS)
    before = path.read_bytes()
    steps = []
    stopping = Told(lambda share, _: steps.append(share), is_stopped=lambda: len(steps) == 1)
    with pytest.raises(Stopped):
        save_grids(path, odd_grids(), progress=stopping)
    assert path.read_bytes() == before
    assert [one.name for one in path.parent.iterdir()] == [path.name]


def test_progress_grows(path):
    steps = []
    save_grids(path, odd_grids(), progress=Told(lambda share, words: steps.append((share, words))))
    assert steps == sorted(steps)
    assert 0 <= steps[0][0] <= steps[-1][0] <= 1


def test_cells_that_fit_no_kept_type_are_refused(path):
    """Codes above 255 have no class."""
    codes = np.full(GRIDS.cover.grid.shape, 999, dtype=np.int32)
    before = path.read_bytes()
    with pytest.raises(PropertyFileError, match="land cover could not be written as it is"):
        save_grids(path, replace(GRIDS, cover=replace(GRIDS.cover, values=codes)))
    assert path.read_bytes() == before


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ("UPDATE coverages SET n_rows = 3 WHERE name = 'elevation'", "cells are not"),
        ("UPDATE coverages SET cell_m = 0 WHERE name = 'elevation'", "larger than 0 m"),
        ("UPDATE coverages SET kept_as = 'object' WHERE name = 'elevation'", "unknown"),
        ("DROP TABLE elevation", "hollow.gpkg"),
    ],
)
def test_what_others_spoiled_is_named(path, change, words):
    save_grids(path, GRIDS)
    with sqlite3.connect(path) as db:
        db.execute(change)
    db.close()
    with pytest.raises(PropertyFileError, match=words) as caught:
        load_grids(path)
    assert str(path) in str(caught.value)
