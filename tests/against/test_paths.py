"""Least-cost paths against other libraries, published figures and a reference raster."""

from __future__ import annotations

import math
from pathlib import Path

import networkx as nx
import numpy as np
import pytest
import rasterio
import shapely
from skimage.graph import MCP_Geometric

from funnelfinder.barriers import Barrier
from funnelfinder.cost import CostSurface
from funnelfinder.grid import Grid
from funnelfinder.marks import MarkKind
from funnelfinder.travel_network import cost_distance, least_cost_path, moves_of

SHARED = Path(__file__).parents[2].parent / "shared"
LIDAR = SHARED / "real" / "lidar_1m"
needs_shared = pytest.mark.skipif(not LIDAR.is_dir(), reason=f"no reference rasters at {LIDAR}")


def surface_of(cost, *, cell_m=1.0, slope=None, barriers=(), west_m=0.0, south_m=0.0):
    cost = np.asarray(cost, dtype=float)
    grid = Grid(
        epsg=32617,
        west_m=west_m,
        north_m=south_m + cost.shape[0] * cell_m,
        cell_m=cell_m,
        n_rows=cost.shape[0],
        n_cols=cost.shape[1],
    )
    factor, east, north = slope or (np.ones_like(cost), np.zeros_like(cost), np.zeros_like(cost))
    return CostSurface(
        grid=grid,
        cost=cost,
        slope_factor=factor,
        fall_east=east,
        fall_north=north,
        is_removed=np.isnan(cost),
        barriers=barriers,
    )


def lidar(name):
    with rasterio.open(LIDAR / name) as source:
        return source.read(1, masked=True).filled(np.nan).astype(float), source.transform


@needs_shared
@pytest.mark.parametrize(
    ("reference", "n_neighbours", "within"), [("ref_acc.tif", 8, 7e-5), ("ref_acck.tif", 16, 7e-5)]
)
def test_accumulated_cost_is_that_of_the_reference_raster(reference, n_neighbours, within):
    """Reference: an independent raster library on 1 m lidar ground of North Carolina."""
    cost, transform = lidar("ref_cost.tif")
    wanted, _ = lidar(reference)
    col, row = (int(x) for x in ~transform @ (597245, 150630))
    start = np.array([row * cost.shape[1] + col])
    found = cost_distance(surface_of(cost), start, n_neighbours=n_neighbours).distance_m
    known = np.isfinite(wanted) & np.isfinite(found)
    assert known.sum() > 0.99 * np.isfinite(cost).sum()
    assert np.abs(found - wanted)[known].max() < within
    cells = {  # check cells of the reference
        (597600, 150980): (1487.97332, 1454.16904),
        (597500, 150800): (1098.09558, 1073.76352),
    }
    for place, values in cells.items():
        col, row = (int(x) for x in ~transform @ place)
        assert found[row, col] == pytest.approx(values[n_neighbours == 16], abs=1e-4)


@pytest.mark.parametrize("seed", [1, 2])
def test_eight_neighbours_on_level_ground_give_what_scikit_image_gives(seed):
    """Reference: skimage.graph.MCP_Geometric."""
    cost = np.random.default_rng(seed).uniform(1, 5, (90, 70))
    found = cost_distance(surface_of(cost), np.array([20 * 70 + 33]), n_neighbours=8)
    wanted, _ = MCP_Geometric(cost).find_costs([(20, 33)])
    np.testing.assert_allclose(found.distance_m, wanted, rtol=1e-9, atol=1e-9)


def test_sixteen_neighbours_on_slopes_with_a_fence_give_what_networkx_gives():
    """Reference: networkx on the full grid graph, its moves priced by plain geometry here."""
    draw = np.random.default_rng(7)
    rows = cols = 22
    cost = draw.uniform(1, 4, (rows, cols))
    cost[draw.random(cost.shape) < 0.04] = np.nan
    cost[0, 0] = cost[-1, -1] = 1.0
    turned = draw.uniform(0, 2 * np.pi, cost.shape)
    slope = (draw.uniform(1, 3, cost.shape), np.cos(turned), np.sin(turned))
    fence = Barrier(
        name="Fence",
        kind=MarkKind.FENCE,
        points_m=np.array([(-5.0, 57.3), (63.1, 49.9), (130.0, 61.7)]),
        cost_m=200.0,
        gaps_m=((102.0, 106.0),),
    )
    surface = surface_of(cost, cell_m=5.0, slope=slope, barriers=(fence,))
    graph = full_graph(surface, fence)
    wanted = nx.single_source_dijkstra_path_length(graph, (0, 0))
    found = cost_distance(surface, np.array([0])).distance_m
    for (row, col), distance in wanted.items():
        assert found[row, col] == pytest.approx(distance, rel=1e-9)
    assert np.isinf(found).sum() == rows * cols - len(wanted)
    path = least_cost_path(surface, np.array([0]), np.array([rows * cols - 1]))
    assert path.cost_m == pytest.approx(wanted[rows - 1, cols - 1], rel=1e-9)
    assert path.length_m == pytest.approx(shapely.LineString(path.points_m).length)


