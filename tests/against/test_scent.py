"""The plume beside a handbook's worked examples and published curves."""

from __future__ import annotations

import numpy as np
import pytest

from funnelfinder.defaults import WindSettings
from funnelfinder.kernels.scent import BRIGGS, plume, scent_widths, sigmas
from funnelfinder.wind import Stability, threshold_s_m3


def test_turner_problem_2():
    """Turner 1970, AP-26, problem 2: 80 g/s at 60 m, 6 m/s, his σ 36 and 18.5 m."""
    assert 80 * plume(0, 0, 60, 6, 36, 18.5) == pytest.approx(3.3e-5, rel=0.01)
    aside = plume(50, 0, 60, 6, 36, 18.5) / plume(0, 0, 60, 6, 36, 18.5)
    assert aside == pytest.approx(0.381, abs=0.001)


def test_turner_problem_1():
    """Turner 1970, AP-26, problem 1: 3 g/s at the ground, 7 m/s, σ 190 and 65 m."""
    assert 3 * plume(0, 0, 0, 7, 190, 65) == pytest.approx(1.1e-5, rel=0.01)


#: Briggs 1973, open country, as printed to four digits from its formulas.
BRIGGS_ROWS = {
    100: [(21.89, 20.0), (15.92, 12.0), (10.95, 7.92), (7.96, 5.595), (5.97, 2.913), (3.98, 1.553)],
    500: [
        (107.3, 100.0),
        (78.07, 60.0),
        (53.67, 38.14),
        (39.04, 22.68),
        (29.28, 13.04),
        (19.52, 6.957),
    ],
}


@pytest.mark.parametrize("far", BRIGGS_ROWS)
def test_briggs(far):
    found = [sigmas(float(far), row) for row in BRIGGS]
    assert np.array(found) == pytest.approx(np.array(BRIGGS_ROWS[far]), rel=1e-3)


def test_plume_by_arithmetic():
    """Class D, 3 m/s, let go at 5 m, nose at 1 m, 100 m away; and F at 2 m/s from the ground."""
    s_y, s_z = sigmas(100.0, BRIGGS[Stability.D])
    assert plume(0, 1, 5, 3, s_y, s_z) == pytest.approx(1.593e-3, rel=1e-3)
    assert plume(10, 1, 5, 3, s_y, s_z) == pytest.approx(7.236e-4, rel=1e-3)
    s_y, s_z = sigmas(500.0, BRIGGS[Stability.F])
    assert plume(0, 0, 0, 2, s_y, s_z) == pytest.approx(1.172e-3, rel=1e-3)


def test_the_threshold_is_the_axis_value_at_250_yards():
    assert threshold_s_m3(WindSettings()) == pytest.approx(5e-4, rel=0.01)
    farther = WindSettings(scent_cut_m=400.0)
    assert threshold_s_m3(farther) < threshold_s_m3(WindSettings())


def test_a_high_release_in_still_air_is_not_trusted_to_pass_over():
    """Class F, 1.5 m/s at 50 m: 1.7e-7 from 5 m up, so the release at the ground counts."""
    s_y, s_z = sigmas(50.0, BRIGGS[Stability.F])
    assert plume(0, 1, 5, 1.5, s_y, s_z) == pytest.approx(1.7e-7, rel=0.05)
    high = scent_widths(10, 5.0, 1.5, BRIGGS[Stability.F], np.array([5.0]), 1.0, 5e-4)
    both = scent_widths(10, 5.0, 1.5, BRIGGS[Stability.F], np.array([5.0, 0.0]), 1.0, 5e-4)
    assert high[9] == 0.0
    assert both[9] > 3.0
