"""Networks traced on tiny grounds."""

from __future__ import annotations

import itertools
import math

import networkx as nx
import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import ndimage

from funnelfinder.cost import cost_surface
from funnelfinder.errors import NoWayError
from funnelfinder.marks import MarkKind
from funnelfinder.travel_network import (
    importance_m,
    moves_of,
    pair_paths,
    routes,
    stretches,
    travel_network,
)
from funnelfinder.travel_network.network import MERGE_M
from tests import scenes


def traced(*marks, cell_m=10.0, height=scenes.flat, cover=None, **more):
    place, grids = scenes.scene(
        marks=[*scenes.pair_marks(), *marks], cell_m=cell_m, height=height, cover=cover
    )
    ground = scenes.ground_of(place, grids)
    surface = cost_surface(ground, place.settings.cost)
    demand = np.full((len(ground.beds), len(ground.foods)), 1.0)
    moves = moves_of(surface)
    network = travel_network(moves, ground.beds, ground.foods, demand / demand.sum(), **more)
    return network, ground, moves


def pond(radius=60.0, y=300.0):
    return scenes.mark(MarkKind.WATER, scenes.disc(400, y, radius), f"Pond {y}")


def shut_fence(*gaps):
    line = scenes.line((400, -200), (400, 800))
    return [
        scenes.mark(MarkKind.FENCE, line, "Tall fence", height_m=3.0),
        *(scenes.mark(MarkKind.GAP, scenes.point(400, y), f"Gap {y}", width_m=6.0) for y in gaps),
    ]


def patchy(seed):
    """Cover of forest, field and bare ground in patches, a hundred metres across or so."""

    def cover(x, y):
        draw = np.random.default_rng(seed).normal(size=x.shape)
        rough = ndimage.gaussian_filter(draw, 4)
        return np.select([rough > 0.04, rough < -0.05], [82, 31], 41)

    return cover


@pytest.mark.parametrize("cell_m", [5.0, 10.0])
def test_a_pond_half_way_leaves_two_equal_routes_one_on_each_side(cell_m):
    network, _, _ = traced(pond(), cell_m=cell_m)
    first, second = routes(network)
    assert first.n_separate == second.n_separate == 2
    assert second.cost_m == pytest.approx(first.cost_m, rel=0.01)
    middle = scenes.NORTH_0 + 300.0
    sides = [
        r.points_m[np.abs(r.points_m[:, 0] - scenes.EAST_0 - 400.0).argmin(), 1]
        for r in (first, second)
    ]
    assert min(sides) < middle - 55.0
    assert max(sides) > middle + 55.0


def test_even_ground_has_one_route():
    network, _, _ = traced()
    found = routes(network)
    assert [(r.rank, r.n_separate) for r in found] == [(1, 1)]


def test_a_puddle_makes_no_route_of_its_own():
    network, _, _ = traced(pond(radius=11.0), cell_m=5.0)
    assert len(routes(network)) == 1


def test_the_only_gap_in_a_shut_fence_is_the_only_way():
    network, _, _ = traced(*shut_fence(430.0))
    (route,) = routes(network)
    assert route.n_separate == 1
    gap = shapely.Point(scenes.EAST_0 + 400.0, scenes.NORTH_0 + 430.0)
    assert shapely.LineString(route.points_m).distance(gap) < 10.0
    assert max(importance_m(network).values()) == math.inf


def test_two_gaps_are_two_routes_and_three_are_three():
    two, _, _ = traced(*shut_fence(200.0, 400.0))
    three, _, _ = traced(*shut_fence(180.0, 300.0, 420.0))
    assert {r.n_separate for r in routes(two)} == {2}
    assert {r.n_separate for r in routes(three)} == {3}
    assert len(routes(three)) == 3
    assert all(math.isfinite(rise) for rise in importance_m(two).values())


def test_two_beds_that_share_the_only_gap_have_one_route_to_each_food():
    """Routes through one narrow gap meet before it, whichever cells they took on their own."""
    north_bed = scenes.mark(MarkKind.BED, scenes.disc(200, 480, 30), "North bed")
    south_food = scenes.mark(MarkKind.FOOD, scenes.disc(600, 120, 30), "More acorns", crop="acorns")
    network, _, _ = traced(*shut_fence(300.0), north_bed, south_food)
    assert {r.n_separate for r in routes(network)} == {1}
    gap = scenes.EAST_0 + 400.0, scenes.NORTH_0 + 300.0
    apart = [
        math.dist(gap, (place["x_m"], place["y_m"]))
        for node, place in network.graph.nodes(data=True)
        if node[0] == "junction"
    ]
    assert min(apart) < 25.0


def test_tracks_that_cross_meet_at_a_junction():
    """Stretches of patchy ground share points at their ends only."""
    more = [
        scenes.mark(MarkKind.BED, scenes.disc(180, 450, 30), "North bed"),
        scenes.mark(MarkKind.FOOD, scenes.disc(650, 120, 30), "More acorns", crop="acorns"),
    ]
    network, _, _ = traced(*more, cover=patchy(3))
    lines = [shapely.LineString(s.points_m) for s in stretches(network) if len(s.points_m) > 1]
    assert len(lines) > 10
    for one, other in itertools.combinations(lines, 2):
        ends = shapely.union(one.boundary, other.boundary).buffer(1e-6)
        assert shapely.difference(one.intersection(other), ends).is_empty