def full_graph(surface, fence):
    """Every move of a small grid as an edge, its fence by shapely."""
    graph = nx.Graph()
    line = fence.line
    steps = [(0, 1), (1, 0), (1, 1), (1, -1), (1, 2), (2, 1), (1, -2), (2, -1)]
    for row, col in np.ndindex(surface.grid.shape):
        for dr, dc in steps:
            end = row + dr, col + dc
            if not (end[0] < surface.grid.n_rows and 0 <= end[1] < surface.grid.n_cols):
                continue
            cost = step_cost(surface, (row, col), end)
            ends = surface.grid.points_m(np.array([row, end[0]]), np.array([col, end[1]]))
            across = line.intersection(shapely.LineString(ends))
            if len(shapely.get_coordinates(across)) % 2:
                cost += fence.cost_m * is_closed(fence, across, ends, surface.grid.cell_m)
            if math.isfinite(cost):
                graph.add_edge((row, col), end, weight=cost)
    return graph


def step_cost(surface, start, end):
    """Mean cost of touched cells × length × mean slope factor of both ends."""
    dr, dc = end[0] - start[0], end[1] - start[1]
    touched = [start, end]
    if abs(dr) == 2:
        touched += [(start[0] + 1, start[1]), (start[0] + 1, end[1])]
    elif abs(dc) == 2:
        middle = (start[1] + end[1]) // 2
        touched += [(start[0], middle), (end[0], middle)]
    sides = [(start[0], end[1]), (end[0], start[1])] if abs(dr) == abs(dc) == 1 else []
    if any(np.isnan(surface.cost[cell]) for cell in touched + sides):
        return math.inf
    length = math.hypot(dr, dc)
    stretch = [
        math.sqrt(
            1
            + (surface.slope_factor[cell] ** 2 - 1)
            * ((dc * surface.fall_east[cell] - dr * surface.fall_north[cell]) / length) ** 2
        )
        for cell in (start, end)
    ]
    mean = np.mean([surface.cost[cell] for cell in touched])
    return mean * length * surface.grid.cell_m * np.mean(stretch)


def is_closed(fence, across, ends, cell_m):
    """Whether none of the strip that a crossing move owns lies in the gap."""
    along = fence.line.project(shapely.Point(shapely.get_coordinates(across)[0]))
    piece = fence.line.interpolate(along - 1e-6), fence.line.interpolate(along + 1e-6)
    heading = shapely.get_coordinates(piece[1])[0] - shapely.get_coordinates(piece[0])[0]
    heading /= np.hypot(*heading)
    step = (ends[1] - ends[0]) / cell_m
    across_m = abs(step[0] * heading[1] - step[1] * heading[0])
    half = min(cell_m / across_m, math.sqrt(2) * cell_m) / 2
    start, end = fence.gaps_m[0]
    return not (along - half < end and along + half > start)


@pytest.mark.parametrize(("n_neighbours", "error"), [(8, 0.0824), (16, 0.0275)])
def test_the_longest_detour_by_moves_is_that_of_the_grid_metric(n_neighbours, error):
    """Goodchild 1977: 8.24 % with 8 neighbours, 2.75 % with 16."""
    n = 301
    middle = n // 2
    start = np.array([middle * n + middle])
    found = cost_distance(surface_of(np.ones((n, n))), start, n_neighbours=n_neighbours)
    rows, cols = np.indices((n, n)) - middle
    straight = np.hypot(rows, cols)
    far = straight > 100
    ratio = found.distance_m[far] / straight[far]
    assert ratio.min() == pytest.approx(1.0)
    assert ratio.max() - 1 == pytest.approx(error, abs=0.0002)


def test_moves_given_once_are_the_same_moves():
    surface = surface_of(np.random.default_rng(3).uniform(1, 5, (30, 30)))
    once = cost_distance(moves_of(surface), np.array([17])).distance_m
    np.testing.assert_array_equal(once, cost_distance(surface, np.array([17])).distance_m)
