"""Fitted quadratics and slope position."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from funnelfinder.terrain import (
    SurfaceForm,
    fitted_quadratics,
    position_index_m,
    surface_forms,
)

STEPS = np.arange(-60.0, 61.0, 5.0)
X, Y = np.meshgrid(STEPS, -STEPS)
MIDDLE = (12, 12)


@settings(deadline=None, max_examples=30)
@given(st.lists(st.floats(-0.01, 0.01), min_size=3, max_size=3), st.floats(-1, 1))
def test_a_quadratic_is_fitted_exactly(bends, tilt):
    a, b, c = bends
    z = 350.0 + a * X**2 + b * Y**2 + c * X * Y + tilt * X - 0.2 * Y
    fit = fitted_quadratics(z, 5.0, 20.0)
    got = [part[MIDDLE] for part in (fit.a, fit.b, fit.c, fit.d, fit.e, fit.f)]
    assert got == pytest.approx([a, b, c, tilt, -0.2, 350.0], abs=1e-7)


def test_a_window_over_a_hole_or_the_rim_has_no_fit():
    z = X * 0.1 + 300.0
    z[12, 12] = np.nan
    fit = fitted_quadratics(z, 5.0, 10.0)
    assert np.isnan(fit.a[10:15, 10:15]).all()
    assert np.isfinite(fit.a[9, 9])
    assert np.isnan(fit.a[:2]).all()


def test_a_tilted_ridge_is_a_ridge_and_a_tilted_trough_a_channel():
    for bend, form in ((-2e-3, SurfaceForm.RIDGE), (2e-3, SurfaceForm.CHANNEL)):
        fit = fitted_quadratics(bend * Y**2 + 0.3 * X, 5.0, 20.0)
        assert surface_forms(fit, level_deg=3.0, straight_per_m=1e-4)[MIDDLE] == form


def test_a_tilted_plane_is_a_plane():
    fit = fitted_quadratics(0.4 * X + 0.1 * Y, 5.0, 20.0)
    assert (surface_forms(fit, level_deg=3.0, straight_per_m=1e-4) == SurfaceForm.PLANE).all()


def test_a_knoll_stands_above_its_ring_and_a_dip_below():
    knoll = 5.0 * np.exp(-(X**2 + Y**2) / 200.0)
    index = position_index_m(knoll, 5.0, inner_m=30.0, outer_m=40.0)[MIDDLE]
    assert index == pytest.approx(5.0, abs=0.1)
    assert position_index_m(-knoll, 5.0, inner_m=30.0, outer_m=40.0)[MIDDLE] == pytest.approx(
        -index
    )


def test_a_ring_beyond_the_grid_gives_nothing():
    index = position_index_m(X * 0.0, 5.0, inner_m=20.0, outer_m=40.0)
    assert np.isnan(index[7, 12])
    assert index[8, 12] == 0.0
