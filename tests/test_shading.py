"""The look of the map: its colours, its light, and the pen's work on marks."""

from __future__ import annotations

import itertools
import time

import numpy as np
import pytest
import shapely
from skimage.color import deltaE_ciede2000, rgb2lab

from funnelfinder.grid import Grid
from funnelfinder.shading import (
    GLYPHS,
    INK,
    LEGEND_TICKS,
    LEVEL_LIGHT,
    PAPER,
    PETROL,
    RAMP,
    STRONG_LINES,
    WATER,
    blend,
    contour_interval_ft,
    contours,
    cover_tint,
    crosses,
    crossing_bars,
    dashes,
    dot_rows,
    gap_arcs,
    greyed,
    hatches,
    lashes,
    opened,
    passage_of_100,
    passage_rgba,
    placed_glyph,
    relief_light,
    relief_rgb,
    rgb,
    soft_mask,
    strong_lines,
)
from funnelfinder.units import FOOT_M

# Colour vision at full strength, on linear red, green, blue: G. M. Machado, M. M. Oliveira &
# L. A. F. Fernandes, "A physiologically-based model for simulation of color vision deficiency",
# IEEE Trans. Vis. Comput. Graph. 15, 1291-1298, 2009, table of the authors' page, severity 1.0.
SEEN_BY = {
    "normal": np.eye(3),
    "protan": np.array(
        [
            [0.152286, 1.052583, -0.204868],
            [0.114503, 0.786281, 0.099216],
            [-0.003882, -0.048116, 1.051998],
        ]
    ),
    "deutan": np.array(
        [
            [0.367322, 0.860646, -0.227968],
            [0.280085, 0.672501, 0.047413],
            [-0.011820, 0.042940, 0.968881],
        ]
    ),
    "tritan": np.array(
        [
            [1.255528, -0.076749, -0.178779],
            [-0.078411, 0.930809, 0.147602],
            [0.004733, 0.691367, 0.303900],
        ]
    ),
    # Luminance of ITU-R BT.709, as a black-and-white picture shows it.
    "grey": np.tile([0.2126, 0.7152, 0.0722], (3, 1)),
}


def seen_lab(colours: np.ndarray, eyes: str) -> np.ndarray:
    """CIELAB of sRGB colours (0 to 255) as these eyes see them."""
    srgb = np.asarray(colours, dtype=float) / 255.0
    linear = np.where(srgb <= 0.04045, srgb / 12.92, ((srgb + 0.055) / 1.055) ** 2.4)
    seen = np.clip(linear @ SEEN_BY[eyes].T, 0, 1)
    back = np.where(seen <= 0.0031308, seen * 12.92, 1.055 * seen ** (1 / 2.4) - 0.055)
    return rgb2lab(back)


def apart(one: np.ndarray, other: np.ndarray, eyes: str) -> float:
    """CIEDE2000 between two colours."""
    return float(deltaE_ciede2000(seen_lab(one, eyes), seen_lab(other, eyes)))


def on_level_woods(of_100: float) -> np.ndarray:
    """The colour of so many trips of 100 on level ground in the woods."""
    light = np.full((1, 1), LEVEL_LIGHT)
    relief = relief_rgb(light, cover_tint(np.ones((1, 1)), np.zeros((1, 1))))
    return blend(relief, passage_rgba(np.full((1, 1), of_100)), light)[0, 0].astype(int)


def luminance(colour: str) -> float:
    """Relative luminance after WCAG 2.1."""
    srgb = np.array(rgb(colour)) / 255.0
    linear = np.where(srgb <= 0.04045, srgb / 12.92, ((srgb + 0.055) / 1.055) ** 2.4)
    return float(linear @ [0.2126, 0.7152, 0.0722])


@pytest.mark.parametrize(
    ("of_100", "expected"),
    [(0, "#D8DACD"), (2, "#DFCDB7"), (5, "#D49D83"), (10, "#B76C5D"), (20, "#93494D"),
     (40, "#64313F")],
)  # fmt: skip
def test_passage_on_level_woods_has_the_colours_that_were_worked_out_beforehand(of_100, expected):
    # No published source: worked out by hand from ramp, strength and blend, apart from this code.
    assert np.abs(on_level_woods(of_100) - rgb(expected)).max() <= 3


