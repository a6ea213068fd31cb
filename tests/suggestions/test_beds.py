"""Likely beds: inside cover, high, out of the wind of winter or the sun of the heat; no others."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import shapely

from funnelfinder.ground import prepare_ground
from funnelfinder.land_cover import shipped_table
from funnelfinder.marks import MarkKind
from funnelfinder.suggestions import likely_beds
from funnelfinder.suggestions.beds import LEAST_INSIDE_M
from tests import scenes


def hill(x, y):
    """A round hill, 30 m high, in the middle of the scene."""
    return 300.0 + 30.0 * np.exp(-((x - 400) ** 2 + (y - 300) ** 2) / (2 * 120.0**2))


def evergreens(x, y):
    return np.full(x.shape, 42)


def strip_of_evergreens(half_width):
    """Evergreens around the hill's middle line, crops on both sides."""
    return lambda x, y: np.where(np.abs(x - 400) < half_width, 42, 82)


def beds(**scene):
    place, grids = scenes.scene(**scene)
    return likely_beds(prepare_ground(place, grids))


def test_beds_of_a_wooded_hill_lie_on_its_southern_and_eastern_face():
    # Lang & Gates 1985: winter night beds open to the south-east, under conifers.
    found = beds(height=hill, cover=evergreens)
    assert found
    top = scenes.point(400, 300)
    best = found[0].geometry.centroid
    bearing = np.degrees(np.arctan2(best.x - top.x, best.y - top.y)) % 360
    assert 100 < bearing < 215
    assert found[0].kind is MarkKind.BED
    assert "evergreen forest" in found[0].why
    assert "as winter beds do" in found[0].why
    assert "a guess to check for sign" in found[0].why


def test_no_bed_in_the_open():
    assert beds(height=hill, cover=lambda x, y: np.full(x.shape, 82)) == ()


def test_no_bed_near_the_edge_of_cover():
    found = beds(height=hill, cover=strip_of_evergreens(100))
    assert found
    edge = shapely.MultiLineString(
        [scenes.line((300, -100), (300, 700)), scenes.line((500, -100), (500, 700))]
    )
    for one in found:
        assert one.geometry.centroid.distance(edge) > LEAST_INSIDE_M


def test_a_narrow_strip_of_woods_holds_none():
    # Common practice, no source: 20 to 80 yards inside thick cover; 30 m wide has no such place.
    assert beds(height=hill, cover=strip_of_evergreens(15)) == ()


def test_level_woods_without_anything_else_hold_none():
    assert beds() == ()


def test_level_thickets_alone_are_not_enough_but_evergreens_on_a_knoll_are():
    assert beds(cover=lambda x, y: np.full(x.shape, 52)) == ()
    assert beds(height=hill, cover=evergreens)


def test_nothing_rests_on_a_cliff():
    assert beds(height=lambda x, y: 300.0 + 1.5 * x, cover=evergreens) == ()


def test_places_to_keep_off_are_kept_off():
    everywhere = scenes.polygon((-100, -100), (900, -100), (900, 700), (-100, 700))
    off = scenes.mark(MarkKind.KEEP_OFF, everywhere)
    assert beds(height=hill, cover=evergreens, marks=[off]) == ()


def test_beds_lie_apart_and_are_at_most_a_dozen():
    def hills(x, y):
        return 300.0 + 12.0 * np.sin(x / 45.0) * np.sin(y / 45.0)

    found = beds(width=2000.0, depth=1500.0, height=hills, cover=evergreens)
    assert len(found) == 12
    middles = [one.geometry.centroid for one in found]
    nearest = min(a.distance(b) for n, a in enumerate(middles) for b in middles[n + 1 :])
    assert nearest > 80
    assert len({one.name for one in found}) == 12


def test_where_the_legend_does_not_tell_evergreens_nothing_is_said_of_them():
    place, grids = scenes.scene(height=hill, cover=lambda x, y: np.full(x.shape, 10))
    place = replace(place, cover_table=shipped_table("worldcover"))
    found = likely_beds(prepare_ground(place, grids))
    assert found
    assert not any("evergreen" in one.why for one in found)


@pytest.mark.parametrize("turn", [1, 2, 3])
def test_aspect_counts_as_the_compass_says(turn):
    """The same hill seen from its faces: beds face south-east to south, or north to north-east."""
    steep = {1: (1, 0), 2: (0, 1), 3: (-1, -1)}[turn]

    def slope(x, y):
        return 400.0 + 0.2 * (steep[0] * x + steep[1] * y)

    # The ground falls against the gradient: west, south, north-east.
    found = beds(height=slope, cover=evergreens)
    named = {one.name.split(" bed")[0] for one in found}
    assert named == {1: set(), 2: {"South slope"}, 3: {"North-east slope"}}[turn]
