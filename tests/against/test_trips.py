"""Trips against published formulas, electric networks and closed forms."""

from __future__ import annotations

import networkx as nx
import numpy as np
import pytest
from scipy import sparse
from scipy.sparse.linalg import spsolve

from funnelfinder.cost import CostSurface
from funnelfinder.travel_network import least_cost_path, moves_of
from tests.surfaces import all_net_flow, fence, surface_of, trips_over


def rough(shape: tuple[int, int], seed: int, *, n_removed: int = 0) -> CostSurface:
    """Random cost from 1 to 4 and random slopes, with some cells removed."""
    rng = np.random.default_rng(seed)
    cost = rng.uniform(1.0, 4.0, shape)
    angle = rng.uniform(0, 2 * np.pi, shape)
    inner = rng.choice(np.arange(1, cost.size - 1), n_removed, replace=False)
    cost.ravel()[inner] = np.nan
    return surface_of(
        cost, cell_m=10.0, slope=(rng.uniform(1.0, 3.0, shape), np.cos(angle), np.sin(angle))
    )


def current(conductance: sparse.csr_array, start: int, end: int) -> np.ndarray:
    """Current on each edge, dense, of one unit from start to end (grounded Laplacian).

    P. G. Doyle, J. L. Snell, "Random walks and electric networks", 1984, section 1.3.
    """
    laplacian = sparse.csc_array(sparse.diags_array(conductance.sum(axis=1)) - conductance)
    kept = np.delete(np.arange(conductance.shape[0]), end)
    unit = (kept == start).astype(float)
    voltage = np.zeros(conductance.shape[0])
    voltage[kept] = spsolve(sparse.csc_array(laplacian[kept][:, kept]), unit)
    return conductance.toarray() * (voltage[:, None] - voltage[None, :])


def test_trips_become_the_electric_current_as_kappa_falls() -> None:
    """Net passage is the current of a random walk (McRae et al. 2008, Ecology 89:2712)."""
    surface = rough((12, 15), 3, n_removed=12)
    bed, food = 0, surface.grid.n_cells - 1
    apart = []
    for kappa in (1e-3, 1e-4, 1e-5):
        pair = trips_over(surface, kappa, [bed], [food])
        index = pair.stencil.index
        # Slope and removed cells shape the network; cost only tells where walks end.
        wanted = current(pair.stencil.weights, int(index[bed]), int(index[food]))
        apart.append(np.abs(all_net_flow(pair) - wanted).max())
    assert apart[0] < 0.2
    assert apart[1] / apart[0] == pytest.approx(0.01, rel=0.25)
    assert apart[2] / apart[1] == pytest.approx(0.01, rel=0.25)


def test_on_level_ground_the_current_is_that_of_the_grid_graph_of_networkx() -> None:
    pair = trips_over(surface_of(np.ones((6, 7))), 1e-4, [8], [40])
    graph = nx.grid_2d_graph(6, 7)
    wanted = nx.edge_current_flow_betweenness_centrality_subset(graph, [(1, 1)], [(5, 5)])
    # networkx's numbers are the current but for a factor: one unit leaves the bed.
    unit = sum(through for nodes, through in wanted.items() if (1, 1) in nodes)
    place = {node: cell for cell, node in enumerate(graph.nodes)}
    ours = np.abs(all_net_flow(pair))
    for (one, other), through in wanted.items():
        assert ours[place[one], place[other]] == pytest.approx(through / unit, abs=1e-5)


def test_a_fence_becomes_a_resistor_as_kappa_falls() -> None:
    """An edge across a fence of F metres resists like 1 + 2 F / (c h) edges, beside networkx."""
    cost_m, cell_m = 30.0, 10.0
    surface = surface_of(
        np.ones((4, 6)), cell_m=cell_m, barriers=[fence((33.0, -5.0), (33.0, 45.0), cost_m=cost_m)]
    )
    pair = trips_over(surface, 1e-6, [0], [23])
    graph = nx.grid_2d_graph(4, 6)
    nx.set_edge_attributes(graph, 1.0, "ohm")
    for row in range(4):
        graph.edges[(row, 2), (row, 3)]["ohm"] = 1.0 + 2.0 * cost_m / cell_m
    wanted = nx.resistance_distance(graph, (0, 0), (3, 5), weight="ohm")
    assert resistance(pair) == pytest.approx(wanted, rel=1e-4)