@pytest.mark.parametrize("eyes", list(SEEN_BY))
def test_neighbours_on_the_ramp_are_told_apart_by_all_eyes(eyes):
    # A CIEDE2000 of 10 is seen at a glance (from memory; about ten just noticeable steps).
    ramp = [on_level_woods(tick) for tick in LEGEND_TICKS]
    assert min(apart(a, b, eyes) for a, b in itertools.pairwise(ramp)) >= 10.0


@pytest.mark.parametrize("eyes", list(SEEN_BY))
def test_ink_petrol_water_and_passage_are_told_apart_by_all_eyes(eyes):
    assert apart(np.array(rgb(INK)), np.array(rgb(PETROL)), eyes) >= 15.0
    assert apart(np.array(rgb(WATER)), on_level_woods(0), eyes) >= 7.0
    assert apart(np.array(rgb(WATER)), on_level_woods(10), eyes) >= 15.0
    assert apart(np.array(rgb(PAPER)), on_level_woods(5), eyes) >= 10.0


def test_lightness_of_the_ramp_falls_all_the_way():
    lightness = [seen_lab(np.array(rgb(colour)), "normal")[0] for colour in RAMP]
    assert all(a > b + 3 for a, b in itertools.pairwise(lightness))


def test_ink_and_petrol_are_readable_on_paper():
    # WCAG 2.1, success criterion 1.4.6: 7 to 1 for text.
    for colour in (INK, PETROL):
        assert (luminance(PAPER) + 0.05) / (luminance(colour) + 0.05) >= 7.0


def test_a_strip_two_reaches_wide_counts_trips_of_100():
    # 0.001 of all trips a metre over a strip of 60 m is 6 of 100.
    assert passage_of_100(np.array([[0.001]]), 30.0)[0, 0] == pytest.approx(6.0)


def test_fewer_than_two_thirds_of_a_trip_and_unsolved_ground_stay_bare():
    shown = passage_rgba(np.array([[0.0, 0.5, 0.64, np.nan, 0.8, np.inf]]))[0, :, 3]
    assert shown[:4].tolist() == [0, 0, 0, 0]
    assert shown[4] > 0
    assert shown[5] == 242  # 0.95 of 255


def test_recolouring_keeps_up_with_a_hand_that_drags():
    of_100 = np.random.default_rng(1).gamma(0.5, 10.0, (660, 660)).astype(np.float32)
    passage_rgba(of_100)
    times = []
    for _ in range(5):
        start = time.perf_counter()
        passage_rgba(of_100)
        times.append(time.perf_counter() - start)
    assert min(times) < 0.1


def test_level_ground_gets_the_level_light_whatever_its_height():
    assert relief_light(np.full((20, 20), 417.0), 3.0) == pytest.approx(LEVEL_LIGHT, abs=1e-12)


def test_the_north_west_slope_is_lit_and_the_south_east_slope_lies_in_shade():
    y, x = np.mgrid[0:61, 0:61].astype(float)
    cone = 30.0 - 0.3 * np.hypot(x - 30, y - 30) * 3.0
    light = relief_light(cone, 3.0)
    assert light[18, 18] > 0.72
    assert light[42, 42] < 0.42
    assert light.max() < 1.0
    assert light.min() > 0.0


def test_steep_bare_ground_is_never_as_dark_as_ten_trips_of_100():
    y, x = np.mgrid[0:201, 0:201].astype(float)
    rough = 25 * np.sin(x / 9) + 20 * np.cos(y / 7 + x / 31)
    light = relief_light(rough, 3.0)
    ground = relief_rgb(light, cover_tint(np.ones(light.shape), np.zeros(light.shape)))
    darkest = seen_lab(ground.reshape(-1, 3), "normal")[:, 0].min()
    assert darkest > seen_lab(on_level_woods(10), "normal")[0]


def test_a_hole_in_the_elevation_is_drawn_without_a_scar():
    heights = np.add.outer(np.zeros(40), np.arange(40.0))
    heights[10:14, 10:14] = np.nan
    light = relief_light(heights, 3.0)
    assert np.isfinite(light).all()
    assert np.isfinite(relief_light(np.full((5, 5), np.nan), 1.0)).all()


