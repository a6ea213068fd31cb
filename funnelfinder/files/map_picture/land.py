"""The lie of the land in lines: contours, passage outlines, banks, creeks, roads, the veil."""

from __future__ import annotations

from typing import Final

import numpy as np
from skimage import measure

from funnelfinder.files.map_picture.ground_image import GroundImage
from funnelfinder.files.map_picture.sheet import Sheet, within
from funnelfinder.files.map_picture.signs import draw_creek, draw_road
from funnelfinder.grid import Grid
from funnelfinder.kernels import AnyArray, FloatArray
from funnelfinder.marks import Mark, MarkKind, Property
from funnelfinder.shading import (
    BANK,
    CONTOUR,
    CONTOUR_OPACITY,
    INK,
    PAPER,
    STRONG_LINES,
    contours,
    strong_lines,
)

#: How much paper lies over ground beyond the boundary.
VEIL: Final = 0.45
_CREEK_PX: Final = 4.0
#: Contours are traced on every so manieth dot; finer is not seen.
_EVERY: Final = 2


def draw_land(sheet: Sheet, place: Property, image: GroundImage, *, has_strong_lines: bool) -> None:
    """Draw the picture of the ground and the lines that belong to it, then the veil."""
    frame = sheet.layout.frame
    sheet.pen.image(image.colours, frame.box)
    _draw_contours(sheet, image)
    if has_strong_lines and image.of_100 is not None:
        _draw_strong_lines(sheet, image.dots, image.of_100)
    _draw_banks(sheet, image)
    for mark in place.of_kind(MarkKind.ROAD):
        draw_road(sheet, frame.drawn(mark.geometry).intersection(frame.outline))
    for mark in place.of_kind(MarkKind.CREEK):
        line = frame.drawn(mark.geometry).intersection(frame.outline)
        draw_creek(sheet, line, creek_px(sheet, mark))
    beyond = frame.outline.difference(frame.drawn(place.boundary))
    sheet.filled(beyond, colour=PAPER, opacity=VEIL)


def creek_px(sheet: Sheet, mark: Mark) -> float:
    """Return how wide a creek is drawn [px]: true to scale, or wider so that it is seen."""
    true_pt = (mark.width_m or 0.0) / sheet.layout.frame.metres_per_point
    return max(true_pt / sheet.px, _CREEK_PX)


def _draw_contours(sheet: Sheet, image: GroundImage) -> None:
    """Draw contour lines, every fifth stronger."""
    dots = image.dots
    coarse = Grid(
        epsg=dots.epsg,
        west_m=dots.west_m - dots.cell_m * (_EVERY - 1) / 2,
        north_m=dots.north_m + dots.cell_m * (_EVERY - 1) / 2,
        cell_m=_EVERY * dots.cell_m,
        n_rows=-(-dots.n_rows // _EVERY),
        n_cols=-(-dots.n_cols // _EVERY),
    )
    frame = sheet.layout.frame
    lines = contours(
        image.elevation_m[::_EVERY, ::_EVERY],
        coarse,
        interval_ft=image.contour_ft,
    )
    for is_fifth, opacity, width_px in (
        (False, CONTOUR_OPACITY[0], 1.0),
        (True, CONTOUR_OPACITY[1], 1.5),
    ):
        drawn = [frame.on_page(line.points_m) for line in lines if line.is_fifth == is_fifth]
        sheet.pen.lines(
            within(drawn, frame.outline),
            width=width_px * sheet.px,
            colour=CONTOUR,
            opacity=opacity,
        )


def _draw_strong_lines(sheet: Sheet, dots: Grid, of_100: AnyArray) -> None:
    """Draw outlines of passage in ink, the wider the more trips."""
    lines = strong_lines(of_100)
    for level, width_px in STRONG_LINES:
        drawn = [_on_page(sheet, dots, line) for at, line in lines if at == level]
        sheet.pen.lines(drawn, width=1.4 * width_px * sheet.px, colour=INK)


def _draw_banks(sheet: Sheet, image: GroundImage) -> None:
    """Draw the edge of the water."""
    if not (image.water > 0.5).any():
        return
    edges = measure.find_contours(image.water, 0.5)  # type: ignore[no-untyped-call]
    drawn = [_on_page(sheet, image.dots, edge) for edge in edges]
    sheet.pen.lines(drawn, width=1.3 * sheet.px, colour=BANK)


def _on_page(sheet: Sheet, dots: Grid, line: FloatArray) -> FloatArray:
    """Return fractional (row, col) on the dots as places on the page."""
    return np.asarray(sheet.layout.frame.on_page(dots.points_m(line[:, 0], line[:, 1])))
