"""What a step and a crossing cost, against published energies and fence trials."""

from __future__ import annotations

import math

import numpy as np
import pytest

from funnelfinder.barriers import crossing_cost_m
from funnelfinder.cost import LIFT_KCAL_KG_KM, slope_factor
from funnelfinder.defaults import CostSettings
from funnelfinder.marks import Mark, MarkKind
from tests import scenes


def energy(slope_deg: float, costs: CostSettings) -> float:
    """The model's cost of a metre along the ground, up and down, relative to level ground."""
    on_map = float(slope_factor(np.array(slope_deg), costs))
    return on_map * math.cos(math.radians(slope_deg))


@pytest.mark.parametrize(
    ("slope_deg", "up", "both"),
    [
        # Parker, Robbins & Hanley 1984, J. Wildl. Manage. 48:474: climbing 5.9 kcal per kg and
        # vertical km, level walking 2.97 W^-0.34 = 0.72 kcal per kg and km at 65 kg; arithmetic
        # of E = 1 + (V - 2.344 r) sin(slope) / 2H for r = 0, 0.15, 0.3.
        (0.0, 0.720, (1.0, 1.0, 1.0)),
        (10.0, 1.745, (1.711, 1.669, 1.627)),
        (20.0, 2.738, (2.401, 2.318, 2.234)),
        (30.0, 3.670, (3.049, 2.927, 2.804)),
    ],
)
def test_energy_of_slopes(slope_deg, up, both) -> None:
    for returned, wanted in zip((0.0, 0.15, 0.3), both, strict=True):
        costs = CostSettings(descent_share=returned)
        assert energy(slope_deg, costs) == pytest.approx(wanted, abs=6e-4)
    # Walking up alone: what the mean of up and down leaves, twice, less level walking down.
    costs = CostSettings(descent_share=0.0)
    climbed = costs.level_kcal_kg_km * (2.0 * energy(slope_deg, costs) - 1.0)
    assert climbed == pytest.approx(up, abs=6e-4)


@pytest.mark.parametrize(("slope_deg", "wanted"), [(10.0, 1.738), (20.0, 2.555), (30.0, 3.520)])
def test_energy_of_a_metre_on_the_map(slope_deg, wanted) -> None:
    """The same source, divided by the cosine of the slope."""
    costs = CostSettings(descent_share=0.0)
    assert float(slope_factor(np.array(slope_deg), costs)) == pytest.approx(wanted, abs=6e-4)


def test_constants_are_those_of_the_study() -> None:
    costs = CostSettings()
    # H = 2.97 W^-0.34 at 65 kg, the paper's regression; 2.344 = 9.807 J/m / 4184 J/kcal.
    assert costs.level_kcal_kg_km == pytest.approx(2.97 * 65**-0.34, abs=0.003)
    assert costs.climb_kcal_kg_km == 5.9
    assert pytest.approx(9.807e3 / 4184, abs=5e-4) == LIFT_KCAL_KG_KM
    # Reindeer going up against down cost 1.4 at 5 % and 1.9 at 9 % grade (White & Yousef 1978,
    # Can. J. Zool. 56:215); the default share of descent gives 1.44 and 1.81.
    for grade, seen in ((0.05, 1.4), (0.09, 1.9)):
        sine = math.sin(math.atan(grade))
        up = costs.level_kcal_kg_km + costs.climb_kcal_kg_km * sine
        down = costs.level_kcal_kg_km - LIFT_KCAL_KG_KM * costs.descent_share * sine
        assert up / down == pytest.approx(seen, rel=0.06)


@pytest.mark.parametrize(
    ("slope_deg", "most"), [(5.0, 0.06), (10.0, 0.10), (20.0, 0.15), (30.0, 0.18)]
)
def test_between_fall_line_and_contour_the_ellipse_is_a_little_cheap(slope_deg, most) -> None:
    """sqrt(1 + (e² − 1) cos²) against Parker's energy of the step's own grade."""
    costs = CostSettings()
    e = float(slope_factor(np.array(slope_deg), costs))
    turn = np.radians(np.linspace(0.0, 90.0, 181))
    ellipse = np.sqrt(1.0 + (e**2 - 1.0) * np.cos(turn) ** 2)
    grade = np.degrees(np.arctan(math.tan(math.radians(slope_deg)) * np.cos(turn)))
    parker = slope_factor(grade, costs)
    below = 1.0 - ellipse / parker
    assert below[0] == pytest.approx(0.0, abs=1e-12)
    assert below[-1] == pytest.approx(0.0, abs=1e-12)
    assert below.min() > -1e-12
    assert below.max() == pytest.approx(most, abs=0.01)


def fence(height_m: float | None) -> Mark:
    return scenes.mark(MarkKind.FENCE, scenes.line((0, 0), (10, 0)), "Fence", height_m=height_m)


def test_fences_cost_in_the_order_that_deer_were_stopped() -> None:
    """Stopped: 1.5 m 0 %, 1.8 m 14 %, 2.1 m 85 %, 2.4 m 100 %.

    VerCauteren et al. 2010, J. Wildl. Manage. 74:1378; of captive does all crossed 1.2 m and none
    2.4 m (Stull et al. 2011, Hum.-Wildl. Interact. 5:47).
    """
    costs = CostSettings()
    heights = (1.2, 1.5, 1.8, 2.1, 2.4)
    stopped = (0.0, 0.0, 0.14, 0.85, 1.0)
    crossing = [crossing_cost_m(fence(height), costs) for height in heights]
    for (one, low), (other, high) in zip(
        zip(crossing, stopped, strict=True),
        list(zip(crossing, stopped, strict=True))[1:],
        strict=False,
    ):
        assert (one < other) == (low < high)
    assert crossing[-1] == math.inf
    assert all(math.isfinite(one) for one in crossing[:-1])
    assert crossing_cost_m(fence(None), costs) == crossing[0]
    assert crossing_cost_m(fence(3.0), costs) == math.inf
