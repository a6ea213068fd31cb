"""The cells that routes use, as a graph that grows; routes side by side become one track."""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any, TypeAlias

import networkx as nx
import numpy as np

from funnelfinder.barriers import Barrier
from funnelfinder.errors import NoWayError
from funnelfinder.kernels import BoolArray, FloatArray, IntArray
from funnelfinder.kernels.search import search
from funnelfinder.travel_network.moves import Moves, moves_of
from funnelfinder.travel_network.paths import least_cost_path, path_of

#: A bed ("bed", number) or food source ("food", number).
PatchNode: TypeAlias = tuple[str, int]

#: A route keeps to a track already laid only if that makes it no dearer than this (judgement).
MOST_DEARER = 1.05
#: A route joins a track over a way this many times as long as it is apart from it (judgement).
_SLANT = 2.0
#: Along a track a route may be this much longer than on its own (judgement).
_LONGER = 1.3


@dataclass(frozen=True)
class _Nearness:
    """How far cells are from the tracks, up to the merging distance, and the way there."""

    distance_m: FloatArray
    previous: IntArray

    def origin(self, cell: int) -> int:
        """Return the cell of a track that is nearest to a cell."""
        while self.previous[cell] >= 0:
            cell = self.previous[cell]
        return int(cell)


class Tracks:
    """The cells that routes use.

    Parameters
    ----------
    moves : Moves
        What moving costs.
    merge_m : float
        Routes nearer to each other than this, with no line or removed cell between, are one [m].

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
        self._level = _level_moves(moves)

    def is_apart(self, route: IntArray) -> BoolArray:
        """Return which cells of a route are not within the merging distance of any track."""
        if not self.graph:
            return np.ones(len(route), dtype=np.bool_)
        return np.asarray(np.isinf(self._nearness().distance_m[route]))

    def is_near(self) -> BoolArray:
        """Return the cells within the merging distance of any track, flat."""
        return np.asarray(np.isfinite(self._nearness().distance_m))

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
        walk = self._kept_to_tracks(route, cells) if self.graph else route
        path = path_of(self.moves, walk)
        steps = np.hypot(*np.diff(path.points_m, axis=0).T)
        costs = [path_of(self.moves, walk[i : i + 2]).cost_m for i in range(len(walk) - 1)]
        for step, (start, end) in enumerate(itertools.pairwise(walk.tolist())):
            self.graph.add_edge(start, end, length_m=float(steps[step]), cost_m=costs[step])
        self.graph.add_nodes_from([int(walk[0])])
        self.thresholds |= {(ends[0], int(walk[0])), (ends[1], int(walk[-1]))}

    @property
    def cells(self) -> IntArray:
        """The cells of all tracks."""
        return np.array(list(self.graph), dtype=np.int64)

    def with_patches(self) -> nx.Graph[Any]:
        """Return the graph of cells and patches."""
        whole: nx.Graph[Any] = nx.Graph(self.graph)
        for patch, cell in sorted(self.thresholds):
            whole.add_edge(patch, cell, length_m=0.0, cost_m=0.0)
        return whole

    def _nearness(self) -> _Nearness:
        """Return how far cells are from the tracks, up to the merging distance, and the way."""
        found = search(self._level, self.moves.grid.n_cols, self.cells, limit=self.merge_m)
        return _Nearness(*found)

    def _kept_to_tracks(self, route: IntArray, cells: tuple[IntArray, IntArray]) -> IntArray:
        """Return the route moved on to tracks where they run side by side."""
        near = self._nearness()
        walk: list[int] = []
        for start, end, is_near in _runs(np.isfinite(near.distance_m[route])):
            part = None
            if is_near:
                part = self._along(route, (start, end), near, cells)
            walk.extend(route[start:end].tolist() if part is None else part)
        found = np.array(without_loops(walk), dtype=np.int64)
        dearest = MOST_DEARER * path_of(self.moves, route).cost_m
        return found if path_of(self.moves, found).cost_m <= dearest else route

    def _lengths(self, route: IntArray) -> FloatArray:
        """Return the length of each step of a route [m]."""
        rows, cols = np.divmod(route, self.moves.grid.n_cols)
        return np.asarray(np.hypot(np.diff(rows), np.diff(cols)) * self.moves.grid.cell_m)

    def _along(
        self,
        route: IntArray,
        run: tuple[int, int],
        near: _Nearness,
        cells: tuple[IntArray, IntArray],
    ) -> list[int] | None:
        """Return the part of a route near tracks, led along them; none if they do not fit."""
        start, end = run[0], run[1] - 1
        gone = np.concatenate([[0.0], np.cumsum(self._lengths(route))])
        middle = (start + end) // 2
        slant_in = gone[start] + _SLANT * near.distance_m[route[start]]
        slant_out = gone[end] - _SLANT * near.distance_m[route[end]]
        on = min(int(np.searchsorted(gone, slant_in)), middle)
        off = max(int(np.searchsorted(gone, slant_out, side="right")) - 1, middle)
        begins = start == 0 and near.origin(route[0]) in cells[0]
        ends = end == len(route) - 1 and near.origin(route[-1]) in cells[1]
        enter = near.origin(route[0 if begins else on])
        leave = near.origin(route[-1 if ends else off])
        into = [enter] if begins else self._link(int(route[start]), enter)
        out = [leave] if ends else self._link(leave, int(route[end]))
        if not into or not out or not nx.has_path(self.graph, enter, leave):
            return None
        along = nx.shortest_path(self.graph, enter, leave, weight="length_m")
        most = _LONGER * (gone[off] - gone[on]) + 2 * self.merge_m
        if self._lengths(np.array(along)).sum() > most:
            return None
        return [*into[:-1], *along, *out[1:]]

    def _link(self, start: int, end: int) -> list[int]:
        """Return the cells of the least-cost path between two cells."""
        try:
            path = least_cost_path(self.moves, np.array([start]), np.array([end]))
        except NoWayError:
            return []
        return [int(cell) for cell in path.cells]


def _level_moves(moves: Moves) -> FloatArray:
    """Return lengths of the moves, with lines shut but for their gaps."""
    surface = moves.surface
    level = replace(
        surface,
        cost=np.where(surface.is_removed, np.nan, 1.0),
        slope_factor=np.ones_like(surface.slope_factor),
        barriers=tuple(_shut(barrier) for barrier in surface.barriers),
    )
    return moves_of(level, n_neighbours=8).costs_m


def _shut(barrier: Barrier) -> Barrier:
    """Return the line shut but for its gaps."""
    return replace(barrier, cost_m=np.inf)


def _runs(flags: BoolArray) -> Iterator[tuple[int, int, bool]]:
    """Give start, end and value of each run of equal flags."""
    edges = [0, *(np.flatnonzero(np.diff(flags)) + 1).tolist(), len(flags)]
    for start, end in itertools.pairwise(edges):
        yield start, end, bool(flags[start])


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
