"""What stands round the map: title, frame with coordinates, scale bar, north, caution."""

from __future__ import annotations

import math
from collections.abc import Sequence
from datetime import date
from typing import Final

import numpy as np
import pyproj
import shapely

from funnelfinder.analysis.findings import Findings
from funnelfinder.files.map_picture.layout import Layout
from funnelfinder.files.map_picture.pens import Face, text_width, wrapped
from funnelfinder.files.map_picture.sheet import Sheet
from funnelfinder.kernels import FloatArray
from funnelfinder.marks import Property
from funnelfinder.shading import GREY_INK, INK, PAPER, STRAW
from funnelfinder.units import YARD_M, said_area

CAUTION: Final = (
    "A model proposed these. Check them on foot, on ground you have leave to hunt. "
    "The boundary is not a survey."
)
CAUTION_UNRUN: Final = (
    "Nothing was proposed yet. Hunt only where you have leave to. The boundary is not a survey."
)
#: Largest type of credit lines, and the rows that the margin has room for.
_CREDIT_PX: Final = 11.0
_MOST_CREDIT_ROWS: Final = 2
_STEPS_M: Final = (50, 100, 200, 250, 500, 1000, 2000, 5000)
_STEPS_YD: Final = (10, 20, 25, 50, 100, 200, 250, 500, 1000, 2000)
_FIRST_NORTHERN: Final = 32600
_FIRST_SOUTHERN: Final = 32700


def zone_words(epsg: int) -> str:
    """Return a UTM zone with its hemisphere.

    Examples
    --------
    >>> zone_words(32617)
    '17N'
    """
    is_south = epsg > _FIRST_SOUTHERN
    return f"{epsg - (_FIRST_SOUTHERN if is_south else _FIRST_NORTHERN)}{'S' if is_south else 'N'}"


def draw_title(
    sheet: Sheet, place: Property, findings: Findings | None, run_on: date | None
) -> None:
    """Write the name of the property, and on the right its acres and the day of the run."""
    left, top, right, bottom = sheet.layout.title
    size = 0.66 * (bottom - top)
    base = top + 0.72 * (bottom - top)
    facts = [said_area(place.boundary.area)]
    if findings is None:
        facts.append("marks only, nothing run yet")
    elif run_on is not None:
        facts.append(f"run of {run_on.day} {run_on:%B %Y}")
    words, small = " · ".join(facts), 0.34 * (bottom - top)
    room = right - left - text_width(words, Face.REGULAR, small) - 20
    size *= min(1.0, room / max(text_width(place.name, Face.SERIF, size), 1.0))
    sheet.words((left, base), place.name, size=size, face=Face.SERIF)
    sheet.words((right, base), words, size=small, colour=GREY_INK, share_left=1.0)


def draw_crosses(sheet: Sheet) -> None:
    """Draw small crosses on the ground where lines of round UTM metres meet."""
    arm = 3.2 * sheet.px
    _, xs, _, ys = _ticks(sheet.layout)
    crosses = [
        line
        for x in xs
        for y in ys
        for line in (np.array([(x - arm, y), (x + arm, y)]), np.array([(x, y - arm), (x, y + arm)]))
    ]
    sheet.pen.lines(crosses, width=1.1 * sheet.px, colour=INK, opacity=0.55)


def draw_rim(sheet: Sheet) -> None:
    """Draw the frame with its ticks of UTM metres."""
    left, top, right, bottom = sheet.layout.frame.box
    easts, xs, norths, ys = _ticks(sheet.layout)
    ticks = [np.array([(x, y), (x, y + out)]) for x in xs for y, out in ((top, -4), (bottom, 4))]
    ticks += [np.array([(x, y), (x + out, y)]) for y in ys for x, out in ((left, -4), (right, 4))]
    sheet.pen.lines(ticks, width=0.7, colour=INK)
    sheet.pen.lines([np.asarray(sheet.layout.frame.outline.exterior.coords)], width=0.9, colour=INK)
    _write_ticks(sheet, easts, xs, norths, ys)


def _ticks(layout: Layout) -> tuple[FloatArray, FloatArray, FloatArray, FloatArray]:
    """Return round eastings [m] with their x on the page, and northings with their y."""
    west, south, east, north = layout.frame.bounds_m
    step = float(tick_step_m(layout))
    easts = _round_values(west, east, step)
    norths = _round_values(south, north, step)
    places = layout.frame.on_page
    xs = places(np.column_stack([easts, np.full(len(easts), north)]))[:, 0]
    ys = places(np.column_stack([np.full(len(norths), west), norths]))[:, 1]
    return easts, xs, norths, ys


def _round_values(low: float, high: float, step: float) -> FloatArray:
    """Return the whole multiples of a step between two values."""
    first, last = math.ceil(low / step), math.floor(high / step)
    return np.asarray(np.arange(first, last + 1) * step, dtype=np.float64)


def tick_step_m(layout: Layout) -> int:
    """Return a round distance between ticks that leaves their words room [m]."""
    least = 82.0 * layout.frame.metres_per_point
    return next((step for step in _STEPS_M if step >= least), _STEPS_M[-1])


