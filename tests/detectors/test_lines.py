"""Lines that are cut into the ground, and where they begin."""

import numpy as np
import pytest

from funnelfinder.detectors.lines import cut_lines
from funnelfinder.detectors.relief import Relief
from funnelfinder.grid import Grid

GRID = Grid(epsg=32617, west_m=0.0, north_m=600.0, cell_m=5.0, n_rows=120, n_cols=160)
ROWS, COLS = np.indices(GRID.shape)
X, Y = (COLS + 0.5) * 5.0, 600.0 - (ROWS + 0.5) * 5.0


def found(z, length_m=80.0):
    """The cut lines of a ground."""
    return cut_lines(
        Relief(grid=GRID, heights_m=z),
        least_area_m2=2_000.0,
        side_m=25.0,
        least_depth_m=3.0,
        length_m=length_m,
    )


def trough(x, head, depth=6.0):
    """A trough along a column of the ground that begins at y = head, 20 m to full depth."""
    cut = depth * np.clip((head - Y) / 20.0, 0.0, 1.0)
    return -cut * np.exp(-(((X - x) / 15.0) ** 2))


BASE = 300.0 + 0.15 * Y + 0.01 * np.abs(X - 400.0)


def test_a_trough_begins_at_its_head_and_runs_down():
    (line,) = found(BASE + trough(400.0, 400.0))
    assert line.points_m[0] == pytest.approx([400.0, 390.0], abs=12.0)
    assert (np.diff(line.points_m[:, 1]) <= 0).all()
    assert 80.0 <= line.length_m <= 170.0
    assert line.depth_m.max() == pytest.approx(6.0, abs=0.8)


def test_a_short_cut_and_a_shallow_one_are_none():
    cut = trough(400.0, 400.0) - trough(400.0, 340.0)
    assert found(BASE + cut) == []
    assert found(BASE + trough(400.0, 400.0, depth=2.5)) == []


def test_a_trough_that_comes_from_beyond_the_rim_does_not_begin():
    assert found(BASE + trough(400.0, 2_000.0)) == []


def test_two_troughs_far_apart_are_two_and_near_by_the_deeper_one():
    wide = 300.0 + 0.15 * Y
    apart = wide + trough(250.0, 400.0) + trough(550.0, 300.0)
    apart += 0.01 * np.minimum(np.abs(X - 250.0), np.abs(X - 550.0))
    assert sorted(round(line.points_m[0, 0] / 50) * 50 for line in found(apart)) == [250, 550]
    near = wide + trough(370.0, 400.0) + trough(430.0, 400.0, depth=8.0)
    near += 0.01 * np.minimum(np.abs(X - 370.0), np.abs(X - 430.0))
    (line,) = found(near)
    assert line.points_m[0, 0] == pytest.approx(430.0, abs=10.0)


def test_a_ground_without_lines_or_of_holes_has_none():
    assert found(300.0 + 0.15 * Y) == []
    assert found(np.full(GRID.shape, np.nan)) == []
