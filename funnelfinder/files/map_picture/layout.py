"""Where things stand on the sheet, and how the ground lies in its frame."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import Enum
from typing import Final

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from funnelfinder.files.map_picture.pens import Box
from funnelfinder.kernels import FloatArray
from funnelfinder.marks import MarkKind, Property

_POINTS_PER_METRE: Final = 72.0 / 0.0254
#: Scales are whole multiples of this, so that a ruler can be laid on a print.
_SCALE_STEP: Final = 500
#: Ground shown beyond the boundary: share of its size, and at least so much (judgement) [m].
_BEYOND_SHARE: Final = 0.06
_BEYOND_M: Final = 60.0
#: Beds, food and ways in as far off the boundary as this are shown too (judgement) [m].
_MARKS_WITHIN_M: Final = 350.0


class Paper(Enum):
    """Sheets that printers hold; North American sizes by ANSI/ASME Y14.1, A sizes by ISO 216."""

    LETTER = "letter"
    LEGAL = "legal"
    TABLOID = "tabloid"
    A4 = "a4"
    A3 = "a3"


#: Short and long side [pt].
PAPER_SIDES: Final = {
    Paper.LETTER: (612.0, 792.0),
    Paper.LEGAL: (612.0, 1008.0),
    Paper.TABLOID: (792.0, 1224.0),
    Paper.A4: (595.28, 841.89),
    Paper.A3: (841.89, 1190.55),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Frame:
    """The window of the sheet that the ground is seen through.

    ``box`` is on the page [pt], ``west_m`` and ``north_m`` are its upper left corner on the ground
    [m, UTM], ``metres_per_point`` the scale.
    """

    box: Box
    west_m: float
    north_m: float
    metres_per_point: float

    @property
    def bounds_m(self) -> tuple[float, float, float, float]:
        """West, south, east, north [m]."""
        left, top, right, bottom = self.box
        return (
            self.west_m,
            self.north_m - (bottom - top) * self.metres_per_point,
            self.west_m + (right - left) * self.metres_per_point,
            self.north_m,
        )

    @property
    def outline(self) -> shapely.Polygon:
        """The frame on the page."""
        return shapely.box(*self.box)

    def on_page(self, points_m: FloatArray) -> FloatArray:
        """Return ground points (n, 2) [m] as places on the page [pt]."""
        points = np.asarray(points_m, dtype=np.float64).reshape(-1, 2)
        return np.column_stack(
            [
                self.box[0] + (points[:, 0] - self.west_m) / self.metres_per_point,
                self.box[1] + (self.north_m - points[:, 1]) / self.metres_per_point,
            ]
        )

    def drawn(self, geometry: BaseGeometry) -> BaseGeometry:
        """Return geometry on the ground as geometry on the page."""
        return shapely.transform(shapely.force_2d(geometry), self.on_page)


@dataclass(frozen=True, slots=True, kw_only=True)
class Layout:
    """A sheet: its size, its frame, the boxes of title, panel and caution, and its scale.

    ``px`` is how long one pixel of the window is on this paper [pt]; sizes of signs are given in
    such pixels, so that paper and window look alike. ``scale`` is the number after "1 :".
    """

    width: float
    height: float
    frame: Frame
    title: Box
    panel: Box
    caution: Box
    px: float
    scale: int


def laid_out(place: Property, paper: Paper) -> Layout:
    """Return the layout that shows a property largest, upright or lying."""
    short, long = PAPER_SIDES[paper]
    layouts = [_layout(place, short, long), _layout(place, long, short)]
    return min(layouts, key=lambda one: one.scale)


def _layout(place: Property, width: float, height: float) -> Layout:
    """Return the layout on a sheet of this size."""
    grown = math.sqrt(min(width, height) / 612.0)
    edge, ticks = 34.0, 13.0 * grown
    title = (edge, edge - 4, width - edge, edge + 30 * grown)
    caution = (edge, height - edge - 17 * grown, width - edge, height - edge)
    panel = (edge, caution[1] - 140 * grown, width - edge, caution[1] - 8 * grown)
    box = (edge + ticks, title[3] + ticks, width - edge - ticks, panel[1] - 12 * grown - ticks)
    west, south, east, north = shown_bounds_m(place)
    needed = max((east - west) / (box[2] - box[0]), (north - south) / (box[3] - box[1]))
    scale = _SCALE_STEP * math.ceil(needed * _POINTS_PER_METRE / _SCALE_STEP - 1e-9)
    per_point = scale / _POINTS_PER_METRE
    frame = Frame(
        box=box,
        west_m=(west + east - (box[2] - box[0]) * per_point) / 2,
        north_m=(north + south + (box[3] - box[1]) * per_point) / 2,
        metres_per_point=per_point,
    )
    return Layout(
        width=width,
        height=height,
        frame=frame,
        title=title,
        panel=panel,
        caution=caution,
        px=0.58 * grown,
        scale=scale,
    )


def shown_bounds_m(place: Property) -> tuple[float, float, float, float]:
    """Return what must be seen: the boundary, and beds, food and ways in near it [m]."""
    near = place.boundary.buffer(_MARKS_WITHIN_M)
    kinds = (MarkKind.BED, MarkKind.FOOD, MarkKind.WAY_IN)
    marks = [mark.geometry.intersection(near) for mark in place.of_kind(*kinds)]
    west, south, east, north = shapely.union_all([place.boundary, *marks]).bounds
    beyond = max(_BEYOND_SHARE * max(east - west, north - south), _BEYOND_M)
    return west - beyond, south - beyond, east + beyond, north + beyond
