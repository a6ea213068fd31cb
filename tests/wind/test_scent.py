"""Which trips walk into scent."""

from __future__ import annotations

import math

import numpy as np
import pytest

from funnelfinder.defaults import WindSettings
from funnelfinder.trips import DrawnTrips
from funnelfinder.wind import (
    Air,
    Drift,
    Sense,
    Stability,
    drift_of,
    scent_bits,
    scented_parts,
    walks_of,
)
from tests import scenes

SETTINGS = WindSettings()


def level() -> Drift:
    place, grids = scenes.scene(marks=scenes.pair_marks())
    return drift_of(scenes.ground_of(place, grids), SETTINGS)


def air(from_deg: float, speed: float = 3.0, **more) -> Air:
    about = {"stability": Stability.D, "spread_deg": 10.0, "sense": Sense.NONE} | more
    return Air(from_deg=from_deg, speed_m_s=speed, **about)


def trips(*lines: list[tuple[float, float]]) -> DrawnTrips:
    points = [np.array(line, dtype=float) for line in lines]
    counts = [len(one) for one in points]
    return DrawnTrips(
        points_m=np.concatenate(points),
        first=np.concatenate(([0], np.cumsum(counts))),
        pair=np.zeros(len(lines), dtype=np.int64),
        weight=np.full(len(lines), 1 / len(lines)),
    )


def alerted(stand, one: Air, drawn: DrawnTrips, drift: Drift, *, turn=0.0):
    walks = walks_of(drawn)
    within = walks.within(np.array([[0.0, 0.0]]), 27.0)
    bits = scent_bits(stand, one, drift, SETTINGS, heights_m=(5.5, 0.0), grid_turn_deg=turn)
    found = []
    for is_morning in (False, True):
        n = one.turns_rad.size
        parts, _ = scented_parts(stand, bits, walks, within, n, is_morning=is_morning)
        found.append(float(parts @ walks.weight))
    return tuple(found)


#: Two trips from west to east through the scrape at (0, 0).
WEST_EAST = trips([(-400, 0), (0, 0), (400, 0)], [(-400, 20), (0, 5), (400, -20)])


def test_walks_keep_length_and_come_close_together():
    walks = walks_of(WEST_EAST)
    assert walks.walked_m[walks.first[1] - 1] == pytest.approx(800.0)
    steps = np.hypot(*np.diff(walks.points_m[: walks.first[1]], axis=0).T)
    assert steps.max() <= 8.0 + 1e-9


def test_a_stand_straight_downwind_of_all_trips_alerts_none():
    """Trips pass north of the stand, the wind comes from the north."""
    assert alerted((0, -40), air(0.0), WEST_EAST, level()) == (0.0, 0.0)


def test_a_wind_from_the_stand_to_the_bed_alerts_the_evening_and_not_the_morning():
    """The wind blows west, where evening trips come from; it swings, so that some miss them."""
    evening, morning = alerted((30, 0), air(90.0), WEST_EAST, level())
    assert evening > 0.5
    assert morning == 0.0


@pytest.mark.parametrize("is_morning", [False, True])
def test_by_hand_the_part_of_the_directions_and_the_first_point_in_scent(is_morning):
    """Two of four directions reach the way before the scrape: one 300 m, the other 100 m off it."""
    walks = walks_of(trips([(-400, 0), (0, 0), (400, 0)]))
    side = 1 if is_morning else -1
    bits = np.zeros((200, 200), dtype=np.uint64)
    for bit, x in ((0, 300), (1, 100), (2, -200)):
        bits[98:102, 100 + side * x // 5 - 2 : 100 + side * x // 5 + 3] |= np.uint64(1 << bit)
    within = walks.within(np.array([[0.0, 0.0]]), 27.0)
    parts, walked = scented_parts((0.0, 0.0), bits, walks, within, 4, is_morning=is_morning)
    assert parts.tolist() == [0.5]
    assert walked[0] == pytest.approx(400 + side * 300, abs=15)
    never = (np.array([-1]), np.array([-1]))
    parts, _ = scented_parts((0.0, 0.0), bits, walks, never, 4, is_morning=is_morning)
    assert parts.tolist() == [0.75]


def test_turning_the_scene_and_the_wind_together_changes_nothing_beyond_the_cells():
    drift = level()
    for stand, from_deg in (((20.0, -25.0), 150.0), ((-30.0, 10.0), 100.0)):
        base = alerted(stand, air(from_deg), WEST_EAST, drift)
        for degrees in (30.0, 90.0, 137.0):
            a = math.radians(degrees)
            turn = np.array([[math.cos(a), math.sin(a)], [-math.sin(a), math.cos(a)]])
            turned = DrawnTrips(
                points_m=WEST_EAST.points_m @ turn,
                first=WEST_EAST.first,
                pair=WEST_EAST.pair,
                weight=WEST_EAST.weight,
            )
            # Rows times this matrix turn anticlockwise, so the wind's bearing falls.
            there = tuple(np.array(stand) @ turn)
            found = alerted(there, air((from_deg - degrees) % 360), turned, drift)
            assert found == pytest.approx(base, abs=0.11)


def test_the_maps_own_north_is_taken_off():
    """A map whose north points 20 deg east of true turns a true wind by as much."""
    drift = level()
    plain = alerted((20, -25), air(150.0), WEST_EAST, drift)
    assert alerted((20, -25), air(170.0), WEST_EAST, drift, turn=20.0) == plain


def hollow(x, y):
    """A valley that falls to the south, its floor at x = 400."""
    return 300.0 + 0.15 * y + 0.25 * np.abs(x - 400.0)


def test_a_calm_night_drains_scent_down_the_hollow():
    """From a slope's side scent runs down to the floor, then along it; none climbs."""
    place, grids = scenes.scene(depth=800, height=hollow, marks=scenes.pair_marks())
    drift = drift_of(scenes.ground_of(place, grids), SETTINGS)
    still = air(math.nan, 0.2, stability=Stability.F, spread_deg=20.0, sense=Sense.DOWN)
    x, y = scenes.corner(460, 600)
    bits = scent_bits((x, y), still, drift, SETTINGS, heights_m=(0.0,))
    rows, cols = np.nonzero(bits)
    n = bits.shape[0] // 2
    north, east = (rows - n) * 5.0, (cols - n) * 5.0
    assert len(rows) > 100
    assert north.max() < 60.0
    assert (north < -200.0).any()
    far = north < -150.0
    assert np.median(east[far]) == pytest.approx(-60.0, abs=30.0)


def test_calm_on_level_ground_goes_every_way():
    still = air(math.nan, 0.0, stability=Stability.F, spread_deg=math.inf)
    bits = scent_bits((0, 0), still, level(), SETTINGS, heights_m=(0.0,))
    n = bits.shape[0] // 2
    rows, cols = np.nonzero(bits)
    bearings = np.degrees(np.arctan2(cols + 0.5 - n, rows + 0.5 - n)) // 45
    assert len(set(bearings)) == 8
