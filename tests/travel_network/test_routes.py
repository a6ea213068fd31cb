"""What networkx finds on networks that can be drawn."""

from __future__ import annotations

import math

import networkx as nx
import numpy as np
import pytest

from funnelfinder.travel_network import (
    Link,
    Path,
    TravelNetwork,
    importance_m,
    routes,
    separate_routes,
    stretches,
)

BED, FOOD, OTHER = ("bed", 0), ("food", 0), ("food", 1)
A, B, C = (("junction", k) for k in range(3))
PLACES = {BED: (0, 0), FOOD: (200, 0), OTHER: (100, 40), A: (100, 0), B: (120, 100), C: (90, -80)}


def best_line(graph, start, end):
    way = nx.dijkstra_path(graph, start, end, weight="cost_m")
    return np.array([PLACES.get(node, (0, 0)) for node in way], dtype=float)


def network_of(edges, *pairs):
    """A network of (start, end, cost) with straight stretches; pairs are (bed, food, demand)."""
    graph = nx.Graph()
    for start, end, cost_m in edges:
        low, high = min(start, end), max(start, end)
        ends = [PLACES.get(node, (0, 0)) for node in (low, high)]
        graph.add_edge(
            low,
            high,
            length_m=cost_m,
            cost_m=cost_m,
            points_m=np.array(ends, dtype=float),
            passage_per_m=math.nan,
            capacity=1,
        )
    links = tuple(
        Link(
            bed=f"Bed {start[1]}",
            food=f"Food {end[1]}",
            start=start,
            end=end,
            demand=demand,
            path=Path(
                cells=np.array([0]),
                points_m=best_line(graph, start, end),
                length_m=0.0,
                cost_m=nx.dijkstra_path_length(graph, start, end, weight="cost_m"),
            ),
        )
        for start, end, demand in (pairs or [(BED, FOOD, 1.0)])
    )
    return TravelNetwork(graph=graph, links=links)


DIAMOND = [(BED, A, 100.0), (A, FOOD, 100.0), (BED, B, 110.0), (B, FOOD, 120.0)]


def test_a_diamond_has_two_separate_routes_and_both_are_found():
    network = network_of(DIAMOND)
    assert separate_routes(network, network.links[0]) == 2
    found = routes(network)
    assert [(r.rank, r.cost_m, r.n_separate) for r in found] == [(1, 200.0, 2), (2, 230.0, 2)]


def test_routes_that_share_a_stretch_are_not_separate():
    network = network_of(
        [*DIAMOND[:1], (A, B, 10.0), (A, C, 12.0), (B, FOOD, 90.0), (C, FOOD, 90.0)]
    )
    assert separate_routes(network, network.links[0]) == 1


def test_a_way_half_as_dear_again_is_no_alternative():
    network = network_of([*DIAMOND, (BED, C, 150.0), (C, FOOD, 151.0)])
    assert separate_routes(network, network.links[0]) == 2
    assert len(routes(network)) == 2


def test_a_small_bypass_is_no_route_of_its_own():
    network = network_of([(BED, A, 100.0), (A, B, 20.0), (A, C, 11.0), (C, B, 11.0), (B, FOOD, 99)])
    assert len(routes(network)) == 1


def test_no_route_runs_through_another_food_source():
    network = network_of(
        [*DIAMOND, (BED, OTHER, 120.0), (OTHER, FOOD, 120.0)], (BED, FOOD, 0.5), (BED, OTHER, 0.5)
    )
    assert separate_routes(network, network.links[0]) == 2
    assert {r.cost_m for r in routes(network) if r.food == "Food 0" and r.rank > 1} == {230.0}


def test_importance_is_the_rise_of_the_mean_cost_of_a_trip():
    """Worked by hand: 3 of 4 trips take the diamond, 1 of 4 the only way to the other food."""
    edges = [*DIAMOND, (A, B, 100.0), (A, OTHER, 40.0)]
    network = network_of(edges, (BED, FOOD, 0.75), (BED, OTHER, 0.25))
    rise = importance_m(network)
    assert rise[FOOD, A] == pytest.approx(0.75 * 30.0)
    assert rise[BED, A] == pytest.approx(0.75 * 30.0 + 0.25 * (250.0 - 140.0))
    assert rise[BED, B] == 0.0
    assert rise[OTHER, A] == math.inf
    assert stretches(network)[0].importance_m == math.inf


def test_two_cells_of_gap_in_a_wall_of_a_grid_let_two_routes_through():
    """Maximum flow of a 9 × 9 grid of unit edges with a two-cell gap in its wall: 2 (networkx)."""
    grid = nx.grid_2d_graph(9, 9)
    grid.remove_nodes_from([(row, 4) for row in range(9) if row not in (3, 4)])
    nodes = {cell: ("junction", number) for number, cell in enumerate(sorted(grid))}
    edges = [(nodes[u], nodes[v], 10.0) for u, v in grid.edges]
    network = network_of(
        edges
        + [(BED, nodes[row, 0], 1.0) for row in range(9)]
        + [(FOOD, nodes[row, 8], 1.0) for row in range(9)]
    )
    assert separate_routes(network, network.links[0]) == 2


def test_thresholds_let_any_number_of_routes_through():
    network = network_of(
        [(BED, A, 0.0), *((A, n, 100.0) for n in (B, C)), (B, FOOD, 9), (C, FOOD, 9)]
    )
    del network.graph.edges[BED, A]["capacity"]
    assert separate_routes(network, network.links[0]) == 2
