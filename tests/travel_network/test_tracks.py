"""Routes laid beside and across each other."""

from __future__ import annotations

import numpy as np
import pytest

from funnelfinder.cost import CostSurface
from funnelfinder.grid import Grid
from funnelfinder.travel_network import least_cost_path, moves_of
from funnelfinder.travel_network.tracks import Tracks, without_loops

ROWS, COLS, CELL_M = 30, 60, 10.0


def even():
    shape = ROWS, COLS
    return moves_of(
        CostSurface(
            grid=Grid(
                epsg=32617,
                west_m=0.0,
                north_m=ROWS * CELL_M,
                cell_m=CELL_M,
                n_rows=ROWS,
                n_cols=COLS,
            ),
            cost=np.ones(shape),
            slope_factor=np.ones(shape),
            fall_east=np.zeros(shape),
            fall_north=np.zeros(shape),
            is_removed=np.zeros(shape, dtype=bool),
            barriers=(),
        )
    )


def laid(*ends, merge_m=27.0):
    """Tracks from (row, col) to (row, col), laid in order, each with patches of its own."""
    tracks = Tracks(even(), merge_m)
    for number, places in enumerate(ends):
        cells = [np.array([row * COLS + col]) for row, col in places]
        path = least_cost_path(tracks.moves, *cells)
        tracks.lay(path.cells, (("bed", number), ("food", number)), (cells[0], cells[1]))
    return tracks


def test_the_first_route_is_laid_as_it_is():
    tracks = laid([(10, 0), (10, 59)])
    assert sorted(tracks.cells.tolist()) == list(range(600, 660))
    assert tracks.thresholds == {(("bed", 0), 600), (("food", 0), 659)}


def test_a_route_beside_a_track_joins_it():
    tracks = laid([(10, 0), (10, 59)], [(12, 0), (12, 59)])
    off_track = [cell for cell in tracks.cells.tolist() if cell // COLS != 10]
    assert len(off_track) < 10


def test_a_route_beyond_the_merging_distance_stays_apart():
    tracks = laid([(10, 0), (10, 59)], [(16, 0), (16, 59)])
    assert {cell // COLS for cell in tracks.cells.tolist()} == {10, 16}


@pytest.mark.parametrize("ends", [[(0, 20), (29, 40)], [(1, 30), (28, 31)], [(0, 5), (29, 58)]])
def test_a_route_across_a_track_shares_a_cell_with_it(ends):
    tracks = laid([(10, 0), (17, 59)], ends)
    assert max(dict(tracks.graph.degree).values()) >= 3


def test_cells_are_apart_beyond_the_merging_distance():
    tracks = laid([(10, 0), (10, 59)])
    route = np.array([row * COLS + 30 for row in (10, 12, 13, 20)])
    assert tracks.is_apart(route).tolist() == [False, False, True, True]


def test_loops_within_loops_are_cut():
    assert without_loops([1, 2, 3, 4, 3, 2, 5, 6, 5]) == [1, 2, 5]
