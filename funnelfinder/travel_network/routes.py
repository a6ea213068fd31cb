"""What networkx finds on the travel network: routes, separate ways, and stretches that matter."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

import networkx as nx
import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from funnelfinder.grid import frozen
from funnelfinder.kernels import FloatArray
from funnelfinder.travel_network.contract import Node
from funnelfinder.travel_network.network import Link, TravelNetwork
from funnelfinder.travel_network.trace import MOST_COST

#: Paths looked at, cheapest first, while alternatives are sought.
_MOST_LOOKED_AT: Final = 200
#: An alternative runs at least this far on stretches that no better route uses (judgement)
#: [merging distances].
_LEAST_APART: Final = 2.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Route:
    """One route of the travel network.

    ``rank`` is 1 for the least-cost path and 2 onwards for the next-best alternatives;
    ``n_separate`` is the number of separate routes of its pair (minimum cut).
    """

    bed: str
    food: str
    rank: int
    points_m: FloatArray
    length_m: float
    cost_m: float
    n_separate: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Stretch:
    """A stretch of route between two nodes.

    ``importance_m`` is the rise of the mean cost of a trip when the stretch is taken out, infinite
    where some trips have no other way [m of best ground]; ``passage_per_m`` is the mean along it
    [share of all trips per metre of front], NaN where it is not known.
    """

    start: Node
    end: Node
    points_m: FloatArray
    length_m: float
    cost_m: float
    passage_per_m: float
    importance_m: float


def routes(network: TravelNetwork, *, n_routes: int = 3) -> tuple[Route, ...]:
    """Return the least-cost path of every pair and its next-best alternatives.

    Parameters
    ----------
    network : TravelNetwork
        The network.
    n_routes : int
        Most routes of a pair, the least-cost path among them.

    Returns
    -------
    tuple of Route
        Pairs with the most trips first; rank 1 is the path on the grid itself.

    References
    ----------
    .. [1] J. Y. Yen, "Finding the k shortest loopless paths in a network", Manage. Sci. 17,
       712-716, 1971.
    """
    found = []
    for link in network.links:
        n_separate = separate_routes(network, link)
        best = Route(
            bed=link.bed,
            food=link.food,
            rank=1,
            points_m=link.path.points_m,
            length_m=link.path.length_m,
            cost_m=link.path.cost_m,
            n_separate=n_separate,
        )
        found.append(best)
        others = itertools.islice(_other_ways(network, link), n_routes - 1)
        found += [
            _route(network, link, way, rank, n_separate) for rank, way in enumerate(others, start=2)
        ]
    return tuple(found)


def _route(
    network: TravelNetwork, link: Link, way: Sequence[Node], rank: int, n_separate: int
) -> Route:
    """Return the route along nodes of the network."""
    steps = list(itertools.pairwise(way))
    edges = [network.graph.edges[step] for step in steps]
    points = [
        edge["points_m"] if step[0] < step[1] else edge["points_m"][::-1]
        for step, edge in zip(steps, edges, strict=True)
    ]
    line = np.concatenate(points)
    is_new = np.append(True, np.any(np.diff(line, axis=0) != 0, axis=1))
    return Route(
        bed=link.bed,
        food=link.food,
        rank=rank,
        points_m=frozen(line[is_new]),
        length_m=float(sum(edge["length_m"] for edge in edges)),
        cost_m=float(sum(edge["cost_m"] for edge in edges)),
        n_separate=n_separate,
    )


def _without_others(network: TravelNetwork, link: Link) -> nx.Graph[Node]:
    """Return a copy of the network without the thresholds of other beds and food sources."""
    graph: nx.Graph[Node] = nx.Graph(network.graph)
    ends = link.start, link.end
    graph.remove_nodes_from(
        [node for node in network.graph if node[0] in ("bed", "food") and node not in ends]
    )
    return graph


def _useful(network: TravelNetwork, link: Link) -> nx.Graph[Node]:
    """Return the part of the network on ways that are not too dear for a pair."""
    graph = _without_others(network, link)
    behind = nx.single_source_dijkstra_path_length(graph, link.start, weight="cost_m")
    ahead = nx.single_source_dijkstra_path_length(graph, link.end, weight="cost_m")
    most_m = MOST_COST * behind[link.end]
    for u, v, edge in list(graph.edges(data=True)):
        by_way_m = math.inf
        if u in behind:
            by_way_m = min(behind[u] + ahead[v], behind[v] + ahead[u]) + edge["cost_m"]
        if by_way_m > most_m:
            graph.remove_edge(u, v)
    return graph


def _other_ways(network: TravelNetwork, link: Link) -> Iterator[list[Node]]:
    """Give ways of a pair, cheapest first, each really apart from its best and those before."""
    view = _useful(network, link)
    used = _along_best(network, link)
    ways = nx.shortest_simple_paths(view, link.start, link.end, weight="cost_m")
    for way in itertools.islice(ways, _MOST_LOOKED_AT):
        steps = list(itertools.pairwise(way))
        if sum(view.edges[step]["cost_m"] for step in steps) > MOST_COST * link.path.cost_m:
            return
        new_m = sum(view.edges[step]["length_m"] for step in steps if frozenset(step) not in used)
        if new_m >= _LEAST_APART * network.merge_m:
            used |= {frozenset(step) for step in steps}
            yield way


def _along_best(network: TravelNetwork, link: Link) -> set[frozenset[Node]]:
    """Return the stretches that run beside the least-cost path of a pair all along."""
    beside = shapely.buffer(_line(link.path.points_m), network.merge_m)
    shapely.prepare(beside)
    return {
        frozenset((u, v))
        for u, v, edge in network.graph.edges(data=True)
        if shapely.covers(beside, _line(edge["points_m"]))
    }


def _line(points_m: FloatArray) -> BaseGeometry:
    """Return points as a line, or a point where there is but one."""
    return shapely.LineString(points_m) if len(points_m) > 1 else shapely.Point(points_m[0])


def separate_routes(network: TravelNetwork, link: Link) -> int:
    """Return how many routes of a pair share no stretch.

    Only stretches count that lie on a way at most half as dear again as the least-cost path.

    References
    ----------
    .. [1] L. R. Ford, D. R. Fulkerson, "Maximal flow through a network", Can. J. Math. 8,
       399-404, 1956.
    .. [2] K. Menger, "Zur allgemeinen Kurventheorie", Fund. Math. 10, 96-115, 1927.
    """
    try:
        return int(nx.minimum_cut_value(_useful(network, link), link.start, link.end))
    except nx.NetworkXUnbounded:  # the bed touches the food
        return 1


def stretches(network: TravelNetwork) -> tuple[Stretch, ...]:
    """Return every stretch of the network with its importance, the most important first."""
    importance = importance_m(network)
    found = [
        Stretch(
            start=min(u, v),
            end=max(u, v),
            points_m=edge["points_m"],
            length_m=edge["length_m"],
            cost_m=edge["cost_m"],
            passage_per_m=edge["passage_per_m"],
            importance_m=importance[min(u, v), max(u, v)],
        )
        for u, v, edge in network.graph.edges(data=True)
    ]
    return tuple(sorted(found, key=lambda one: (-one.importance_m, one.start, one.end)))


def importance_m(network: TravelNetwork) -> dict[tuple[Node, Node], float]:
    """Return the rise of the mean cost of a trip when each stretch is taken out.

    Returns
    -------
    dict
        Rise by the two nodes of a stretch, the lesser first; infinite where some trips have no
        other way [m of best ground].
    """
    rise = {(min(u, v), max(u, v)): 0.0 for u, v in network.graph.edges}
    total = sum(link.demand for link in network.links)
    for link in network.links:
        graph = _without_others(network, link)
        way = nx.dijkstra_path(graph, link.start, link.end, weight="cost_m")
        least_m = nx.path_weight(graph, way, "cost_m")
        for u, v in itertools.pairwise(way):
            edge = graph.edges[u, v]
            graph.remove_edge(u, v)
            rise[min(u, v), max(u, v)] += link.demand / total * (_least(graph, link) - least_m)
            graph.add_edge(u, v, **edge)
    return rise


def _least(graph: nx.Graph[Node], link: Link) -> float:
    """Return the least cost between the ends of a pair, infinite without a way [m]."""
    try:
        return float(nx.dijkstra_path_length(graph, link.start, link.end, weight="cost_m"))
    except nx.NetworkXNoPath:
        return math.inf
