"""Flow along a chain of three cells, by hand; laws and catch are tested with the trips."""

from __future__ import annotations

import numpy as np
import pytest

from funnelfinder.kernels.flow import flux, mean_walked
from tests.surfaces import surface_of, trips_over


def chain():
    """Trips along five cells in a row, from the east end to the west end."""
    pair = trips_over(surface_of(np.ones((1, 5)), cell_m=10.0), 0.01, [4], [0])
    edges = pair.stencil.weights
    return pair, (edges.indptr, edges.indices, edges.data)


def test_all_flow_runs_west_at_one_trip():
    pair, edges = chain()
    east, north = flux(*edges, pair.stencil.rows, pair.stencil.cols, pair.visits, pair.reach)
    # The ends have an edge on one side only.
    np.testing.assert_allclose(east, [-0.5, -1, -1, -1, -0.5], rtol=1e-9)
    np.testing.assert_allclose(north, 0.0, atol=1e-12)


def test_walked_length_counts_the_steps_from_the_bed():
    pair, edges = chain()
    steps = np.full(edges[1].size, 10.0)
    order = np.argsort(-pair.visits / pair.reach)
    walked = mean_walked(*edges, steps, pair.visits, pair.reach, pair.starts, order)
    np.testing.assert_allclose(walked, [40.0, 30.0, 20.0, 10.0, 0.0], rtol=1e-9)
    np.testing.assert_allclose(pair.walked_m().ravel(), walked)


def test_two_ways_share_the_flow():
    """Round a square the trips part by half; each way is two steps."""
    pair = trips_over(surface_of(np.ones((2, 2)), cell_m=10.0), 0.01, [0], [3])
    assert pair.walked_m()[1, 1] == pytest.approx(20.0)
    flow = pair.net_flow(np.array([0, 0]), np.array([1, 2]), np.ones(2))
    np.testing.assert_allclose(flow, 0.5)
