"""How each kind of mark is drawn, on the map and in the legend; geometry is on the page [pt]."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from funnelfinder.files.map_picture.pens import Face
from funnelfinder.files.map_picture.sheet import Sheet, coords_of
from funnelfinder.kernels import FloatArray
from funnelfinder.shading import (
    BANK,
    INK,
    PALE_INK,
    PAPER,
    WATER,
    crosses,
    crossing_bars,
    dashes,
    dot_rows,
    gap_arcs,
    hatches,
    lashes,
    opened,
)


def draw_boundary(sheet: Sheet, line: BaseGeometry) -> None:
    """Draw dashes and dots by turns."""
    pattern = [length * sheet.px for length in (15.0, 4.5, 2.6, 4.5)]
    sheet.inked(dashes(line, pattern), width_px=2.6)


def draw_bed(sheet: Sheet, area: BaseGeometry, who: str) -> None:
    """Draw a hollow pressed in grass: lashes from the outline inward."""
    sheet.filled(area, colour=PAPER, opacity=0.45)
    longest = 0.45 * math.sqrt(max(area.area, 1e-6) / math.pi)
    strokes = lashes(
        area, length=min(8 * sheet.px, longest), every=min(11 * sheet.px, longest), who=who
    )
    outline = coords_of(area)
    sheet.pen.lines(outline, width=6 * sheet.px, colour=PAPER)
    sheet.pen.lines(strokes, width=4 * sheet.px, colour=PAPER, opacity=0.6)
    sheet.pen.lines(strokes, width=1.6 * sheet.px, colour=INK)
    sheet.pen.lines(outline, width=2 * sheet.px, colour=INK)


def draw_food(sheet: Sheet, area: BaseGeometry, *, inset_px: float = 5.0) -> None:
    """Draw a field sown in drills: staggered rows of dots, some way off its edge."""
    sheet.filled(area, colour=PAPER, opacity=0.42)
    px = sheet.px
    for dot in dot_rows(area, across=10 * px, down=7.5 * px, inset=inset_px * px):
        sheet.disc((dot[0], dot[1]), 2.5, colour=INK)
    sheet.inked(coords_of(area), width_px=2.0)


def draw_fence(sheet: Sheet, line: BaseGeometry, gaps: Sequence[BaseGeometry] = ()) -> None:
    """Draw a line with ×, left open at its gaps."""
    px = sheet.px
    left = opened(line, gaps, 7 * px)
    sheet.inked([*coords_of(left), *crosses(left, size=8 * px, every=17 * px)], width_px=1.7)


def draw_ditch(sheet: Sheet, line: BaseGeometry) -> None:
    """Draw a line with short ticks on both sides."""
    px = sheet.px
    ticks = []
    for part in coords_of(line):
        shape = shapely.LineString(part)
        for middle, ahead in _steps(shape, 9 * px):
            across = np.array([-ahead[1], ahead[0]]) * 2.6 * px
            ticks.append(np.array([middle - across, middle + across]))
    sheet.inked([*coords_of(line), *ticks], width_px=1.4)


def _steps(line: shapely.LineString, every: float) -> list[tuple[FloatArray, FloatArray]]:
    """Return places at even steps along a line, with the unit vector ahead."""
    n = max(int(line.length / every), 1)
    places = []
    for i in range(n):
        along = (i + 0.5) * line.length / n
        a, b = (
            np.array(line.interpolate(max(min(s, line.length), 0.0)).coords[0])
            for s in (along - 1e-3 * line.length, along + 1e-3 * line.length)
        )
        places.append(((a + b) / 2, (b - a) / max(math.hypot(*(b - a)), 1e-12)))
    return places


def draw_creek(sheet: Sheet, line: BaseGeometry, width_px: float) -> None:
    """Draw water between its banks."""
    lines = coords_of(line)
    sheet.pen.lines(lines, width=(width_px + 2.2) * sheet.px, colour=BANK)
    sheet.pen.lines(lines, width=width_px * sheet.px, colour=WATER)


def draw_road(sheet: Sheet, line: BaseGeometry) -> None:
    """Draw a paper band between two fine edges."""
    lines = coords_of(line)
    sheet.pen.lines(lines, width=7.6 * sheet.px, colour=PALE_INK)
    sheet.pen.lines(lines, width=5.4 * sheet.px, colour=PAPER)


def draw_trail(sheet: Sheet, line: BaseGeometry) -> None:
    """Draw a line of fine dashes."""
    sheet.inked(dashes(line, (3 * sheet.px, 3.4 * sheet.px)), width_px=1.6, casing_px=1.4)


def draw_core(sheet: Sheet, area: BaseGeometry) -> None:
    """Draw a dotted outline."""
    sheet.inked(dashes(area, (1.6 * sheet.px, 5 * sheet.px)), width_px=1.8, casing_px=1.0)


def draw_keep_off(sheet: Sheet, area: BaseGeometry) -> None:
    """Draw slanting lines in a dashed outline."""
    px = sheet.px
    sheet.filled(area, colour=PAPER, opacity=0.3)
    sheet.pen.lines(hatches(area, every=9 * px), width=1.1 * px, colour=INK)
    sheet.inked(dashes(area, (6 * px, 4 * px)), width_px=1.6)


def draw_gap(sheet: Sheet, at: tuple[float, float], ahead_rad: float) -> None:
    """Draw two arcs back to back."""
    px = sheet.px
    sheet.inked(gap_arcs(at, ahead_rad, width=9 * px, height=17 * px), width_px=2.2)


def draw_crossing(sheet: Sheet, at: tuple[float, float], ahead_rad: float) -> None:
    """Draw two bars across the water."""
    px = sheet.px
    sheet.inked(crossing_bars(at, ahead_rad, length=20 * px, apart=8 * px), width_px=2.4)


def draw_scrape_ring(sheet: Sheet, at: tuple[float, float]) -> None:
    """Draw a ring with paper in it."""
    sheet.disc(at, 14.5, colour=PAPER)
    sheet.disc(at, 11.5, colour=INK)
    sheet.disc(at, 7.0, colour=PAPER)


def draw_cluster_disc(
    sheet: Sheet, at: tuple[float, float], words: str, *, across_px: float = 28.0, is_broken: bool
) -> None:
    """Draw a disc of ink with a number of paper; an outer broken ring says not steady."""
    if is_broken:
        ring = sheet.circle(at, across_px + 8)
        sheet.disc(at, across_px + 12, colour=PAPER)
        broken = dashes(shapely.LineString(ring), (5 * sheet.px, 4 * sheet.px))
        sheet.pen.lines(broken, width=1.8 * sheet.px, colour=INK)
    sheet.disc(at, across_px + 4, colour=PAPER)
    sheet.disc(at, across_px, colour=INK)
    size = 0.62 * across_px * sheet.px
    from_middle = 0.33 * size
    sheet.words(
        (at[0], at[1] + from_middle),
        words,
        size=size,
        face=Face.SEMIBOLD,
        colour=PAPER,
        share_left=0.5,
    )
