"""What stands are judged on."""

from __future__ import annotations

import numpy as np
import pytest

from funnelfinder.declination import leg
from tests.stands import ready


def test_a_trip_that_stepped_out_stays_out():
    _, _, base = ready.found()
    for trip in range(0, 40):
        own = base.has_stepped_out[base.walks.first[trip] : base.walks.first[trip + 1]]
        assert (np.diff(own.astype(int)) >= 0).all()
    assert base.has_stepped_out.any()
    assert not base.has_stepped_out.all()


def test_the_maps_north_is_turned_as_the_ellipsoid_says():
    place, _, base = ready.found()
    middle = place.boundary.centroid
    north = leg((middle.x, middle.y), (middle.x, middle.y + 500.0), place.epsg, ready.ON)
    assert (base.grid_turn_deg - north.true_deg + 180) % 360 - 180 == pytest.approx(0, abs=1e-3)
    assert 0 < abs(base.grid_turn_deg) < 2