def test_the_edge_of_woods_casts_a_fine_shadow_on_its_south_east_side_only():
    woods = np.zeros((40, 40))
    woods[10:30, 10:30] = 1.0
    light = relief_light(np.zeros((40, 40)), 5.0, woods=soft_mask(woods, smooth_cells=0.7))
    assert light[20, 30] < LEVEL_LIGHT - 0.03
    assert light[20, 9] > LEVEL_LIGHT + 0.03
    assert light[20, 20] == pytest.approx(LEVEL_LIGHT, abs=1e-6)


def test_open_ground_is_lighter_than_woods_and_other_ground_lies_between():
    light = np.full((1, 3), LEVEL_LIGHT)
    tint = cover_tint(np.array([[1.0, 0.0, 0.0]]), np.array([[0.0, 0.0, 1.0]]))
    woods, other, field = relief_rgb(light, tint)[0].astype(int).sum(axis=1)
    assert woods < other < field


def test_a_map_without_passage_is_darker_in_its_shades_only():
    tint = cover_tint(np.ones((1, 2)), np.zeros((1, 2)))
    light = np.array([[0.3, LEVEL_LIGHT]])
    plain, strong = relief_rgb(light, tint), relief_rgb(light, tint, darker=0.25)
    assert strong[0, 0].sum() < plain[0, 0].sum()
    assert strong[0, 1].tolist() == plain[0, 1].tolist()


def test_contours_of_a_cone_are_circles_at_their_height():
    grid = Grid(epsg=32617, west_m=0, north_m=400, cell_m=2, n_rows=200, n_cols=200)
    rows, cols = np.indices(grid.shape)
    points = grid.points_m(rows, cols)
    away = np.hypot(points[:, 0] - 200, points[:, 1] - 200).reshape(grid.shape)
    lines = contours((210.0 - 0.5 * away) * FOOT_M, grid, interval_ft=20)
    whole = [line for line in lines if 120 <= line.height_ft < 200]
    assert [line.height_ft for line in whole] == [120, 140, 160, 180]
    assert next(line.is_fifth for line in lines if line.height_ft in (100, 120))
    for line in whole:
        radius = np.hypot(line.points_m[:, 0] - 200, line.points_m[:, 1] - 200)
        assert radius == pytest.approx((210 - line.height_ft) / 0.5, abs=1.0)


def test_contours_stand_farther_apart_in_height_on_steep_ground_and_small_maps():
    slope = np.tile(np.arange(50.0) * 9.0, (50, 1))  # 42 degrees on cells of 10 m
    # On 4 m a point, 20 ft of a slope of 0.9 would lie 1.7 points apart, 40 ft 3.4.
    assert contour_interval_ft(slope, 10.0, 4.0) == 40
    assert contour_interval_ft(slope / 5, 10.0, 4.0) == 20
    assert contour_interval_ft(slope / 5, 10.0, 1.0) == 10
    assert contour_interval_ft(np.full((4, 4), np.nan), 10.0, 4.0) == 20


def test_no_contour_is_drawn_where_nothing_is_known():
    grid = Grid(epsg=32617, west_m=0, north_m=40, cell_m=2, n_rows=20, n_cols=20)
    assert contours(np.full(grid.shape, np.nan), grid, interval_ft=20) == []


def test_strong_lines_run_where_passage_has_their_value():
    across = np.abs(np.arange(101.0) - 50)
    of_100 = np.tile(50.0 * np.exp(-across / 10.0), (30, 1))
    lines = strong_lines(of_100)
    assert {level for level, _ in lines} == {level for level, _ in STRONG_LINES}
    for level, line in lines:
        assert np.abs(line[:, 1] - 50) == pytest.approx(10 * np.log(50 / level), abs=0.1)


def test_lashes_point_inward_and_keep_their_length():
    square = shapely.box(0, 0, 100, 60)
    strokes = lashes(square, length=8, every=11)
    assert len(strokes) == 29  # 320 around, one each 11
    for foot, tip in strokes:
        assert square.exterior.distance(shapely.Point(foot)) < 1e-9
        assert square.contains(shapely.Point(tip))
        assert np.hypot(*(tip - foot)) == pytest.approx(8)


def test_a_bucks_lashes_stand_in_twos_and_eithers_are_long_and_short_by_turns():
    ring = shapely.Point(0, 0).buffer(60, quad_segs=64)
    buck = [foot for foot, _ in lashes(ring, length=8, every=11, who="buck")]
    steps = np.hypot(*np.diff(buck, axis=0).T)
    assert steps[::2].max() < 0.5 * steps[1::2].min()
    lengths = np.array(
        [np.hypot(*(b - a)) for a, b in lashes(ring, length=8, every=11, who="either")]
    )
    assert lengths[::2] == pytest.approx(8)
    assert lengths[1::2] == pytest.approx(4)