def resistance(pair) -> float:
    """Heat of one unit of flow, Σ f² / w: the effective resistance (Thomson's principle).

    P. G. Doyle, J. L. Snell, "Random walks and electric networks", 1984, section 1.3.5.
    """
    weights = pair.stencil.weights.toarray()
    flow = all_net_flow(pair)
    is_edge = weights > 0
    return 0.5 * float((flow[is_edge] ** 2 / weights[is_edge]).sum())


@pytest.mark.parametrize(
    ("shape", "bed", "food", "ohm"),
    [
        # Doyle & Snell 1984; networkx gives the same (resistance_distance on grid_2d_graph).
        ((1, 6), (0, 0), (0, 5), 5.0),  # five in series
        ((2, 2), (0, 0), (1, 1), 1.0),  # across a square
        ((2, 2), (0, 0), (0, 1), 3 / 4),  # cycle: k (n - k) / n
        ((3, 3), (0, 0), (2, 2), 3 / 2),
        ((3, 3), (0, 0), (0, 1), 17 / 24),
        ((4, 4), (0, 0), (3, 3), 13 / 7),
        # Rungs at the end of a ladder, r' = 1 || (2 + r): series and parallel by hand.
        ((2, 3), (0, 0), (1, 0), 11 / 15),
        ((2, 4), (0, 0), (1, 0), 41 / 56),
        ((2, 30), (0, 0), (1, 0), np.sqrt(3.0) - 1.0),
    ],
)
def test_resistances_of_small_grids(shape, bed, food, ohm) -> None:
    cells = [int(np.ravel_multi_index(one, shape)) for one in (bed, food)]
    pair = trips_over(surface_of(np.ones(shape)), 1e-4, cells[:1], cells[1:])
    assert resistance(pair) == pytest.approx(ohm, abs=1e-5)


@pytest.mark.parametrize(("offset", "ohm"), [((0, 1), 1 / 2), ((1, 1), 2 / np.pi)])
def test_resistances_of_the_endless_grid(offset, ohm) -> None:
    """J. Cserti, "Application of the lattice Green's function", Am. J. Phys. 68, 896, 2000."""
    n = 61
    middle = n // 2
    bed, food = middle * n + middle, (middle + offset[0]) * n + middle + offset[1]
    pair = trips_over(surface_of(np.ones((n, n))), 1e-4, [bed], [food])
    assert resistance(pair) == pytest.approx(ohm, abs=5e-4)


