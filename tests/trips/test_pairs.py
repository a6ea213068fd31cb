"""What must hold for the trips of a pair, whatever the cells and the heading."""

from __future__ import annotations

import numpy as np
import pytest
import shapely

from funnelfinder.catch import catch_of
from funnelfinder.cost import cost_surface
from funnelfinder.defaults import TripSettings
from funnelfinder.errors import NoWayError
from funnelfinder.marks import MarkKind
from funnelfinder.trips import (
    DrawnTrips,
    draw_trips,
    factor,
    pair_trips,
    passage_per_m,
    spread_half_way_m,
)
from funnelfinder.units import YARD_M
from tests import scenes
from tests.trips.even_ground import KAPPA, MIDDLE, mid_trip_spread_m, outflow, turned_pair

# Half-way spread of a Brownian bridge over 400 m: 37.8 m (Horne et al. 2007, Ecology 88:2354);
# the discs make it a little wider.
BRIDGE_M = spread_half_way_m(KAPPA, 400.0)


@pytest.mark.parametrize("turn_deg", [0.0, 30.0, 45.0])
@pytest.mark.parametrize(("cell_m", "within"), [(5.0, 0.05), (10.0, 0.08)])
def test_spread_is_the_bridges_at_any_cell_and_heading(
    cell_m: float, within: float, turn_deg: float
) -> None:
    pair, _, _ = turned_pair(cell_m=cell_m, turn_deg=turn_deg)
    reference, _, _ = turned_pair(cell_m=5.0)
    spread = mid_trip_spread_m(pair, turn_deg)
    assert spread == pytest.approx(BRIDGE_M, rel=within)
    assert spread == pytest.approx(mid_trip_spread_m(reference, 0.0), rel=within)


@pytest.mark.parametrize("size_m", [60.0, 120.0, 250.0])
def test_flow_through_any_closed_section_is_all_trips(size_m: float) -> None:
    pair, ground, _ = turned_pair(cell_m=5.0, turn_deg=30.0)
    bed = scenes.corner(MIDDLE - 200 * np.cos(np.pi / 6), MIDDLE - 100)
    rows, cols = np.indices(ground.grid.shape)
    far = np.abs(ground.grid.points_m(rows, cols) - bed).max(axis=1).reshape(rows.shape)
    assert outflow(pair, far <= size_m) == pytest.approx(1.0, abs=1e-9)


def test_trips_start_at_the_bed_and_end_at_the_food() -> None:
    pair, _, _ = turned_pair(cell_m=10.0)
    assert pair.starts.sum() == pytest.approx(1.0, abs=1e-12)
    assert (pair.ends * pair.visits).sum() == pytest.approx(1.0, abs=1e-9)
    assert ((pair.reach >= 0) & (pair.reach <= 1 + 1e-12)).all()
    assert set(np.flatnonzero(pair.ends)) == set(pair.stencil.index[pair.food.cells])


def test_each_step_and_the_end_chance_sum_to_one_beside_rims_lines_and_removed_cells() -> None:
    pair, _, _ = turned_pair(
        cell_m=10.0,
        marks=(
            scenes.mark(MarkKind.WATER, scenes.disc(MIDDLE, MIDDLE + 20, 45), "Pond"),
            scenes.mark(MarkKind.FENCE, scenes.line((500, 100), (530, 1100)), "Fence"),
        ),
    )
    stencil = pair.stencil
    weights = stencil.weights
    total = np.asarray(weights.sum(axis=1)).ravel() + stencil.screening
    leaving = weights @ pair.reach / (total * pair.reach)
    ending = pair.ends / (total * pair.reach)
    np.testing.assert_allclose(leaving + ending, 1.0, rtol=1e-9)


def test_turning_the_scene_by_a_right_angle_turns_the_fields() -> None:
    plain, _, _ = turned_pair(cell_m=10.0)
    turned, _, _ = turned_pair(cell_m=10.0, turn_deg=90.0)
    before, after = passage_per_m([plain]), passage_per_m([turned])
    np.testing.assert_allclose(after, np.rot90(before), rtol=1e-6, atol=1e-9 * before.max())


def test_swapping_a_single_cell_bed_and_food_leaves_the_flow() -> None:
    def between(bed: tuple[float, float], food: tuple[float, float]) -> np.ndarray:
        place, grids = scenes.scene(
            cell_m=10.0,
            height=lambda x, y: 300 + 20 * np.sin(x / 90) + 12 * np.cos(y / 70),
            marks=[
                scenes.mark(MarkKind.BED, scenes.disc(*bed, 2.0), "Bed"),
                scenes.mark(MarkKind.FOOD, scenes.disc(*food, 2.0), "Oaks", crop="acorns"),
                scenes.mark(MarkKind.FENCE, scenes.line((400, 50), (430, 350)), "Fence"),
            ],
        )
        ground = scenes.ground_of(place, grids)
        solver = factor(cost_surface(ground, place.settings.cost), 0.03)
        pair = pair_trips(solver, ground.beds, ground.foods, np.array([[1.0]]))
        return passage_per_m(pair)

    west, east = (205.0, 305.0), (655.0, 245.0)
    there, back = between(west, east), between(east, west)
    np.testing.assert_allclose(there, back, rtol=1e-7, atol=1e-9 * there.max())


