"""Benches: level strips on a slope, and what is none."""

from dataclasses import replace

import numpy as np
import pytest
import shapely

from funnelfinder.detectors.bench import BENCH
from tests import scenes

STEEP = np.tan(np.radians(24.0))


def stepped(strips, slope=STEEP, level=0.05):
    """A hillside that rises northward, level where a function of x and y says so."""

    def height(x, y):
        steps = np.linspace(-100.0, 700.0, 1601)
        rise = np.where(strips(steps[None, :], x.ravel()[:1, None]), level, slope)
        column = 300.0 + np.concatenate([[0.0], np.cumsum(rise[0][:-1]) * 0.5])
        return np.interp(y, steps, column)

    return height


def found(height):
    """What is found on a ground of 2 m cells."""
    place, grids = scenes.scene(height=height, cell_m=10.0, parts=5)
    return BENCH.find(scenes.ground_of(place, grids), place)


@pytest.mark.parametrize("width", [16.0, 20.0, 40.0])
def test_a_level_strip_is_one_bench_with_its_width_and_slope(width):
    height = stepped(lambda y, x: np.abs(y - 300.0) <= width / 2)
    (bench,) = found(height)
    assert bench.sizes["width_m"] == pytest.approx(width, abs=0.25 * width)
    assert bench.sizes["slope_deg"] == pytest.approx(24.0, abs=1.5)
    assert bench.sizes["length_m"] > 700
    middle = shapely.Point(scenes.EAST_0 + 400, scenes.NORTH_0 + 300)
    assert bench.geometry.contains(middle)
    assert bench.words.endswith("yards wide on a slope of 24°.")


def test_elevation_of_30_m_cells_shows_no_bench():
    """Not even where its interpolated heights look like one; the ground says so."""
    height = stepped(lambda y, x: np.abs(y - 300.0) <= 10.0)
    place, grids = scenes.scene(height=height, cell_m=10.0, parts=5)
    assert BENCH.find(scenes.ground_of(place, grids), place)
    coarse = replace(grids, elevation=replace(grids.elevation, source_cell_m=30.0))
    ground = scenes.ground_of(place, coarse)
    assert BENCH.find(ground, place) == []
    assert "Elevation every 33 yards shows no benches, so none are looked for." in ground.notes


@pytest.mark.parametrize(
    "height",
    [
        lambda x, y: 300 + STEEP * y,
        stepped(lambda y, x: np.abs(y - 300) <= 70),
        stepped(lambda y, x: y > 300),
        stepped(lambda y, x: y < 300),
        stepped(lambda y, x: np.abs(y - 300) <= 10, slope=0.1),
        stepped(lambda y, x: np.abs(y - 300) <= 10, level=0.35),
        lambda x, y: 400 - STEEP * np.abs(y - 300),
        lambda x, y: 400 + STEEP * np.abs(y - 300),
    ],
    ids=["plane", "broad flat", "hilltop", "foot", "gentle", "not level", "ridge", "valley"],
)
def test_grounds_without_a_strip_have_no_bench(height):
    assert found(height) == []


def test_a_short_level_place_is_no_bench():
    def height(x, y):
        strip = stepped(lambda y, x: np.abs(y - 300) <= 10)(x, y)
        plain = stepped(lambda y, x: np.zeros_like(y, dtype=bool))(x, y)
        share = np.exp(-(((x - 400) / 15.0) ** 4))
        return share * strip + (1 - share) * plain

    assert found(height) == []


def test_a_turned_hillside_has_its_bench_too():
    def height(x, y):
        cos, sin = np.cos(np.radians(30)), np.sin(np.radians(30))
        along = cos * (y - 300) - sin * (x - 400)
        return 400 + np.where(np.abs(along) <= 12, 0.0, STEEP * (along - 12 * np.sign(along)))

    (bench,) = found(height)
    assert bench.sizes["width_m"] == pytest.approx(24.0, abs=6.0)
