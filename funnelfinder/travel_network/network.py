"""The travel network: beds, food, junctions and pinch points, linked by stretches of route."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import networkx as nx
import numpy as np

from funnelfinder.errors import NoWayError
from funnelfinder.ground import Patch
from funnelfinder.kernels import FloatArray
from funnelfinder.travel_network.contract import Node, contracted
from funnelfinder.travel_network.moves import Moves
from funnelfinder.travel_network.paths import (
    Path,
    Search,
    cost_distances,
    nearest_cell,
    path_of,
)
from funnelfinder.travel_network.trace import (
    MOST_COST,
    TracedPair,
    alternatives,
    by_way_of,
    ridge_cells,
)
from funnelfinder.travel_network.tracks import Tracks

#: Routes nearer to each other than this are one (common practice for reach, 30 yards) [m].
MERGE_M: Final = 27.432
#: Alternatives traced for each pair, ways tried for them, and ridges of passage (judgement).
_MOST_TRACED, _MOST_TRIED, _MOST_RIDGES = 4, 40, 6


@dataclass(frozen=True, kw_only=True)
class Link:
    """A bed and a food source of the network.

    ``start`` and ``end`` are their nodes; ``demand`` is their share of all trips; ``path`` is the
    least-cost path between them on the grid.
    """

    bed: str
    food: str
    start: Node
    end: Node
    demand: float
    path: Path


@dataclass(frozen=True, kw_only=True)
class TravelNetwork:
    """The routes of a property as a graph.

    Parameters
    ----------
    graph : networkx.Graph
        Nodes (kind, number) with ``name``, ``x_m`` and ``y_m``; edges are stretches of route with
        ``length_m``, ``cost_m``, ``points_m`` (from the lesser node), ``passage_per_m`` and
        ``capacity`` 1. A stretch without capacity is the threshold of a bed or food source.
    links : tuple of Link
        The pairs that it links.
    merge_m : float
        Routes nearer to each other than this are one [m].
    """

    graph: nx.Graph[Node]
    links: tuple[Link, ...]
    merge_m: float = MERGE_M


def travel_network(
    moves: Moves,
    beds: Sequence[Patch],
    foods: Sequence[Patch],
    demand: FloatArray,
    *,
    to_foods: Sequence[Search] | None = None,
    passage_per_m: FloatArray | None = None,
    pinch_points_m: FloatArray | None = None,
    merge_m: float = MERGE_M,
) -> TravelNetwork:
    """Return the travel network of a property.

    It holds the least-cost path of every pair that makes trips, ways round the other side of what
    lies between them, and ridges of passage that none of these runs on.

    Parameters
    ----------
    moves : Moves
        What moving costs.
    beds, foods : sequences of Patch
        What trips link.
    demand : (beds, foods) float64
        Share of all trips of each pair; pairs with 0 are left out.
    to_foods : sequence of Search, optional
        `cost_distances` from the food sources, to save searches.
    passage_per_m : (rows, cols) float64, optional
        Net trips that cross a place [share per metre of front].
    pinch_points_m : (n, 2) float64, optional
        Places that become nodes where a stretch passes them within ``merge_m`` [m].
    merge_m : float
        Routes nearer to each other than this are one [m].

    Raises
    ------
    NoWayError
        If no way leads from a bed to a food source that it sends trips to.
    """
    pairs = _pairs(moves, beds, foods, demand, to_foods)
    tracks = Tracks(moves, merge_m)
    for pair in pairs:
        tracks.lay(pair.path.cells, pair.nodes, pair.cells)
    for pair in pairs:
        _lay_alternatives(tracks, pair)
    if passage_per_m is not None and pairs:
        _lay_ridges(tracks, pairs, passage_per_m)
    graph = contracted(
        tracks.with_patches(),
        moves.grid,
        pinch_cells=_pinch_cells(tracks, pinch_points_m),
        passage_per_m=passage_per_m,
    )
    names = {("bed", i): bed for i, bed in enumerate(beds)}
    names |= {("food", j): food for j, food in enumerate(foods)}
    for node, patch in names.items():
        if node in graph:
            rows, cols = np.divmod(patch.cells, moves.grid.n_cols)
            x_m, y_m = moves.grid.points_m(rows, cols).mean(axis=0)
            graph.nodes[node].update(name=patch.label, x_m=float(x_m), y_m=float(y_m))
    return TravelNetwork(graph=graph, links=tuple(_link(pair) for pair in pairs), merge_m=merge_m)


def _link(pair: TracedPair) -> Link:
    """Return what is kept of a pair."""
    return Link(
        bed=pair.bed.label,
        food=pair.food.label,
        start=pair.nodes[0],
        end=pair.nodes[1],
        demand=pair.demand,
        path=pair.path,
    )


def _pairs(
    moves: Moves,
    beds: Sequence[Patch],
    foods: Sequence[Patch],
    demand: FloatArray,
    to_foods: Sequence[Search] | None,
) -> list[TracedPair]:
    """Return the pairs that make trips, those with the most first, with their searches."""
    to_foods = to_foods or cost_distances(moves, [food.cells for food in foods])
    linked = [(i, j) for i in range(len(beds)) for j in range(len(foods)) if demand[i, j] > 0]
    least_m = [_least(to_foods[j], beds[i], foods[j]) for i, j in linked]
    senders = sorted({i for i, _ in linked})
    from_beds = dict(
        zip(
            senders,
            cost_distances(
                moves,
                [beds[i].cells for i in senders],
                limit_m=MOST_COST * max(least_m, default=0.0),
            ),
            strict=True,
        )
    )
    found = [
        TracedPair(
            n_bed=i,
            n_food=j,
            bed=beds[i],
            food=foods[j],
            demand=float(demand[i, j]),
            from_bed=from_beds[i],
            to_food=to_foods[j],
            path=_best_path(moves, to_foods[j], beds[i]),
        )
        for i, j in linked
    ]
    return sorted(found, key=lambda pair: (-pair.demand, pair.n_bed, pair.n_food))


def _least(to_food: Search, bed: Patch, food: Patch) -> float:
    """Return the least cost from a bed to a food source [m]."""
    nearest = nearest_cell(to_food, bed.cells)
    if nearest is None:
        raise NoWayError(
            f"No way leads from {bed.label} to {food.label}.",
            where=bed.label,
            remedy="Mark a gap in what closes it off, or move the bed.",
        )
    return float(to_food.distance_m.ravel()[nearest])


def _best_path(moves: Moves, to_food: Search, bed: Patch) -> Path:
    """Return the least-cost path from a bed to a food source."""
    nearest = int(bed.cells[np.argmin(to_food.distance_m.ravel()[bed.cells])])
    return path_of(moves, to_food.path_to(nearest)[::-1])


def _lay_alternatives(tracks: Tracks, pair: TracedPair) -> None:
    """Lay the ways of a pair that run apart from all laid before."""
    if pair.path.cost_m == 0.0:
        return
    ways = alternatives(tracks.moves, pair)
    n_traced = 0
    for way in itertools.islice(ways, _MOST_TRIED):
        if tracks.is_apart(way).any():
            tracks.lay(way, pair.nodes, pair.cells)
            n_traced += 1
        if n_traced == _MOST_TRACED:
            break


def _lay_ridges(tracks: Tracks, pairs: Sequence[TracedPair], passage_per_m: FloatArray) -> None:
    """Lay ways over ridges of passage that no track runs on."""
    grid = tracks.moves.grid
    cells = ridge_cells(passage_per_m, grid, tracks.merge_m, laid=tracks.cells)
    cells = cells[tracks.is_apart(cells)]
    for cell in cells[:_MOST_RIDGES].tolist():
        dearer = [
            (pair.from_bed.distance_m.flat[cell] + pair.to_food.distance_m.flat[cell])
            / max(pair.path.cost_m, 1e-9)
            for pair in pairs
        ]
        best = int(np.argmin(dearer))
        if dearer[best] <= MOST_COST and tracks.is_apart(np.array([cell])).any():
            pair = pairs[best]
            tracks.lay(by_way_of(cell, pair), pair.nodes, pair.cells)


def _pinch_cells(tracks: Tracks, points_m: FloatArray | None) -> dict[int, int]:
    """Return the number of the pinch point at each cell of a track that is nearest to one."""
    if points_m is None or not len(points_m):
        return {}
    grid = tracks.moves.grid
    cells = tracks.cells
    if not cells.size:
        return {}
    places = grid.points_m(*np.divmod(cells, grid.n_cols))
    found: dict[int, int] = {}
    for number, point in enumerate(np.asarray(points_m, dtype=np.float64).reshape(-1, 2)):
        apart = np.hypot(*(places - point).T)
        nearest = int(np.argmin(apart))
        if apart[nearest] <= tracks.merge_m:
            found.setdefault(int(cells[nearest]), number)
    return found
