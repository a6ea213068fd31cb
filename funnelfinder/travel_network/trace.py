"""Ways from a bed to a food source that are really different from the best one."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

import numpy as np
from scipy import ndimage

from funnelfinder.grid import Grid
from funnelfinder.ground import Patch
from funnelfinder.kernels import FloatArray, IntArray
from funnelfinder.kernels.gates import gates
from funnelfinder.kernels.search import search
from funnelfinder.travel_network.moves import Moves
from funnelfinder.travel_network.paths import Path, Search, tube
from funnelfinder.travel_network.tracks import PatchNode, without_loops

#: An alternative costs at most this many times the least-cost path (judgement).
MOST_COST: Final = 1.5
#: What lies between two ways is dearer than either by this share of the least cost (judgement).
_PROMINENCE_SHARE: Final = 0.05
#: How far from its cells a traced way may be straightened [cells].
_TUBE_CELLS: Final = 2
#: A ridge of passage carries at least this share of what the tracks carry (judgement).
_RIDGE_SHARE: Final = 0.25


@dataclass(frozen=True, kw_only=True)
class TracedPair:
    """A bed and a food source while the network is traced.

    ``n_bed`` and ``n_food`` are their numbers; ``from_bed`` and ``to_food`` the least costs from
    their cells; ``path`` is the least-cost path.
    """

    n_bed: int
    n_food: int
    bed: Patch
    food: Patch
    demand: float
    from_bed: Search
    to_food: Search
    path: Path

    @property
    def nodes(self) -> tuple[PatchNode, PatchNode]:
        """The nodes that it links."""
        return ("bed", self.n_bed), ("food", self.n_food)

    @property
    def cells(self) -> tuple[IntArray, IntArray]:
        """The cells of its bed and food source."""
        return self.bed.cells, self.food.cells


def alternatives(moves: Moves, pair: TracedPair) -> Iterator[IntArray]:
    """Give ways round the other side of what lies in the way, cheapest first.

    Parameters
    ----------
    moves : Moves
        What moving costs.
    pair : TracedPair
        What they link.

    Yields
    ------
    (n,) int64
        Cells of a way in order; it may come near the best or near one given before.
    """
    by_way = pair.from_bed.distance_m + pair.to_food.distance_m
    least = float(by_way.min())
    # Ways may begin and end anywhere in the patches: nothing lies between two of their cells.
    is_last = tube(moves.grid, pair.path.cells, 1)
    is_last[pair.bed.cells] = is_last[pair.food.cells] = True
    found = gates(
        by_way,
        limit_m=MOST_COST * least,
        prominence_m=_PROMINENCE_SHARE * least,
        is_last=is_last.reshape(moves.grid.shape),
    )
    for cell in found:
        yield _straightened(moves, by_way_of(int(cell), pair))


def by_way_of(cell: int, pair: TracedPair) -> IntArray:
    """Return the least-cost way from bed to food by way of a cell."""
    there, on = pair.from_bed.path_to(cell), pair.to_food.path_to(cell)[::-1]
    walk = np.array(without_loops([*there.tolist(), *on[1:].tolist()]), dtype=np.int64)
    walk = walk[np.flatnonzero(np.isin(walk, pair.bed.cells))[-1] :]
    return walk[: np.flatnonzero(np.isin(walk, pair.food.cells))[0] + 1]


def _straightened(moves: Moves, walk: IntArray) -> IntArray:
    """Return the least-cost way between the ends of a walk that stays within a few cells of it."""
    distance, previous = search(
        moves.costs_m,
        moves.grid.n_cols,
        walk[:1],
        goals=walk[-1:],
        is_shut=~tube(moves.grid, walk, _TUBE_CELLS),
    )
    grid = moves.grid
    found = Search(
        grid=grid,
        distance_m=distance.reshape(grid.shape),
        previous=previous.reshape(grid.shape),
    )
    return found.path_to(int(walk[-1]))


def ridge_cells(
    passage_per_m: FloatArray, grid: Grid, merge_m: float, *, laid: IntArray
) -> IntArray:
    """Return where ridges of passage culminate, most passage first.

    Parameters
    ----------
    passage_per_m : (rows, cols) float64
        Net trips that cross a place [share of all trips per metre of front].
    grid : Grid
        Its cells.
    merge_m : float
        A ridge is the greatest passage within this distance [m].
    laid : int64 array
        Cells of the tracks, whose passage says what is much.
    """
    passage = np.nan_to_num(passage_per_m)
    radius = max(math.ceil(merge_m / grid.cell_m), 1)
    rows, cols = np.indices((2 * radius + 1, 2 * radius + 1)) - radius
    greatest = ndimage.maximum_filter(passage, footprint=np.hypot(rows, cols) <= radius)
    flat = passage.ravel()
    least = _RIDGE_SHARE * float(np.median(flat[laid]))
    is_ridge = (flat >= greatest.ravel()) & (flat > least)
    found = np.flatnonzero(is_ridge)
    return np.asarray(found[np.argsort(-flat[found], kind="stable")])
