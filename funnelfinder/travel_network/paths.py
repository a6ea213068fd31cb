"""Least-cost distances and paths on the grid."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from typing import Final

import numpy as np

from funnelfinder.errors import GridError, NoWayError
from funnelfinder.grid import Grid, frozen
from funnelfinder.ground import Patch
from funnelfinder.kernels import BoolArray, FloatArray, IntArray
from funnelfinder.kernels.search import HALF_MOVES, search
from funnelfinder.travel_network.moves import Moves, Walkable, as_moves

#: Searches run beside each other: they leave the interpreter lock, and two cores are common.
_AT_A_TIME: Final = 2


@dataclass(frozen=True, kw_only=True)
class Search:
    """Least-cost distances from a set of cells.

    Parameters
    ----------
    grid : Grid
        The cells.
    distance_m : (rows, cols) float64
        Least cost; infinite where no way leads [m of best ground].
    previous : (rows, cols) int64
        Flat index of the cell before; -1 at starts and where no way leads.
    """

    grid: Grid
    distance_m: FloatArray
    previous: IntArray

    def path_to(self, cell: int) -> IntArray:
        """Return the flat indices of the cells from a start to ``cell``.

        Raises
        ------
        NoWayError
            If no way leads there.
        """
        if not math.isfinite(self.distance_m.flat[cell]):
            raise NoWayError("No way leads to the cell.", remedy="Mark a gap in what shuts it off.")
        before = self.previous.ravel()
        cells = [int(cell)]
        while before[cells[-1]] >= 0:
            cells.append(int(before[cells[-1]]))
        return np.array(cells[::-1], dtype=np.int64)


@dataclass(frozen=True, kw_only=True)
class Path:
    """A way from cell to cell: ``cells`` in order (flat indices), length [m], cost [m]."""

    cells: IntArray
    points_m: FloatArray
    length_m: float
    cost_m: float


def cost_distance(
    ground: Walkable,
    cells: IntArray,
    *,
    n_neighbours: int = 16,
    start_costs_m: FloatArray | None = None,
    goals: IntArray | None = None,
    limit_m: float = math.inf,
) -> Search:
    """Return the least cost from the nearest of some cells to every cell.

    Parameters
    ----------
    ground : CostSurface or Moves
        What moving costs; moves are quicker where many searches are made.
    cells : (k,) int64
        Flat indices of the cells to start from.
    n_neighbours : int
        8 or 16, where a cost surface is given.
    start_costs_m : (k,) float64, optional
        What each start costs already [m].
    goals : int64 array, optional
        Cells after all of which the search may end; cells not reached by then are infinite.
    limit_m : float
        Cost beyond which the search ends [m].

    Raises
    ------
    GridError
        If there is no start, or one lies outside the grid.
    """
    moves = as_moves(ground, n_neighbours)
    starts = _checked(cells, moves.grid)
    distance, previous = search(
        moves.costs_m,
        moves.grid.n_cols,
        starts,
        start_costs=start_costs_m,
        goals=goals,
        limit=limit_m,
    )
    return Search(
        grid=moves.grid,
        distance_m=frozen(distance.reshape(moves.grid.shape)),
        previous=frozen(previous.reshape(moves.grid.shape)),
    )


def cost_distances(
    moves: Moves, starts: Sequence[IntArray], *, limit_m: float = math.inf
) -> tuple[Search, ...]:
    """Return `cost_distance` from each of several sets of cells, two at a time."""
    with ThreadPoolExecutor(max_workers=_AT_A_TIME) as pool:
        found = pool.map(lambda cells: cost_distance(moves, cells, limit_m=limit_m), starts)
        return tuple(found)


def _checked(cells: IntArray, grid: Grid) -> IntArray:
    """Return flat indices as an array; refuse none, and those outside the grid."""
    found = np.atleast_1d(np.asarray(cells, dtype=np.int64))
    if not found.size:
        raise GridError("A search needs a cell to start from.")
    if found.min() < 0 or found.max() >= grid.n_cells:
        raise GridError("A cell to search from lies outside the grid.")
    return found


def least_cost_path(
    ground: Walkable, starts: IntArray, ends: IntArray, *, n_neighbours: int = 16
) -> Path:
    """Return the cheapest path from any of some cells to any of others.

    Raises
    ------
    GridError
        If there is no start or no end, or one lies outside the grid.
    NoWayError
        If no way leads there.
    """
    moves = as_moves(ground, n_neighbours)
    goals = _checked(ends, moves.grid)
    distance, previous = search(
        moves.costs_m, moves.grid.n_cols, _checked(starts, moves.grid), goals=goals, n_wanted=1
    )
    found = Search(
        grid=moves.grid,
        distance_m=distance.reshape(moves.grid.shape),
        previous=previous.reshape(moves.grid.shape),
    )
    return path_of(moves, found.path_to(int(goals[np.argmin(distance[goals])])))


def path_of(moves: Moves, cells: IntArray) -> Path:
    """Return the path through cells that moves link.

    Raises
    ------
    NoWayError
        If no move links two cells that follow each other.
    """
    rows, cols = np.divmod(np.asarray(cells, dtype=np.int64), moves.grid.n_cols)
    costs = step_costs(moves, cells)
    if not np.isfinite(costs).all():
        raise NoWayError("Two cells of the path are not linked by a move.")
    steps = np.hypot(np.diff(rows), np.diff(cols)) * moves.grid.cell_m
    return Path(
        cells=frozen(np.asarray(cells, dtype=np.int64)),
        points_m=frozen(moves.grid.points_m(rows, cols)),
        length_m=float(steps.sum()),
        cost_m=float(costs.sum()),
    )


def step_costs(moves: Moves, cells: IntArray) -> FloatArray:
    """Return the cost of each step from cell to cell; infinite where there is no such move [m]."""
    first, kept = kept_moves(moves, cells)
    return np.where(kept >= 0, moves.costs_m[first, kept], np.inf)


def kept_moves(moves: Moves, cells: IntArray) -> tuple[IntArray, IntArray]:
    """Return with which cell and at which place each step is kept; place -1 for no such move."""
    first, second = np.minimum(cells[:-1], cells[1:]), np.maximum(cells[:-1], cells[1:])
    n_cols = moves.grid.n_cols
    d_row = second // n_cols - first // n_cols
    d_col = second % n_cols - first % n_cols
    place = np.full((3, 5), -1)
    for k, (row, col) in enumerate(HALF_MOVES[: moves.costs_m.shape[1]]):
        place[row, col + 2] = k
    is_near = (d_row <= 2) & (np.abs(d_col) <= 2)
    kept = np.where(is_near, place[np.minimum(d_row, 2), np.clip(d_col, -2, 2) + 2], -1)
    return first, kept


def tube(grid: Grid, cells: IntArray, n_cells: int) -> BoolArray:
    """Return which cells lie within a number of cells of some others, flat."""
    rows, cols = np.divmod(cells, grid.n_cols)
    is_in = np.zeros(grid.shape, dtype=np.bool_)
    reach = range(-n_cells, n_cells + 1)
    for d_row, d_col in itertools.product(reach, reach):
        if math.hypot(d_row, d_col) < n_cells + 0.5:
            is_in[
                np.clip(rows + d_row, 0, grid.n_rows - 1), np.clip(cols + d_col, 0, grid.n_cols - 1)
            ] = True
    return is_in.ravel()


def pair_paths(
    ground: Walkable,
    beds: Sequence[Patch],
    foods: Sequence[Patch],
    *,
    n_neighbours: int = 16,
    to_foods: Sequence[Search] | None = None,
) -> dict[tuple[int, int], Path]:
    """Return the least-cost path of each bed and food source that a way links.

    Parameters
    ----------
    ground : CostSurface or Moves
        What moving costs.
    beds, foods : sequences of Patch
        What trips link.
    n_neighbours : int
        8 or 16, where a cost surface is given.
    to_foods : sequence of Search, optional
        `cost_distances` from the food sources, to save searches.

    Returns
    -------
    dict
        Path by (index of bed, index of food); pairs without a way are left out.
    """
    moves = as_moves(ground, n_neighbours)
    to_foods = to_foods or cost_distances(moves, [food.cells for food in foods])
    found = {}
    for (i, bed), (j, to_food) in itertools.product(enumerate(beds), enumerate(to_foods)):
        nearest = nearest_cell(to_food, bed.cells)
        if nearest is not None:
            found[i, j] = path_of(moves, to_food.path_to(nearest)[::-1])
    return found


def nearest_cell(found: Search, cells: IntArray) -> int | None:
    """Return which of some cells is the cheapest to reach, or none if no way leads there."""
    distance = found.distance_m.ravel()[cells]
    best = int(np.argmin(distance))
    return int(cells[best]) if math.isfinite(distance[best]) else None


def pair_costs(
    ground: Walkable,
    beds: Sequence[Patch],
    foods: Sequence[Patch],
    *,
    n_neighbours: int = 16,
    to_foods: Sequence[Search] | None = None,
) -> tuple[FloatArray, FloatArray]:
    """Return least cost and length of its path for each bed and food source; see `pair_paths`.

    Returns
    -------
    cost_m, length_m : (beds, foods) float64
        Infinite where no way leads [m of best ground, m].
    """
    cost_m = np.full((len(beds), len(foods)), np.inf)
    length_m = np.full((len(beds), len(foods)), np.inf)
    paths = pair_paths(ground, beds, foods, n_neighbours=n_neighbours, to_foods=to_foods)
    for pair, path in paths.items():
        cost_m[pair], length_m[pair] = path.cost_m, path.length_m
    return cost_m, length_m


def detour_share(
    ground: Walkable,
    bed_cells: IntArray,
    food_cells: IntArray,
    disc_centre_m: tuple[float, float],
    radius_m: float,
    *,
    to_food: Search | None = None,
) -> float:
    """Return how much dearer the least-cost trip becomes when a disc is shut.

    Parameters
    ----------
    ground : CostSurface or Moves
        What moving costs.
    bed_cells, food_cells : int64 arrays
        Flat indices of the cells that trips link.
    disc_centre_m : (x_m, y_m)
        Middle of the disc [m].
    radius_m : float
        Its radius [m].
    to_food : Search, optional
        `cost_distance` from the food's cells, to save a search.

    Returns
    -------
    float
        Rise over the least cost (0.12 is 12 % more); infinite if there is no other way.

    Raises
    ------
    NoWayError
        If no way leads from bed to food even with the disc open.
    """
    moves = as_moves(ground)
    to_food = to_food or cost_distance(moves, food_cells)
    # Costs with the disc open are lower bounds: the search runs only where a better way may lie.
    bound = to_food.distance_m.ravel()
    least = float(bound[bed_cells].min())
    if not math.isfinite(least):
        raise NoWayError("No way leads from the bed to the food.")
    distance, _ = search(
        moves.costs_m,
        moves.grid.n_cols,
        bed_cells,
        goals=food_cells,
        n_wanted=1,
        still_to_come=bound,
        is_shut=_disc(moves.grid, disc_centre_m, radius_m),
    )
    rerouted = float(distance[food_cells].min())
    if least == 0.0:
        return 0.0
    return rerouted / least - 1.0 if math.isfinite(rerouted) else math.inf


def _disc(grid: Grid, centre_m: tuple[float, float], radius_m: float) -> BoolArray:
    """Return which cells have their centres in a disc, flat."""
    rows, cols = grid.rows_cols(np.array([centre_m]))
    apart = np.hypot(
        (np.arange(grid.n_rows) - rows[0])[:, None], (np.arange(grid.n_cols) - cols[0])[None, :]
    )
    return np.asarray(apart * grid.cell_m <= radius_m).ravel()