def _write_ticks(
    sheet: Sheet,
    easts: FloatArray,
    xs: FloatArray,
    norths: FloatArray,
    ys: FloatArray,
) -> None:
    """Write eastings above and below the frame, northings on both sides."""
    left, top, right, bottom = sheet.layout.frame.box
    size = 12.2 * sheet.px
    for value, x in zip(easts, xs, strict=True):
        words = f"{value:.0f} E"
        half = text_width(words, Face.REGULAR, size) / 2
        if left + half <= x <= right - half:
            for y in (top - 5.5, bottom + 5.0 + 0.7 * size):
                sheet.words((x, y), words, size=size, colour=GREY_INK, share_left=0.5)
    for value, y in zip(norths, ys, strict=True):
        words = f"{value:.0f} N"
        half = text_width(words, Face.REGULAR, size) / 2
        if top + half <= y <= bottom - half:
            for x in (left - 5.5, right + 5.0 + 0.7 * size):
                sheet.pen.text(
                    (x, y + half),
                    words,
                    face=Face.REGULAR,
                    size=size,
                    colour=GREY_INK,
                    is_upward=True,
                )


def scale_step_yd(metres_per_point: float, longest_pt: float) -> int:
    """Return the yards of one of the three parts of the scale bar."""
    room_yd = longest_pt * metres_per_point / YARD_M / 3
    return max((step for step in _STEPS_YD if step <= room_yd), default=_STEPS_YD[0])


def draw_scale(sheet: Sheet, at: tuple[float, float], longest: float) -> float:
    """Draw a bar of three parts in yards from its upper left corner; return its length [pt]."""
    layout, px = sheet.layout, sheet.px
    step = scale_step_yd(layout.frame.metres_per_point, longest)
    part = step * YARD_M / layout.frame.metres_per_point
    size = 14.5 * px
    y0, y1 = at[1] + 1.25 * size, at[1] + 1.25 * size + 5.0 * px
    for i in range(3):
        x = at[0] + i * part
        sheet.filled(shapely.box(x, y0, x + part, y1), colour=INK)
        if i == 1:
            inner = shapely.box(x, y0 + 1.2 * px, x + part, y1 - 1.2 * px)
            sheet.filled(inner, colour=PAPER)
    for i in range(4):
        words = f"{i * step:,}" + (" yards" if i == 3 else "")
        number = text_width(f"{i * step:,}", Face.REGULAR, size)
        left = at[0] + i * part - (number / 2 if i else 0.0)
        sheet.words((left, at[1] + 0.8 * size), words, size=size)
    return 3 * part


def draw_north(sheet: Sheet, at: tuple[float, float], height: float, place: Property) -> None:
    """Draw an arrow to true north, its foot at a place, and its letter beside the foot."""
    turn = north_turn_rad(place)
    cos, sin = math.cos(turn), math.sin(turn)

    def turned(x: float, y: float) -> tuple[float, float]:
        return at[0] + x * cos - y * sin, at[1] + x * sin + y * cos

    wide = 0.2 * height
    tip = np.array(
        [turned(0, -height), turned(wide, -0.58 * height), turned(-wide, -0.58 * height)]
    )
    sheet.pen.area([tip], colour=INK)
    sheet.pen.lines([np.array([turned(0, 0), turned(0, -0.6 * height)])], width=1.1, colour=INK)
    sheet.words((at[0] + 5 * sheet.px, at[1]), "N", size=14 * sheet.px, face=Face.SEMIBOLD)


def north_turn_rad(place: Property) -> float:
    """Return how far true north stands to the right of straight up on the sheet [rad]."""
    to_map = pyproj.Transformer.from_crs(4326, place.epsg, always_xy=True)
    middle = place.boundary.centroid
    lon, lat = to_map.transform(middle.x, middle.y, direction="INVERSE")
    east, north = to_map.transform(lon, lat + 0.001)
    return math.atan2(east - middle.x, north - middle.y)


def draw_caution(sheet: Sheet, *, is_run: bool) -> None:
    """Write the caution on straw, with its sign."""
    words = CAUTION if is_run else CAUTION_UNRUN
    left, top, right, bottom = sheet.layout.caution
    height = bottom - top
    sheet.filled(shapely.box(left, top, right, bottom), colour=STRAW)
    sheet.glyph(
        "caution",
        (left + 0.75 * height, (top + bottom) / 2),
        0.72 * height / sheet.px,
        casing_px=0.0,
    )
    size = 0.52 * height
    words_at = left + 1.4 * height
    size *= min(1.0, (right - words_at - 6) / text_width(words, Face.SEMIBOLD, size))
    sheet.words((words_at, (top + bottom) / 2 + 0.34 * size), words, size=size, face=Face.SEMIBOLD)


def draw_credits(sheet: Sheet, lines: Sequence[str]) -> None:
    """Write in the lower margin whom the grids are from, in at most two rows."""
    left, _, right, bottom = sheet.layout.caution
    words = " ".join(lines)
    size = _CREDIT_PX * sheet.px
    rows = wrapped(words, Face.REGULAR, size, right - left)
    while len(rows) > _MOST_CREDIT_ROWS:
        size *= 0.95
        rows = wrapped(words, Face.REGULAR, size, right - left)
    for n, row in enumerate(rows):
        at = (left, bottom + 3.0 + (0.8 + 1.25 * n) * size)
        sheet.words(at, row, size=size, colour=GREY_INK)
