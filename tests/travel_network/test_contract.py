"""Chains of cells made into stretches."""

from __future__ import annotations

import networkx as nx
import numpy as np
import pytest

from funnelfinder.grid import Grid
from funnelfinder.travel_network.contract import contracted

GRID = Grid(epsg=32617, west_m=0.0, north_m=50.0, cell_m=10.0, n_rows=5, n_cols=5)
BED, FOOD = ("bed", 0), ("food", 0)


def cells_of(*walks):
    """A graph of cells from walks, each from the bed to the food; a step costs 2 and is 1 long."""
    graph = nx.Graph()
    for walk in walks:
        graph.add_edge(BED, walk[0], length_m=0.0, cost_m=0.0)
        graph.add_edge(FOOD, walk[-1], length_m=0.0, cost_m=0.0)
        nx.add_path(graph, walk, length_m=1.0, cost_m=2.0)
    return graph


def stretches_of(*walks, pinch_cells=None, passage_per_m=None):
    return contracted(
        cells_of(*walks), GRID, pinch_cells=pinch_cells or {}, passage_per_m=passage_per_m
    )


def test_one_walk_is_one_stretch_with_the_sums_of_its_steps():
    graph = stretches_of([0, 1, 2, 3])
    edge = graph.edges[BED, FOOD]
    assert (edge["length_m"], edge["cost_m"], edge["capacity"]) == (3.0, 6.0, 1)
    np.testing.assert_allclose(edge["points_m"], [[5, 45], [15, 45], [25, 45], [35, 45]])


def test_walks_that_part_and_meet_have_junctions_there():
    graph = stretches_of([10, 11, 6, 7, 8, 13, 14], [10, 11, 16, 17, 18, 13, 14])
    junctions = [node for node in graph if node[0] == "junction"]
    places = {(graph.nodes[node]["x_m"], graph.nodes[node]["y_m"]) for node in junctions}
    assert {(15.0, 25.0), (35.0, 25.0)} <= places
    assert nx.minimum_cut_value(graph, BED, FOOD) == 1


def test_two_stretches_between_the_same_nodes_are_both_kept():
    graph = stretches_of([10, 6, 7, 8, 14], [15, 21, 22, 23, 19])
    assert nx.minimum_cut_value(graph, BED, FOOD) == 2
    assert sum(edge["length_m"] for *_, edge in graph.edges(data=True)) == pytest.approx(8.0)


def test_a_pinch_point_parts_a_stretch():
    graph = stretches_of([0, 1, 2, 3, 4], pinch_cells={2: 7})
    assert set(graph) == {BED, FOOD, ("pinch", 7)}
    assert [edge["length_m"] for *_, edge in graph.edges(data=True)] == [2.0, 2.0]


def test_a_threshold_has_no_capacity():
    """Two walks that leave the bed from one cell: the step out of the bed is no stretch."""
    graph = stretches_of([10, 6, 7, 8, 14], [10, 16, 17, 18, 14])
    (junction,) = (node for node in graph[BED])
    assert "capacity" not in graph.edges[BED, junction]
    assert nx.minimum_cut_value(graph, BED, FOOD) == 2


def test_passage_is_the_mean_along_a_stretch():
    passage = np.arange(25.0).reshape(5, 5)
    graph = stretches_of([0, 1, 2, 3], passage_per_m=passage)
    assert graph.edges[BED, FOOD]["passage_per_m"] == pytest.approx(1.5)
