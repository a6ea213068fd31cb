"""The factorised ground keeps its digits over many orders of magnitude."""

from __future__ import annotations

import numpy as np
import pytest

from funnelfinder.cost import CostSurface
from funnelfinder.grid import snapped_grid
from funnelfinder.trips import factor, kappa_per_m
from funnelfinder.units import YARD_M
from tests import scenes


def lane(length_m: float, cost: float) -> CostSurface:
    """A lane three cells wide over even ground of one cost."""
    grid = snapped_grid((0.0, 0.0, length_m, 15.0), cell_m=5.0, epsg=scenes.EPSG)
    ones = np.ones(grid.shape)
    return CostSurface(
        grid=grid,
        cost=cost * ones,
        slope_factor=ones,
        fall_east=0.0 * ones,
        fall_north=0.0 * ones,
        is_removed=np.zeros(grid.shape, dtype=bool),
        barriers=(),
    )


def test_nothing_underflows_within_two_thousand_metres_at_the_smallest_wander() -> None:
    """Along a lane z = cosh(k (n − i + ½)) / cosh(k (n + ½)), k = κch: the closed form."""
    kappa = kappa_per_m(25 * YARD_M)
    surface = lane(2100.0, 1.0)
    solver = factor(surface, kappa)
    n = surface.grid.n_cols
    reach = solver.reach(np.arange(3) * n)
    along = reach.reshape(3, n)[1]
    assert along.min() > 1e-170
    # From the food's rim on, z falls by e^(−κh) a cell, to the last digits, until the far end.
    steps = np.log(along[1:-40] / along[2:-39]) / (kappa * surface.grid.cell_m)
    np.testing.assert_allclose(steps, 1.0, rtol=1e-9)


@pytest.mark.parametrize("cost", [1.0, 2.0, 4.0])
def test_every_solution_is_a_chance(cost: float) -> None:
    solver = factor(lane(600.0, cost), 0.02)
    reach = solver.reach(np.array([0]))
    assert (reach > 0).all()
    assert (reach <= 1.0).all()
    assert solver.solve(solver.stencil.screening) == pytest.approx(1.0)