def test_the_soft_distance_is_nought_where_trips_end_and_grows_towards_the_bed() -> None:
    pair, ground, _ = turned_pair(cell_m=5.0)
    distance = pair.soft_distance_m.ravel()
    ends = pair.ends * pair.visits
    at_end = (ends * distance[pair.stencil.cells]).sum() / ends.sum()
    assert abs(at_end) < 5.0
    assert distance[ground.beds[0].cells].min() > 280.0


def test_mean_walked_length_agrees_with_drawn_trips() -> None:
    pair, ground, _ = turned_pair(cell_m=5.0)
    drawn = draw_trips([pair], TripSettings(), seed=3)
    walked = pair.walked_m()
    food = ground.foods[0].cells
    ends = (pair.ends * pair.visits)[pair.stencil.index[food]]
    mean = float((walked.ravel()[food] * ends).sum() / ends.sum())
    # Steps along cells are longer than the thinned line through them, by up to 4/π on a grid.
    assert drawn.lengths_m().mean() < mean < 1.3 * drawn.lengths_m().mean()


def test_drawn_trips_repeat_with_their_seed_and_pair_by_pair() -> None:
    pair, _, _ = turned_pair(cell_m=10.0)
    first, again, other = (draw_trips([pair], TripSettings(), seed=seed) for seed in (1, 1, 2))
    np.testing.assert_array_equal(first.points_m, again.points_m)
    assert not np.array_equal(first.points_m[:50], other.points_m[:50])


@pytest.mark.parametrize("cell_m", [3.0, 5.0, 10.0])
def test_catch_of_a_disc_is_the_flow_into_it_at_every_cell_size(cell_m: float) -> None:
    pair, ground, _ = turned_pair(cell_m=cell_m, kappa=0.0109)
    radius = 30 * YARD_M
    middle = scenes.corner(MIDDLE, MIDDLE)
    drawn = draw_trips([pair], TripSettings(n_drawn=20_000), seed=5)
    caught = catch_of(middle[None, :], drawn, radius)
    rows, cols = np.indices(ground.grid.shape)
    near = np.hypot(*(ground.grid.points_m(rows, cols) - middle).T) <= radius
    stencil = pair.stencil
    is_in = near[stencil.cells]
    edges = stencil.weights.tocoo()
    i, j = edges.coords
    into = ~is_in[i] & is_in[j]
    entering = np.maximum(pair.net_flow(i[into], j[into], edges.data[into]), 0.0).sum()
    # A disc of cells is as wide as its rows, and catches in proportion to its width.
    # Sampling error of 20,000 trips is 0.003.
    width = near.reshape(ground.grid.shape).any(axis=1).sum() * cell_m
    assert caught == pytest.approx(entering * 2 * radius / width, rel=0.06)
    # On even ground a scrape half way catches about a quarter at a wander of 100 yards, and
    # cells of 3, 5 and 10 m agree within 5 %.
    assert caught == pytest.approx(0.254, rel=0.05)


def test_no_way_out_of_a_closed_fence_is_told_by_name() -> None:
    ring = shapely.LineString(scenes.disc(200, 300, 90).exterior.coords)
    place, grids = scenes.scene(
        cell_m=10.0,
        marks=[
            *scenes.pair_marks(),
            scenes.mark(MarkKind.FENCE, ring, "High fence", height_m=2.6),
        ],
    )
    ground = scenes.ground_of(place, grids)
    solver = factor(cost_surface(ground, place.settings.cost), 0.02)
    with pytest.raises(NoWayError, match="West bed"):
        pair_trips(solver, ground.beds, ground.foods, np.array([[1.0]]))


def test_halves_of_the_trips_share_none_and_weigh_one() -> None:
    pair, _, _ = turned_pair(cell_m=10.0)
    drawn: DrawnTrips = draw_trips([pair], TripSettings(), seed=1)
    one, two = drawn.half(0), drawn.half(1)
    assert one.weight.sum() == pytest.approx(1.0)
    assert one.n_trips + two.n_trips == drawn.n_trips
    np.testing.assert_array_equal(one.trip_m(3), drawn.trip_m(6))
    np.testing.assert_array_equal(two.trip_m(3), drawn.trip_m(7))
