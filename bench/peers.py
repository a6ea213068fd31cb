"""The same least-cost search by networkx, scikit-image, scipy and ours."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from bench.job import timed
from bench.place import rough


@dataclass(frozen=True, kw_only=True)
class Searches:
    """Seconds of 4 searches over the same cost, graphs and moves made once; 8 neighbours."""

    ours_s: float
    skimage_s: float
    scipy_s: float
    networkx_s: float


def searches(n: int, with_networkx: bool) -> Searches:
    """Return how long 4 searches take over n × n cells of smooth random cost from 1 to 5."""
    cost = 1.0 + 4.0 * rough((n, n), 8.0, 4)
    starts = [(n // 5 * k, n // 3) for k in range(1, 5)]
    ours_s, ours = _ours(cost, starts)
    skimage_s, peer = _skimage(cost, starts)
    np.testing.assert_allclose(ours, peer, rtol=1e-9)
    scipy_s, peer = _scipy(cost, starts)
    np.testing.assert_allclose(ours, peer, rtol=1e-9)
    networkx_s = float("nan")
    if with_networkx:
        networkx_s, peer = _networkx(cost, starts)
        np.testing.assert_allclose(ours, peer, rtol=1e-9)
    return Searches(ours_s=ours_s, skimage_s=skimage_s, scipy_s=scipy_s, networkx_s=networkx_s)


def _ours(cost: np.ndarray, starts: list[tuple[int, int]]) -> tuple[float, np.ndarray]:
    """Search with our own code, once to warm it and once timed."""
    from bench.search import level_surface
    from funnelfinder.travel_network import cost_distances, moves_of

    cells = [np.array([row * cost.shape[1] + col]) for row, col in starts]

    def search() -> np.ndarray:
        moves = moves_of(level_surface(cost), n_neighbours=8)
        return np.stack([found.distance_m for found in cost_distances(moves, cells)])

    search()
    return timed(search)


def _skimage(cost: np.ndarray, starts: list[tuple[int, int]]) -> tuple[float, np.ndarray]:
    """Search with scikit-image."""
    from skimage.graph import MCP_Geometric

    return timed(lambda: np.stack([MCP_Geometric(cost).find_costs([start])[0] for start in starts]))


def _edges(cost: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Return each edge between 8 neighbours once, with its cost."""
    n_rows, n_cols = cost.shape
    number = np.arange(cost.size).reshape(cost.shape)
    start, end, length = [], [], []
    for d_row, d_col in ((0, 1), (1, 0), (1, 1), (1, -1)):
        here = (slice(0, n_rows - d_row), slice(max(0, -d_col), n_cols - max(0, d_col)))
        there = (slice(d_row, n_rows), slice(max(0, d_col), n_cols + min(0, d_col)))
        start.append(number[here].ravel())
        end.append(number[there].ravel())
        length.append(np.hypot(d_row, d_col) * 0.5 * (cost[here] + cost[there]).ravel())
    return np.concatenate(start), np.concatenate(end), np.concatenate(length)


def _scipy(cost: np.ndarray, starts: list[tuple[int, int]]) -> tuple[float, np.ndarray]:
    """Search with scipy's compiled graph search."""
    from scipy.sparse import csr_array
    from scipy.sparse.csgraph import dijkstra

    def search() -> np.ndarray:
        start, end, length = _edges(cost)
        graph = csr_array((length, (start, end)), shape=(cost.size, cost.size))
        cells = [row * cost.shape[1] + col for row, col in starts]
        found = dijkstra(graph, directed=False, indices=cells)
        return np.asarray(found).reshape(-1, *cost.shape)

    return timed(search)


def _networkx(cost: np.ndarray, starts: list[tuple[int, int]]) -> tuple[float, np.ndarray]:
    """Search with networkx on the full grid graph, paths and all, as its own call gives them."""
    import networkx as nx

    def search() -> np.ndarray:
        n_cols = cost.shape[1]
        start, end, length = (part.tolist() for part in _edges(cost))
        graph = nx.Graph()
        graph.add_weighted_edges_from(
            (divmod(a, n_cols), divmod(b, n_cols), far)
            for a, b, far in zip(start, end, length, strict=True)
        )
        found = []
        for one in starts:
            far, _ = nx.single_source_dijkstra(graph, one)
            found.append(np.array([far[cell] for cell in np.ndindex(cost.shape)]))
        return np.stack(found).reshape(-1, *cost.shape)

    return timed(search)