def nearest_length_m(graph, link):
    """Length of the way on the network that runs along the least-cost path."""
    beside = shapely.LineString(link.path.points_m).buffer(2 * MERGE_M)
    aside = [
        (u, v)
        for u, v, edge in graph.edges(data=True)
        if not beside.covers(shapely.MultiPoint(edge["points_m"]))
    ]
    along = nx.restricted_view(graph, [], aside)
    return nx.dijkstra_path_length(along, link.start, link.end, weight="length_m")


@settings(max_examples=4, deadline=None)
@given(st.integers(0, 2**16))
def test_the_network_agrees_with_the_grid_on_patchy_ground(seed):
    """Every best path on the network is within 5 % of that on the grid, in cost and in length."""
    more = [
        scenes.mark(MarkKind.BED, scenes.disc(180, 450, 30), "North bed"),
        scenes.mark(MarkKind.FOOD, scenes.disc(650, 120, 30), "More acorns", crop="acorns"),
        pond(radius=50.0),
    ]
    network, ground, moves = traced(*more, cover=patchy(seed))
    paths = pair_paths(moves, ground.beds, ground.foods)
    assert len(network.links) == len(paths) == 4
    for link in network.links:
        path = paths[link.start[1], link.end[1]]
        assert link.path.cost_m == pytest.approx(path.cost_m)
        others = {node for node in network.graph if node[0] in ("bed", "food")}
        graph = nx.restricted_view(network.graph, others - {link.start, link.end}, [])
        cost_m = nx.dijkstra_path_length(graph, link.start, link.end, weight="cost_m")
        assert path.cost_m * (1 - 1e-12) <= cost_m <= 1.05 * path.cost_m
        assert nearest_length_m(graph, link) <= 1.05 * path.length_m
    for _, _, edge in network.graph.edges(data=True):
        line = edge["points_m"]
        drawn_m = np.hypot(*np.diff(line, axis=0).T).sum()
        assert edge["length_m"] == pytest.approx(drawn_m, abs=1e-6)
        assert edge["cost_m"] >= edge["length_m"] * (1 - 1e-12)


def test_routes_keep_order_and_limits():
    network, _, _ = traced(pond(), pond(y=450.0, radius=50.0), cover=patchy(5))
    found = routes(network)
    assert [r.rank for r in found] == list(range(1, len(found) + 1))
    assert all(r.cost_m <= 1.55 * found[0].cost_m for r in found)
    for route in found:
        assert route.length_m == pytest.approx(shapely.LineString(route.points_m).length, rel=0.05)


def test_pinch_points_on_a_route_become_nodes_and_those_aside_do_not():
    x_m, y_m = scenes.EAST_0 + 400.0, scenes.NORTH_0
    places = np.array([[x_m, y_m + 310.0], [x_m, y_m + 550.0]])
    network, _, _ = traced(pinch_points_m=places)
    assert ("pinch", 0) in network.graph
    assert ("pinch", 1) not in network.graph
    assert network.graph.degree[("pinch", 0)] == 2


def test_stretches_carry_the_passage_along_them():
    passage = np.full((80, 100), 0.004)
    network, _, _ = traced(passage_per_m=passage)
    assert [s.passage_per_m for s in stretches(network)] == pytest.approx([0.004])


def test_a_ridge_of_passage_that_no_search_runs_on_gets_a_route():
    """A strand of trips 130 m aside of the straight way, on even ground."""
    rows, cols = np.indices((80, 100))
    strands = [np.exp(-(((rows - r) / 4.0) ** 2) - ((cols - 49.5) / 30) ** 2) for r in (40, 27)]
    network, _, _ = traced(passage_per_m=0.01 * (strands[0] + 0.8 * strands[1]))
    by_ridge = routes(network)[1]
    north = scenes.NORTH_0 + 600.0 + 100.0 - 27.5 * 10.0
    assert np.abs(by_ridge.points_m[:, 1] - north).min() < MERGE_M + 10.0


def test_nodes_have_names_and_places():
    network, ground, _ = traced(pond())
    assert network.graph.nodes["bed", 0]["name"] == ground.beds[0].label
    assert network.graph.nodes["food", 0]["x_m"] == pytest.approx(scenes.EAST_0 + 600.0, abs=5.0)


def test_a_bed_that_is_cut_off_is_named():
    with pytest.raises(NoWayError, match="West bed"):
        traced(*shut_fence())


def test_a_bed_in_its_food_has_a_route_without_length():
    place, grids = scenes.scene(marks=scenes.pair_marks(distance=20.0))
    ground = scenes.ground_of(place, grids)
    moves = moves_of(cost_surface(ground, place.settings.cost))
    network = travel_network(moves, ground.beds, ground.foods, np.ones((1, 1)))
    (route,) = routes(network)
    assert (route.length_m, route.cost_m, route.n_separate) == (0.0, 0.0, 1)


def test_no_demand_leaves_an_empty_network():
    place, grids = scenes.scene(marks=scenes.pair_marks())
    ground = scenes.ground_of(place, grids)
    moves = moves_of(cost_surface(ground, place.settings.cost))
    network = travel_network(moves, ground.beds, ground.foods, np.zeros((1, 1)))
    assert routes(network) == ()
    assert stretches(network) == ()
