"""Effective width against profiles whose width is known in closed form.

(∫f)² / ∫f² is the N2 of Hill 1973 (Ecology 54:427), the participation ratio of Bell & Dean 1970;
the values are integrals by hand.
"""

from __future__ import annotations

import numpy as np
import pytest

from funnelfinder.pinch_points import effective_width_m

STEP = 0.01
X = np.arange(-200.0, 200.0, STEP) + STEP / 2


def width(profile: np.ndarray) -> float:
    return effective_width_m(profile, np.full(profile.size, STEP))


@pytest.mark.parametrize("n", [1, 7, 40])
def test_uniform_is_n_pieces(n: int) -> None:
    assert effective_width_m(np.full(n, 0.3), np.full(n, 5.0)) == pytest.approx(5.0 * n)


@pytest.mark.parametrize("sigma", [3.0, 20.0])
def test_normal_is_two_roots_of_pi_sigma(sigma: float) -> None:
    # 2 √π = 3.5449
    assert width(np.exp(-((X / sigma) ** 2) / 2)) == pytest.approx(3.5449 * sigma, rel=1e-4)


def test_triangle_is_three_quarters_of_its_base() -> None:
    assert width(np.maximum(0.0, 1.0 - np.abs(X) / 30.0)) == pytest.approx(0.75 * 60.0, rel=1e-4)


def test_two_sided_exponential_is_four_lengths() -> None:
    assert width(np.exp(-np.abs(X) / 8.0)) == pytest.approx(4 * 8.0, rel=1e-4)


def test_two_equal_separate_bands_look_twice_as_wide() -> None:
    # 4 √π = 7.0898: two tight lanes look wide, which is why strands are told apart.
    bands = np.exp(-(((X - 80) / 4.0) ** 2) / 2) + np.exp(-(((X + 80) / 4.0) ** 2) / 2)
    assert width(bands) == pytest.approx(7.0898 * 4.0, rel=1e-4)


def test_pieces_of_unequal_length_count_by_their_length() -> None:
    rng = np.random.default_rng(2)
    edges = np.sort(np.append(rng.uniform(-60, 60, 20_000), (-60.0, 60.0)))
    middle, dl = 0.5 * (edges[1:] + edges[:-1]), np.diff(edges)
    profile = np.exp(-((middle / 9.0) ** 2) / 2)
    assert effective_width_m(profile, dl) == pytest.approx(3.5449 * 9.0, rel=1e-3)
