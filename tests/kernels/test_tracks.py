"""Where trips cross a walk, beside the geometry library."""

from __future__ import annotations

import numpy as np
import pytest
import shapely

from funnelfinder.kernels.tracks import trip_crossings


def test_by_hand_a_trip_that_crosses_twice():
    """East along y = 0, back along y = 10; the walk stands at x = 30: after 30 m and 180 m."""
    trip = np.array([[0.0, 0.0], [100.0, 0.0], [100.0, 10.0], [0.0, 10.0]])
    walk = np.array([[30.0, -5.0], [30.0, 15.0]])
    begin, end = trip_crossings(trip, np.array([0, 4]), walk)
    assert (begin[0], end[0]) == pytest.approx((30.0, 180.0))


def test_random_trips_cross_where_the_geometry_library_says():
    rng = np.random.default_rng(5)
    counts = rng.integers(1, 20, 200)
    first = np.concatenate(([0], np.cumsum(counts)))
    points = rng.random((first[-1], 2)) * 500
    walk = np.cumsum(rng.normal(0, 60, (25, 2)), axis=0) + 250
    begin, end = trip_crossings(points, first, walk)
    line, n_crossed = shapely.LineString(walk), 0
    for number, count in enumerate(counts):
        trip = points[first[number] : first[number + 1]]
        if count < 2 or not shapely.LineString(trip).intersects(line):
            assert np.isnan(begin[number])
            assert np.isnan(end[number])
            continue
        n_crossed += 1
        gone = np.concatenate(([0.0], np.cumsum(np.hypot(*np.diff(trip, axis=0).T))))
        met = [
            gone[k] + shapely.distance(shapely.Point(trip[k]), one)
            for k in range(count - 1)
            for one in shapely.get_parts(shapely.LineString(trip[k : k + 2]).intersection(line))
            if not one.is_empty
        ]
        assert begin[number] == pytest.approx(min(met))
        assert end[number] == pytest.approx(max(met))
    assert n_crossed > 50


def test_a_walk_of_one_point_is_crossed_by_none():
    begin, _ = trip_crossings(np.array([[0.0, 0.0], [9.0, 0.0]]), np.array([0, 2]), np.ones((1, 2)))
    assert np.isnan(begin).all()
