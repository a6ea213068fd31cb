"""A pen on a laid-out sheet: ink with its paper casing, fills and signs, in window pixels."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from funnelfinder.files.map_picture.layout import Layout
from funnelfinder.files.map_picture.pens import Face, Pen, text_width
from funnelfinder.kernels import FloatArray
from funnelfinder.shading import GLYPHS, INK, PAPER, placed_glyph

#: Width of the paper casing on each side of ink [px].
CASING_PX: Final = 2.0
#: Corners of dense lines that stand out less than this are left out [pt].
_SLIGHT_PT: Final = 0.08
_GLYPH_BOX: Final = 24.0
_GLYPH_LINE: Final = 1.8
_CIRCLE: Final = np.linspace(0.0, 2.0 * np.pi, 49)


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """A pen and the layout it draws on; geometry is on the page [pt]."""

    pen: Pen
    layout: Layout

    @property
    def px(self) -> float:
        """One pixel of the window on this paper [pt]."""
        return self.layout.px

    def inked(
        self,
        lines: Sequence[FloatArray],
        *,
        width_px: float,
        colour: str = INK,
        casing_px: float = CASING_PX,
    ) -> None:
        """Draw lines in ink over their paper casing."""
        if not lines:
            return
        if casing_px > 0:
            self.pen.lines(lines, width=(width_px + 2 * casing_px) * self.px, colour=PAPER)
        self.pen.lines(lines, width=width_px * self.px, colour=colour)

    def filled(self, area: BaseGeometry, *, colour: str, opacity: float = 1.0) -> None:
        """Fill polygons."""
        for part in shapely.get_parts(area):
            if part.geom_type == "Polygon" and not part.is_empty:
                rings = [np.asarray(ring.coords) for ring in (part.exterior, *part.interiors)]
                self.pen.area(rings, colour=colour, opacity=opacity)

    def disc(self, at: tuple[float, float], across_px: float, *, colour: str) -> None:
        """Fill a disc."""
        self.pen.area([self.circle(at, across_px)], colour=colour)

    def circle(self, at: tuple[float, float], across_px: float) -> FloatArray:
        """Return a circle as points."""
        radius = across_px * self.px / 2
        return np.column_stack([at[0] + radius * np.cos(_CIRCLE), at[1] + radius * np.sin(_CIRCLE)])

    def glyph(
        self,
        name: str,
        at: tuple[float, float],
        size_px: float,
        *,
        colour: str = INK,
        casing_px: float = CASING_PX,
    ) -> None:
        """Draw a sign centred at a place."""
        size = size_px * self.px
        glyph = placed_glyph(GLYPHS[name], at, size)
        line_px = max(_GLYPH_LINE * size_px / _GLYPH_BOX, 1.0)
        if casing_px > 0:
            closed = [np.vstack([fill, fill[:1]]) for fill in glyph.fills]
            wide = 2 * casing_px * self.px
            self.pen.lines([*closed, *glyph.strokes], width=wide, colour=PAPER)
        self.pen.lines(glyph.strokes, width=line_px * self.px, colour=colour)
        for fill in glyph.fills:
            self.pen.area([fill], colour=colour)

    def in_square(self, name: str, at: tuple[float, float], side_px: float = 28.0) -> None:
        """Draw a sign in a paper square with an ink edge."""
        half = side_px * self.px / 2
        square = shapely.box(at[0] - half, at[1] - half, at[0] + half, at[1] + half)
        self.filled(square.buffer(1.0 * self.px), colour=PAPER)
        edge = np.asarray(square.exterior.coords)
        self.pen.lines([edge], width=1.2 * self.px, colour=INK)
        self.glyph(name, at, 0.72 * side_px, casing_px=0.0)

    def words(
        self,
        at: tuple[float, float],
        words: str,
        *,
        size: float,
        face: Face = Face.REGULAR,
        colour: str = INK,
        share_left: float = 0.0,
        halo: float = 0.0,
    ) -> float:
        """Write words; ``share_left`` 0 begins at the place, 0.5 centres, 1 ends; tell width."""
        width = text_width(words, face, size)
        start = (at[0] - share_left * width, at[1])
        self.pen.text(start, words, face=face, size=size, colour=colour, halo=halo)
        return width


def coords_of(geometry: BaseGeometry) -> list[FloatArray]:
    """Return the lines of a geometry, outlines of polygons included, as points."""
    lines: list[FloatArray] = []
    for part in shapely.get_parts(geometry):
        if part.geom_type == "Polygon":
            lines += [np.asarray(ring.coords) for ring in (part.exterior, *part.interiors)]
        elif part.geom_type in ("LineString", "LinearRing") and not part.is_empty:
            lines.append(np.asarray(part.coords)[:, :2])
    return lines


def within(lines: Sequence[FloatArray], outline: BaseGeometry) -> list[FloatArray]:
    """Return lines cut off at an outline, without corners too slight to be seen."""
    shapes = [shapely.LineString(line) for line in lines if len(line) >= 2]
    if not shapes:
        return []
    slim = shapely.simplify(np.array(shapes, dtype=object), _SLIGHT_PT)
    cut = shapely.intersection(slim, outline)
    return [points for one in cut for points in coords_of(one)]
