"""Least-cost search beside scikit-image, on the same grid with 8 neighbours."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np


@dataclass(frozen=True, kw_only=True)
class Timing:
    """What was timed: ours and the peer's seconds, and how far their results differ."""

    what: str
    ours_s: float
    peer_s: float
    difference: float


def search_beside_skimage(n: int = 800, *, repeats: int = 3) -> Timing:
    """Return the best of some runs over n × n cells of smooth random cost, ours and the peer's.

    Ours includes making the moves from the cost surface, which is done once for all beds.
    """
    from scipy.ndimage import gaussian_filter
    from skimage.graph import MCP_Geometric

    from funnelfinder.cost import CostSurface
    from funnelfinder.grid import Grid
    from funnelfinder.travel_network import cost_distance

    rough = gaussian_filter(np.random.default_rng(1).normal(size=(n, n)), 8)
    cost = 1.0 + 4.0 * (rough - rough.min()) / np.ptp(rough)
    surface = CostSurface(
        grid=Grid(epsg=32617, west_m=0.0, north_m=float(n), cell_m=1.0, n_rows=n, n_cols=n),
        cost=cost,
        slope_factor=np.ones((n, n)),
        fall_east=np.zeros((n, n)),
        fall_north=np.zeros((n, n)),
        is_removed=np.zeros((n, n), dtype=bool),
        barriers=(),
    )
    start = n // 2, n // 3
    cell = np.array([start[0] * n + start[1]])
    cost_distance(surface, cell, n_neighbours=8)  # compiled or read from the cache
    ours_s, ours = _best(lambda: cost_distance(surface, cell, n_neighbours=8).distance_m, repeats)
    peer_s, peer = _best(lambda: MCP_Geometric(cost).find_costs([start])[0], repeats)
    return Timing(
        what=f"least-cost search, 8 neighbours, {n} × {n} cells",
        ours_s=ours_s,
        peer_s=peer_s,
        difference=float(np.abs(ours - peer).max()),
    )


def _best(work: Callable[[], np.ndarray], repeats: int) -> tuple[float, np.ndarray]:
    """Return the least time of some runs and what the last gave."""
    times = []
    for _ in range(repeats):
        start = time.perf_counter()
        result = work()
        times.append(time.perf_counter() - start)
    return min(times), result
