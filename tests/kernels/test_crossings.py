"""Moves that cross lines, against shapely and by hand."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from funnelfinder.kernels.crossings import crossing_strip_m, line_crossings, strip_free_share

CELL_M, ROWS, COLS = 10.0, 12, 14
MOVES = np.array(
    [(r, c) for r in range(-2, 3) for c in range(-2, 3) if abs(r) + abs(c) in (1, 3)]
    + [(r, c) for r in (-1, 1) for c in (-1, 1)]
)


def crossed(points, offsets=MOVES, rows=ROWS, cols=COLS):
    return line_crossings(
        np.asarray(points, dtype=float), 0.0, rows * CELL_M, CELL_M, rows, cols, offsets
    )


def as_set(result):
    return set(zip(result[0].tolist(), result[1].tolist(), strict=True))


def centre(row, col):
    return (col + 0.5) * CELL_M, (ROWS - row - 0.5) * CELL_M


def crossings_by_shapely(points):
    """Moves that meet the line an odd number of times."""
    line = shapely.LineString(points)
    odd = set()
    for row, col, k in np.ndindex(ROWS, COLS, len(MOVES)):
        there = row + MOVES[k][0], col + MOVES[k][1]
        if 0 <= there[0] < ROWS and 0 <= there[1] < COLS:
            move = shapely.LineString([centre(row, col), centre(*there)])
            if len(shapely.get_coordinates(line.intersection(move))) % 2:
                odd.add((row * COLS + col, k))
    return odd


# Irrational parts keep random lines off cell centres, and corners off the moves between them.
CORNER = st.tuples(
    st.integers(-30, 170).map(lambda x: x + np.sqrt(2) / 3),
    st.integers(-30, 150).map(lambda y: y + np.sqrt(3) / 5),
)


@settings(max_examples=12, deadline=None)
@given(st.lists(CORNER, min_size=2, max_size=5, unique=True))
def test_crossing_moves_are_those_that_meet_the_line_an_odd_number_of_times(points):
    assert as_set(crossed(points)) == crossings_by_shapely(points)


@settings(max_examples=30, deadline=None)
@given(
    st.lists(
        st.tuples(st.integers(-1, 28), st.integers(-1, 24)), min_size=2, max_size=6, unique=True
    )
)
def test_a_move_and_its_reverse_cross_alike_on_lines_through_centres(halves):
    """Corners on centres, edges and corners of cells: the hardest places."""
    found = as_set(crossed(np.array(halves) * CELL_M / 2))
    back = {tuple(m): k for k, m in enumerate(MOVES.tolist())}
    for cell, k in found:
        dr, dc = MOVES[k]
        row, col = divmod(cell, COLS)
        assert ((row + dr) * COLS + col + dc, back[(-dr, -dc)]) in found


@settings(max_examples=30, deadline=None)
@given(st.lists(st.tuples(st.integers(1, 26), st.integers(1, 22)), min_size=3, max_size=6))
def test_every_round_of_moves_crosses_a_ring_an_even_number_of_times(halves):
    """A closed line cannot be entered without being left, whatever it passes through."""
    ring = np.array([*halves, halves[0]]) * CELL_M / 2
    if len({tuple(p) for p in ring}) < 3 or not shapely.LineString(ring).is_simple:
        return
    found = as_set(crossed(ring))
    k = {tuple(m): i for i, m in enumerate(MOVES.tolist())}
    for row in range(ROWS - 2):
        for col in range(COLS - 1):
            cell = row * COLS + col
            square = [(cell, k[0, 1]), (cell + 1, k[1, 0]), (cell + COLS, k[0, 1]), (cell, k[1, 0])]
            assert sum(step in found for step in square) % 2 == 0
            knight = [(cell, k[2, 1]), (cell, k[1, 0]), (cell + COLS, k[1, 1])]
            assert sum(step in found for step in knight) % 2 == 0


def test_a_centre_on_the_line_is_on_its_left():
    """A line east through the centres of row 5: its left is north, so moves south cross."""
    y = centre(5, 0)[1]
    found = as_set(crossed([(-20.0, y), (200.0, y)], np.array([[1, 0], [-1, 0], [0, 1]])))
    assert found == {(5 * COLS + c, 0) for c in range(COLS)} | {
        (6 * COLS + c, 1) for c in range(COLS)
    }


def test_a_line_drawn_the_other_way_puts_the_centre_on_the_other_side():
    y = centre(5, 0)[1]
    found = as_set(crossed([(200.0, y), (-20.0, y)], np.array([[1, 0], [-1, 0]])))
    assert found == {(4 * COLS + c, 0) for c in range(COLS)} | {
        (5 * COLS + c, 1) for c in range(COLS)
    }


def test_a_corner_on_a_centre_parts_the_cells_round_it():
    """East, then north at the centre of (5, 5): left is the quarter in the north-west."""
    x, y = centre(5, 5)
    found = as_set(crossed([(x - 33.0, y), (x, y), (x, y + 33.0)]))
    crossing = {tuple(MOVES[k]) for cell, k in found if cell == 5 * COLS + 5}
    left = {(0, -1), (-1, 0), (-1, -1), (-2, -1), (-1, -2)}
    assert crossing == {tuple(m) for m in MOVES.tolist()} - left


def test_a_move_through_a_corner_counts_once():
    """A line whose corner lies on the move from (5, 5) to (5, 6)."""
    x, y = centre(5, 5)
    line = [(x + 2.0, y - 20.0), (x + 5.0, y), (x + 2.0, y + 20.0)]
    assert (5 * COLS + 5, 0) in as_set(crossed(line, np.array([[0, 1]])))


def test_a_corner_that_only_touches_a_move_counts_as_none():
    x, y = centre(5, 5)
    line = [(x + 2.0, y + 20.0), (x + 5.0, y), (x + 8.0, y + 20.0)]
    assert (5 * COLS + 5, 0) not in as_set(crossed(line, np.array([[0, 1]])))


def test_a_move_that_comes_back_on_a_bend_crosses_nothing():
    x, y = centre(5, 5)
    line = [(x + 2.0, y + 20.0), (x + 5.0, y - 4.0), (x + 8.0, y + 20.0)]
    assert (5 * COLS + 5, 0) not in as_set(crossed(line, np.array([[0, 1]])))


def test_the_crossing_lies_where_the_line_says():
    """Along and normal, on a line of 3-4-5 slope across a column."""
    cells, index, along_m, east, north = crossed([(0.0, 20.0), (80.0, 80.0)], np.array([[1, 0]]))
    x = (cells % COLS + 0.5) * CELL_M
    np.testing.assert_allclose(along_m, x * 1.25, atol=1e-9)
    np.testing.assert_allclose(east, -0.6)
    np.testing.assert_allclose(north, 0.8)
    assert set(index) == {0}


def test_strips_of_one_kind_of_move_tile_the_line():
    """The strips of all moves east lie end to end along a slanting line."""
    line = np.array([(13.0, -40.0), (121.0, 200.0)])
    east = np.array([[0, 1]])
    _, index, along_m, normal_east, normal_north = crossed(line, east)
    strip_m = crossing_strip_m(CELL_M, east[index], normal_east, normal_north)
    order = np.argsort(along_m)
    np.testing.assert_allclose(np.diff(along_m[order]), strip_m[order][1:], rtol=1e-9)


def test_a_line_off_the_grid_or_without_length_crosses_nothing():
    assert len(crossed([(-500.0, -500.0), (-400.0, -450.0)])[0]) == 0
    assert len(crossed([(50.0, 50.0)])[0]) == 0
    assert len(crossed([(52.0, 50.0), (52.0, 50.0)])[0]) == 0


@pytest.mark.parametrize(
    ("gap", "share"), [((0, 4), 0.0), ((6, 14), 1.0), ((10, 99), 0.5), ((9, 11), 0.25)]
)
def test_the_free_share_is_the_part_of_the_strip_in_the_gap(gap, share):
    found = strip_free_share(np.array([10.0]), np.array([8.0]), np.array([gap], dtype=float))
    assert found == pytest.approx(share)


def test_gaps_that_overlap_are_not_counted_twice():
    gaps = np.array([[8.0, 10.0], [9.0, 12.0], [11.0, 11.5]])
    assert strip_free_share(np.array([10.0]), np.array([8.0]), gaps) == pytest.approx(0.5)


def test_a_thousand_cells_of_line_are_found_fast_and_whole():
    """A wavy line over 1,000 × 1,000 cells: each column is crossed an odd number of times."""
    x = np.linspace(-5.0, 10_005.0, 4001)
    wave = np.column_stack([x, 5000.0 + 2000.0 * np.sin(x / 700.0)])
    cells, *_ = line_crossings(wave, 0.0, 10_000.0, 10.0, 1000, 1000, np.array([[1, 0]]))
    assert np.all(np.bincount(cells % 1000, minlength=1000) % 2 == 1)