def published(pair) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Reach, net passages and step chances by dense matrices, the target a node of its own.

    W = P_ref ∘ exp(−θC), Z = (I − W)⁻¹, n_ij = z_si w_ij z_jt / z_st, p_ij = w_ij z_jt / z_it
    (Saerens et al. 2009, Neural Comput. 21:2363); net n_ij − n_ji (Kivimäki et al. 2016,
    Sci. Rep. 6:19668). Here P_ref follows the edge weights and exp(−θC) is what is left of a
    walk after the screening of its cell.
    """
    stencil = pair.stencil
    n = stencil.cells.size
    weights = stencil.weights.toarray()
    total = weights.sum(axis=1)
    reference = np.zeros((n + 1, n + 1))
    reference[:n, :n] = weights / total[:, None]
    kept = total / (total + stencil.screening)
    w = reference * np.append(kept, 0.0)[:, None]
    w[:n, n] = pair.ends / (total + stencil.screening)
    z = np.linalg.inv(np.eye(n + 1) - w)
    passages = np.zeros((n + 1, n + 1))
    for start in np.flatnonzero(pair.starts):
        passages += pair.starts[start] * (z[start, :, None] * w * z[None, :, n]) / z[start, n]
    chances = w * z[None, :, n] / z[:, n, None]
    return z[:n, n], passages - passages.T, chances


@pytest.mark.parametrize("seed", range(4))
@pytest.mark.parametrize("kappa", [0.005, 0.05, 0.2])
def test_randomized_shortest_paths_by_dense_matrices(seed: int, kappa: float) -> None:
    surface = rough((8, 9), seed, n_removed=6)
    cells = np.flatnonzero(~surface.is_removed.ravel())
    bed, food = cells[:4], cells[-3:]
    pair = trips_over(surface, kappa, bed, food)
    reach, net, chances = published(pair)
    n = reach.size
    np.testing.assert_allclose(pair.reach, reach, rtol=1e-9)
    np.testing.assert_allclose(all_net_flow(pair), net[:n, :n], atol=1e-10)
    np.testing.assert_allclose(pair.ends * pair.visits, net[:n, n], atol=1e-10)
    np.testing.assert_allclose(chances[:n].sum(axis=1), 1.0, atol=1e-9)
    # Free-energy distance −ln(z) / θ (Kivimäki, Shimbo & Saerens 2014, Physica A 393:600).
    soft = pair.soft_distance_m.ravel()[pair.stencil.cells]
    np.testing.assert_allclose(soft - soft[0], -np.log(reach / reach[0]) / kappa, atol=1e-6)


@pytest.mark.parametrize("k", [0.02, 0.3, 1.5])
def test_reach_along_a_chain_falls_as_in_the_closed_forms(k: float) -> None:
    """z_i = cosh(k (n − i + ½)) / cosh(k (n + ½)) for a closed far end, e^(−k i) far from it."""
    n = 40
    pair = trips_over(surface_of(np.ones((1, n + 1))), k, [20], [0])
    i = np.arange(n + 1)
    closed = np.cosh(k * (n - i + 0.5)) / np.cosh(k * (n + 0.5))
    np.testing.assert_allclose(pair.reach / pair.reach[0], closed, rtol=1e-11)
    if k == 1.5:
        near = np.arange(20)
        np.testing.assert_allclose(pair.reach[near] / pair.reach[0], np.exp(-k * near), rtol=1e-12)
    np.testing.assert_allclose(np.diagonal(all_net_flow(pair), -1)[:20], 1.0, rtol=1e-9)


@pytest.mark.parametrize("k", [1e-4, 0.05, 0.3, 1.0, 3.0])
def test_shares_of_two_corridors_follow_their_closed_form(k: float) -> None:
    """A ring of n cells, the food m steps one way round: sinh k(n−m) against sinh km.

    For large k this is 1 / (1 + e^(−θΔ)) of two routes whose costs differ by Δ (0.731059 at
    θΔ = 1; Saerens et al. 2009); for small k the current through parallel resistors.
    """
    cost = np.full((4, 8), np.nan)
    cost[0], cost[-1], cost[:, 0], cost[:, -1] = 1.0, 1.0, 1.0, 1.0
    n, m = 20, 8  # from one corner along the top and down to (1, 7)
    pair = trips_over(surface_of(cost), k, [0], [15])
    index = pair.stencil.index
    short = all_net_flow(pair)[index[0], index[1]]
    long = all_net_flow(pair)[index[0], index[8]]
    assert short + long == pytest.approx(1.0, abs=1e-9)
    wanted = np.sinh(k * (n - m)) / (np.sinh(k * (n - m)) + np.sinh(k * m))
    assert short == pytest.approx(wanted, abs=1e-7)
    if k == 1e-4:
        assert short == pytest.approx((n - m) / n, abs=1e-5)
    if k >= 1.0:
        assert short == pytest.approx(1 / (1 + np.exp(-k * (n - 2 * m))), abs=1e-6)


def test_trips_gather_on_the_least_cost_path_as_wander_falls() -> None:
    """θ → ∞ is the least-cost path (Saerens et al. 2009); here κ c h up to 1.5."""
    rng = np.random.default_rng(5)
    from scipy.ndimage import gaussian_filter

    hills = gaussian_filter(rng.normal(size=(80, 80)), 6)
    cost = 1.0 + 2.0 * (hills - hills.min()) / np.ptp(hills)
    surface = surface_of(cost, cell_m=10.0)
    bed, food = 40 * 80 + 6, 38 * 80 + 73
    path = least_cost_path(moves_of(surface), np.array([bed]), np.array([food]))
    grid = surface.grid
    rows, cols = np.indices(grid.shape)
    points = grid.points_m(rows, cols)
    away = np.hypot(*(points[:, None, :] - path.points_m[None, :, :]).transpose(2, 0, 1)).min(
        axis=1
    )
    spread = []
    for kappa in (0.002, 0.008, 0.03, 0.1):
        pair = trips_over(surface, kappa, [bed], [food])
        flow = np.hypot(*pair.flux_per_m).ravel()
        spread.append((flow * away).sum() / flow.sum())
    # A bridge's spread falls with the root of κ (Horne et al. 2007, Ecology 88:2354).
    assert spread[2] / spread[3] == pytest.approx(np.sqrt(0.1 / 0.03), rel=0.2)
    assert spread == sorted(spread, reverse=True)
    assert spread[-1] < 25.0
    assert spread[0] > 60.0
