"""The cells that routes use, as a graph that grows; routes side by side become one track."""

from __future__ import annotations

import itertools
import math
from typing import Any, Final, TypeAlias

import networkx as nx
import numpy as np
from scipy.spatial import cKDTree

from funnelfinder.kernels import BoolArray, IntArray
from funnelfinder.kernels.crossings import line_crossings
from funnelfinder.kernels.search import HALF_MOVES, search
from funnelfinder.travel_network.moves import Moves
from funnelfinder.travel_network.paths import Search, kept_moves, path_of, step_costs, tube

#: A bed ("bed", number) or food source ("food", number).
PatchNode: TypeAlias = tuple[str, int]

#: How much cheaper a move along a track counts while a further route is laid, so that routes that
#: run side by side join; and a move that touches one, so that routes cross on a cell (judgement).
_ALONG_SHARE, _TOUCHING_SHARE = 0.12, 0.02
#: A route joins tracks only if that changes its cost and length by no more than this (judgement).
_MOST_CHANGE: Final = 0.05


class Tracks:
    """The cells that routes use.

    Parameters
    ----------
    moves : Moves
        What moving costs.
    merge_m : float
        A route may be moved this far to run along tracks already laid [m].

    Attributes
    ----------
    graph : networkx.Graph
        Cells (flat indices); edges with ``length_m`` and ``cost_m``.
    thresholds : set of (PatchNode, int)
        Cells at which tracks begin and end, with the patch.
    """

    def __init__(self, moves: Moves, merge_m: float) -> None:
        self.moves = moves
        self.merge_m = merge_m
        self.graph: nx.Graph[int] = nx.Graph()
        self.thresholds: set[tuple[PatchNode, int]] = set()
        self._eased_m = moves.costs_m.copy()

    @property
    def cells(self) -> IntArray:
        """The cells of all tracks."""
        return np.array(list(self.graph), dtype=np.int64)

    def is_apart(self, route: IntArray) -> BoolArray:
        """Return which cells of a route lie beyond the merging distance of all tracks."""
        if not self.graph:
            return np.ones(len(route), dtype=np.bool_)
        grid = self.moves.grid
        laid = cKDTree(grid.points_m(*np.divmod(self.cells, grid.n_cols)))
        apart_m, _ = laid.query(grid.points_m(*np.divmod(route, grid.n_cols)))
        return np.asarray(apart_m > self.merge_m)

    def lay(
        self, route: IntArray, ends: tuple[PatchNode, PatchNode], cells: tuple[IntArray, IntArray]
    ) -> None:
        """Add a route from one patch to another, along tracks already laid where it can.

        Parameters
        ----------
        route : (n,) int64
            Flat indices of its cells in order.
        ends : (PatchNode, PatchNode)
            What it links.
        cells : (int64 array, int64 array)
            Cells of the two patches.
        """
        walk = self._along_tracks(route, cells) if self.graph else route
        points_m = path_of(self.moves, walk).points_m
        lengths_m = np.hypot(*np.diff(points_m, axis=0).T).tolist()
        costs_m = step_costs(self.moves, walk).tolist()
        steps = itertools.pairwise(walk.tolist())
        for (start, end), length_m, cost_m in zip(steps, lengths_m, costs_m, strict=True):
            self.graph.add_edge(start, end, length_m=length_m, cost_m=cost_m)
        self.graph.add_node(int(walk[0]))
        self.thresholds |= {(ends[0], int(walk[0])), (ends[1], int(walk[-1]))}
        self._ease(walk)

    def with_patches(self) -> nx.Graph[Any]:
        """Return the graph of cells and patches."""
        whole: nx.Graph[Any] = nx.Graph(self.graph)
        for patch, cell in sorted(self.thresholds):
            whole.add_edge(patch, cell, length_m=0.0, cost_m=0.0)
        return whole

    def _along_tracks(self, route: IntArray, cells: tuple[IntArray, IntArray]) -> IntArray:
        """Return the route led along tracks near it, if that changes it little."""
        grid = self.moves.grid
        is_in = tube(grid, route, math.ceil(self.merge_m / grid.cell_m))
        starts, goals = (patch[is_in[patch]] for patch in cells)
        distance, previous = search(
            self._eased_m, grid.n_cols, starts, goals=goals, n_wanted=1, is_shut=~is_in
        )
        found = Search(
            grid=grid,
            distance_m=distance.reshape(grid.shape),
            previous=previous.reshape(grid.shape),
        )
        if not np.isfinite(distance[goals]).any():
            return route
        walk = found.path_to(int(goals[np.argmin(distance[goals])]))
        before, after = path_of(self.moves, route), path_of(self.moves, walk)
        is_like = (
            after.cost_m <= before.cost_m * (1.0 + _MOST_CHANGE)
            and abs(after.length_m - before.length_m) <= before.length_m * _MOST_CHANGE
        )
        return walk if is_like else route

    def _ease(self, walk: IntArray) -> None:
        """Make moves along and on to a track count as cheaper, and let none cross it between."""
        costs_m, eased_m = self.moves.costs_m, self._eased_m
        steps = HALF_MOVES[: costs_m.shape[1]] @ np.array([self.moves.grid.n_cols, 1])
        for k, step in enumerate(steps):
            touching = np.concatenate([walk, walk[walk >= step] - step])
            eased = (1.0 - _TOUCHING_SHARE) * costs_m[touching, k]
            eased_m[touching, k] = np.minimum(eased_m[touching, k], eased)
        eased_m[self._crossing(walk, steps)] = np.inf
        along = kept_moves(self.moves, walk)
        eased_m[along] = (1.0 - _ALONG_SHARE) * costs_m[along]

    def _crossing(self, walk: IntArray, steps: IntArray) -> tuple[IntArray, IntArray]:
        """Return the moves across a track that touch none of its cells."""
        grid = self.moves.grid
        cells, index, *_ = line_crossings(
            grid.points_m(*np.divmod(walk, grid.n_cols)),
            grid.west_m,
            grid.north_m,
            grid.cell_m,
            grid.n_rows,
            grid.n_cols,
            HALF_MOVES[: len(steps)],
        )
        is_free = ~np.isin(cells, walk) & ~np.isin(cells + steps[index], walk)
        return cells[is_free], index[is_free]


def without_loops(walk: list[int]) -> list[int]:
    """Return a walk without the ways on which it came back to a cell.

    Examples
    --------
    >>> without_loops([1, 2, 3, 4, 2, 5])
    [1, 2, 5]
    """
    kept: list[int] = []
    place: dict[int, int] = {}
    for cell in walk:
        if cell in place:
            for gone in kept[place[cell] + 1 :]:
                del place[gone]
            del kept[place[cell] + 1 :]
        else:
            place[cell] = len(kept)
            kept.append(cell)
    return kept
