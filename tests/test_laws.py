"""Laws of trips that hold on any ground, tried on random ground."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from scipy.ndimage import gaussian_filter

from funnelfinder.cost import CostSurface
from funnelfinder.travel_network import cost_distances, moves_of
from funnelfinder.trips import factor
from tests.surfaces import all_net_flow, fence, surface_of, trips_over

CELL_M = 10.0
few = settings(deadline=None, max_examples=25, suppress_health_check=[HealthCheck.too_slow])


@st.composite
def grounds(draw: st.DrawFn, *, square: bool = False, fenced: bool = True) -> CostSurface:
    """Rough cost and slopes, now and then with a fence that has a gap."""
    seed = draw(st.integers(0, 2**31 - 1))
    n_rows = draw(st.integers(9, 16))
    shape = (n_rows, n_rows) if square else (n_rows, draw(st.integers(9, 16)))
    rng = np.random.default_rng(seed)
    angle = gaussian_filter(rng.uniform(0, 2 * np.pi, shape), 1.0)
    slope = (rng.uniform(1.0, 3.0, shape), np.cos(angle), np.sin(angle))
    lines = []
    if fenced and draw(st.booleans()):
        # A little off the middle of cells and their corners, where sides are not chosen by a tie.
        across = np.array([(-20.0, 37.3), (shape[1] * CELL_M + 20.0, 61.7)])
        gaps = [(40.0, 52.0)] if draw(st.booleans()) else []
        lines = [fence(*across, cost_m=draw(st.floats(5.0, 400.0)), gaps=gaps)]
    return surface_of(rng.uniform(1.0, 4.0, shape), cell_m=CELL_M, slope=slope, barriers=lines)


kappas = st.floats(0.002, 0.05)


def ends_of(surface: CostSurface) -> tuple[list[int], list[int]]:
    """A bed of two cells in the north-west and a food of two in the south-east."""
    n = surface.grid.n_cols
    return [n + 1, n + 2], [surface.grid.n_cells - n - 2, surface.grid.n_cells - 3]


@few
@given(surface=grounds(), kappa=kappas, seed=st.integers(0, 9999))
def test_flow_out_of_any_closed_section_is_what_starts_less_what_ends_inside(
    surface: CostSurface, kappa: float, seed: int
) -> None:
    bed, food = ends_of(surface)
    pair = trips_over(surface, kappa, bed, food)
    flow = all_net_flow(pair)
    is_in = np.random.default_rng(seed).random(flow.shape[0]) < 0.5
    out = flow[np.ix_(is_in, ~is_in)].sum()
    inside = pair.starts[is_in].sum() - (pair.ends * pair.visits)[is_in].sum()
    assert out == pytest.approx(inside, abs=1e-9)
    is_in[bed], is_in[food] = True, False
    assert flow[np.ix_(is_in, ~is_in)].sum() == pytest.approx(1.0, abs=1e-9)


@few
@given(surface=grounds(), kappa=kappas)
def test_swapping_bed_and_food_of_one_cell_turns_the_flow_about(
    surface: CostSurface, kappa: float
) -> None:
    (bed, _), (food, _) = ends_of(surface)
    there = all_net_flow(trips_over(surface, kappa, [bed], [food]))
    back = all_net_flow(trips_over(surface, kappa, [food], [bed]))
    np.testing.assert_allclose(there, -back, atol=1e-9)


def mirrored(surface: CostSurface) -> CostSurface:
    """The ground seen in a mirror that swaps east and west."""
    width = surface.grid.n_cols * CELL_M
    lines = [
        fence(
            *((width - x, y) for x, y in one.points_m[::-1]),
            cost_m=one.cost_m,
            gaps=[(one.line.length - b, one.line.length - a) for a, b in one.gaps_m],
        )
        for one in surface.barriers
    ]
    slope = (surface.slope_factor, -surface.fall_east, surface.fall_north)
    return surface_of(
        surface.cost[:, ::-1],
        cell_m=CELL_M,
        slope=tuple(part[:, ::-1] for part in slope),
        barriers=lines,
    )


def turned(surface: CostSurface) -> CostSurface:
    """The ground turned by 90° to the left; only for squares."""
    width = surface.grid.n_cols * CELL_M
    lines = [
        fence(*((width - y, x) for x, y in one.points_m), cost_m=one.cost_m, gaps=one.gaps_m)
        for one in surface.barriers
    ]
    slope = (surface.slope_factor, -surface.fall_north, surface.fall_east)
    return surface_of(
        np.rot90(surface.cost),
        cell_m=CELL_M,
        slope=tuple(np.rot90(part) for part in slope),
        barriers=lines,
    )


def fields(surface: CostSurface, kappa: float, bed: np.ndarray, food: np.ndarray) -> np.ndarray:
    """Reach, visits and density of flow on the grid, with bed and food given as masks."""
    pair = trips_over(surface, kappa, np.flatnonzero(bed), np.flatnonzero(food))
    grid = [pair.stencil.on_grid(one) for one in (pair.reach, pair.visits)]
    return np.stack([*grid, np.hypot(*pair.flux_per_m)])


@few
@given(surface=grounds(square=True), kappa=kappas)
def test_a_mirrored_or_turned_ground_has_mirrored_or_turned_fields(
    surface: CostSurface, kappa: float
) -> None:
    bed, food = (np.zeros(surface.grid.shape, dtype=bool) for _ in range(2))
    for mask, cells in zip((bed, food), ends_of(surface), strict=True):
        mask.ravel()[cells] = True
    here = fields(surface, kappa, bed, food)
    seen = fields(mirrored(surface), kappa, bed[:, ::-1], food[:, ::-1])
    np.testing.assert_allclose(seen[:, :, ::-1], here, rtol=1e-6, atol=1e-9)
    left = fields(turned(surface), kappa, np.rot90(bed), np.rot90(food))
    np.testing.assert_allclose(np.rot90(left, -1, axes=(1, 2)), here, rtol=1e-6, atol=1e-9)


@few
@given(surface=grounds(), kappa=kappas, times=st.floats(0.2, 5.0))
def test_dearer_ground_with_kappa_scaled_back_changes_no_flow(
    surface: CostSurface, kappa: float, times: float
) -> None:
    from dataclasses import replace

    bed, food = ends_of(surface)
    lines = tuple(replace(one, cost_m=times * one.cost_m) for one in surface.barriers)
    dearer = replace(surface, cost=times * surface.cost, barriers=lines)
    before = all_net_flow(trips_over(surface, kappa, bed, food))
    after = all_net_flow(trips_over(dearer, kappa / times, bed, food))
    np.testing.assert_allclose(after, before, atol=1e-9)


@few
@given(surface=grounds(fenced=False), kappa=kappas, margin=st.integers(1, 4))
def test_a_margin_of_removed_cells_changes_nothing(
    surface: CostSurface, kappa: float, margin: int
) -> None:
    wide = surface_of(
        np.pad(surface.cost, margin, constant_values=np.nan),
        cell_m=CELL_M,
        slope=tuple(
            np.pad(part, margin, constant_values=rim)
            for part, rim in (
                (surface.slope_factor, 1.0),
                (surface.fall_east, 0.0),
                (surface.fall_north, 0.0),
            )
        ),
    )
    bed, food = ends_of(surface)

    def in_wide(cells: list[int]) -> list[int]:
        rows, cols = np.divmod(cells, surface.grid.n_cols)
        return list((rows + margin) * wide.grid.n_cols + cols + margin)

    here = trips_over(surface, kappa, bed, food)
    there = trips_over(wide, kappa, in_wide(bed), in_wide(food))
    np.testing.assert_allclose(there.reach, here.reach, rtol=1e-10)
    np.testing.assert_allclose(all_net_flow(there), all_net_flow(here), atol=1e-10)


@few
@given(surface=grounds(), kappa=kappas, seed=st.integers(0, 9999))
def test_more_food_never_lowers_reach_nor_lengthens_the_way_to_it(
    surface: CostSurface, kappa: float, seed: int
) -> None:
    solver = factor(surface, kappa)
    cells = np.random.default_rng(seed).permutation(surface.grid.n_cells)
    foods = [np.sort(cells[:2]), np.sort(cells[2:5]), np.sort(cells[5:6])]
    sums = np.cumsum([solver.reach(food) for food in foods], axis=0)
    assert (np.diff(sums, axis=0) >= -1e-13).all()
    assert (sums <= 1.0 + 1e-9).all()
    found = cost_distances(moves_of(surface), foods)
    nearest = np.minimum.accumulate([one.distance_m for one in found])
    both = cost_distances(moves_of(surface), [np.concatenate(foods)])[0].distance_m
    np.testing.assert_allclose(nearest[-1], both, rtol=1e-12)
    assert (np.diff(nearest, axis=0) <= 0.0).all()


def test_turned_by_30_degrees_the_reach_falls_the_same_within_the_error_of_the_grid() -> None:
    """On an even hillside, along rays at 30° to where they ran, 5 % as for any heading."""
    n, kappa = 121, 0.03
    middle = n // 2
    rows, cols = np.indices((n, n)) - middle
    fallen = []
    for turn in (0.0, np.pi / 6):
        ones = np.ones((n, n))
        slope = (2.0 * ones, np.cos(turn) * ones, np.sin(turn) * ones)
        surface = surface_of(ones, cell_m=CELL_M, slope=slope)
        solver = factor(surface, kappa)
        soft = -np.log(solver.reach(np.array([middle * n + middle]))) / kappa
        rates = []
        for off in np.radians([0.0, 45.0, 90.0]):
            east, north = np.cos(turn + off), np.sin(turn + off)
            along, across = cols * east - rows * north, rows * east + cols * north
            ray = ((np.abs(across) <= 0.5) & (along > 15) & (along < 45)).ravel()
            rates.append(np.polyfit(along.ravel()[ray] * CELL_M, soft[ray], 1)[0])
        fallen.append(rates)
    np.testing.assert_allclose(fallen[1], fallen[0], rtol=0.06)