def test_lashes_point_inward_whichever_way_the_outline_was_drawn():
    for ring in (shapely.box(0, 0, 50, 50), shapely.box(0, 0, 50, 50, ccw=False)):
        tips = [tip for _, tip in lashes(ring, length=5, every=10)]
        assert all(ring.contains(shapely.Point(tip)) for tip in tips)


def test_rows_of_dots_are_staggered_and_stay_inside():
    field = shapely.box(3, 2, 103, 62)
    dots = dot_rows(field, across=10, down=7.5, inset=4)
    assert all(field.buffer(-4).buffer(1e-9).contains(shapely.Point(dot)) for dot in dots)
    rows = [sorted(dots[dots[:, 1] == y][:, 0]) for y in np.unique(dots[:, 1])]
    assert all(np.diff(row) == pytest.approx(10) for row in rows)
    assert (rows[0][0] - rows[1][0]) % 10 == pytest.approx(5)
    assert len(dot_rows(shapely.box(0, 0, 3, 3), across=10, down=7, inset=4)) == 0


def test_crosses_stand_on_the_line_at_even_steps():
    strokes = crosses(shapely.LineString([(0, 0), (170, 0)]), size=8, every=17)
    middles = np.array([stroke.mean(axis=0) for stroke in strokes])
    assert len(strokes) == 20
    assert middles[::2, 0] == pytest.approx(np.arange(8.5, 170, 17))
    assert all(np.hypot(*(b - a)) == pytest.approx(8) for a, b in strokes)


def test_dashes_cover_their_share_of_the_line():
    outline = shapely.box(0, 0, 200, 100)
    pieces = dashes(outline, (15, 4.5, 2.6, 4.5))
    drawn = sum(np.hypot(*np.diff(piece, axis=0).T).sum() for piece in pieces)
    assert drawn / 600 == pytest.approx(17.6 / 26.6, rel=1e-6)


def test_hatches_run_at_45_degrees_inside_and_stand_even():
    area = shapely.box(0, 0, 90, 60)
    lines = hatches(area, every=9)
    for a, b in lines:
        assert (b - a)[0] == pytest.approx((b - a)[1])
        assert area.buffer(1e-9).contains(shapely.LineString([a, b]))
    offsets = sorted({round((a[0] - a[1]) / np.sqrt(2), 6) for a, _ in lines})
    assert np.diff(offsets) == pytest.approx(9)


def test_a_fence_is_left_open_at_its_gap_and_arcs_stand_at_both_ends():
    fence = shapely.LineString([(0, 0), (100, 0)])
    open_fence = opened(fence, [shapely.Point(50, 1)], 5)
    assert open_fence.length == pytest.approx(100 - 2 * np.sqrt(24), abs=0.1)
    assert opened(fence, [], 5) is fence
    left, right = gap_arcs((50, 0), 0.0, width=10, height=16)
    # Back to back: the bellies face each other, the tips point away.
    assert left[6] == pytest.approx((45, 0))
    assert right[6] == pytest.approx((55, 0))
    assert left[0][0] < 45
    assert right[0][0] > 55


def test_bars_stand_across_the_creek():
    bars = crossing_bars((10, 20), np.pi / 2, length=20, apart=8)
    for bar in bars:
        assert (bar[1] - bar[0]) == pytest.approx((-20, 0), abs=1e-9)
    assert np.abs(bars[0].mean(axis=0) - bars[1].mean(axis=0)) == pytest.approx((0, 8), abs=1e-9)


@pytest.mark.parametrize("name", list(GLYPHS))
def test_each_sign_has_ink_and_keeps_to_its_box(name):
    placed = placed_glyph(GLYPHS[name], (100.0, 50.0), 12.0)
    points = np.concatenate([*placed.strokes, *placed.fills])
    assert len(points) >= 4
    assert np.abs(points - (100.0, 50.0)).max() <= 6.0
    assert np.ptp(points, axis=0).min() >= 4.5


def test_grey_keeps_how_light_a_colour_is():
    assert greyed(np.array([[255, 255, 255], [0, 0, 0]])).tolist() == [[255.0] * 3, [0.0] * 3]
