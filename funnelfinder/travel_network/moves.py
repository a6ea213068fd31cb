"""The moves between cells of a cost surface, with the lines that some of them cross."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final, TypeAlias

import numpy as np

from funnelfinder.barriers import Barrier
from funnelfinder.cost import CostSurface
from funnelfinder.errors import FunnelFinderError
from funnelfinder.grid import Grid, frozen
from funnelfinder.kernels import FloatArray
from funnelfinder.kernels.crossings import crossing_strip_m, line_crossings, strip_free_share
from funnelfinder.kernels.search import HALF_MOVES, move_costs

#: Kept moves of a cell by number of neighbours.
_KEPT: Final = {8: 4, 16: 8}
#: A move owns no more of a line than the widest strip of a move straight across it [cells], so
#: that a glancing move far from a gap is not free; strips of this width still leave no gap shut.
WIDEST_STRIP_CELLS: Final = math.sqrt(2.0)


@dataclass(frozen=True, kw_only=True)
class Moves:
    """What every move between neighbouring cells costs.

    Parameters
    ----------
    surface : CostSurface
        What they were made from.
    costs_m : (n, 4 or 8) float64
        Cost of the moves of `HALF_MOVES` from each cell; infinite is no move [m of best ground].
    """

    surface: CostSurface
    costs_m: FloatArray

    @property
    def grid(self) -> Grid:
        """The cells."""
        return self.surface.grid

    @property
    def n_neighbours(self) -> int:
        """8 or 16."""
        return 2 * int(self.costs_m.shape[1])


Walkable: TypeAlias = CostSurface | Moves


def moves_of(surface: CostSurface, *, n_neighbours: int = 16) -> Moves:
    """Return the moves of a cost surface; make them once for many searches.

    A move costs its length × the mean cost of the cells it touches × the mean slope factor of its
    ends, and what each line costs that it crosses; a line is free if any of the move's strip lies
    in a gap.

    Parameters
    ----------
    surface : CostSurface
        What moving costs.
    n_neighbours : int
        8 or 16 (with knight's moves).

    Raises
    ------
    FunnelFinderError
        If the number of neighbours is neither.
    """
    if n_neighbours not in _KEPT:
        raise FunnelFinderError(
            f"A search with {n_neighbours} neighbours is not known.", remedy="Choose 8 or 16."
        )
    costs = move_costs(
        surface.cost,
        surface.slope_factor,
        surface.fall_east,
        surface.fall_north,
        cell_m=surface.grid.cell_m,
        n_moves=_KEPT[n_neighbours],
    )
    for barrier in surface.barriers:
        _add_line(costs, barrier, surface.grid)
    return Moves(surface=surface, costs_m=frozen(costs))


def _add_line(costs_m: FloatArray, barrier: Barrier, grid: Grid) -> None:
    """Add what a line costs to the moves that cross it outside its gaps."""
    offsets = HALF_MOVES[: costs_m.shape[1]]
    cells, index, along_m, east, north = line_crossings(
        barrier.points_m,
        grid.west_m,
        grid.north_m,
        grid.cell_m,
        grid.n_rows,
        grid.n_cols,
        offsets,
    )
    strip_m = crossing_strip_m(grid.cell_m, offsets[index], east, north)
    strip_m = np.minimum(strip_m, WIDEST_STRIP_CELLS * grid.cell_m)
    is_free = strip_free_share(along_m, strip_m, np.array(barrier.gaps_m)) > 0.0
    costs_m[cells[~is_free], index[~is_free]] += barrier.cost_m


def as_moves(ground: Walkable, n_neighbours: int = 16) -> Moves:
    """Return the moves of what may be walked on."""
    return ground if isinstance(ground, Moves) else moves_of(ground, n_neighbours=n_neighbours)
