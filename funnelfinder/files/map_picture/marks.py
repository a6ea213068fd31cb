"""The marks of a property on the map, and what they keep free of names."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Final

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from funnelfinder.files.map_picture.names import Name, Taken, pinned
from funnelfinder.files.map_picture.pens import Face
from funnelfinder.files.map_picture.sheet import Sheet
from funnelfinder.files.map_picture.signs import (
    draw_bed,
    draw_boundary,
    draw_core,
    draw_crossing,
    draw_ditch,
    draw_fence,
    draw_food,
    draw_gap,
    draw_keep_off,
    draw_trail,
)
from funnelfinder.marks import Mark, MarkKind, Property
from funnelfinder.shading import INK

_NAME_PX: Final = 16.0
#: An area of which the frame leaves less across than this is not drawn [px].
_SLIVER_PX: Final = 8.0


def draw_marks(sheet: Sheet, place: Property, taken: Taken) -> list[Name]:
    """Draw all marks and the boundary; return the names that belong to them."""
    names: list[Name] = []
    for mark in place.of_kind(MarkKind.CORE, MarkKind.KEEP_OFF, MarkKind.FOOD, MarkKind.BED):
        names += _draw_area(sheet, mark, taken)
    for mark in place.of_kind(MarkKind.TRAIL, MarkKind.DITCH):
        line = _seen(sheet, mark)
        (draw_trail if mark.kind is MarkKind.TRAIL else draw_ditch)(sheet, line)
        taken.lines.append(line)
    _draw_fences(sheet, place, taken)
    # The line itself is cut, not the area: a frame's edge is no boundary.
    line = sheet.layout.frame.drawn(place.boundary).boundary
    line = line.intersection(sheet.layout.frame.outline)
    draw_boundary(sheet, line)
    taken.lines.append(line)
    for kind in (MarkKind.HOUSE, MarkKind.WAY_IN, MarkKind.RUB, MarkKind.SCRAPE, MarkKind.TRACKS):
        names += _draw_points(sheet, place, kind, taken)
    return names


def _seen(sheet: Sheet, mark: Mark) -> BaseGeometry:
    """Return the part of a mark that lies in the frame, on the page."""
    frame = sheet.layout.frame
    return frame.drawn(mark.geometry).intersection(frame.outline)


def _draw_area(sheet: Sheet, mark: Mark, taken: Taken) -> list[Name]:
    """Draw a bed, food source, core or keep-off; return its name."""
    area = _seen(sheet, mark)
    if area.buffer(-_SLIVER_PX * sheet.px / 2).is_empty:
        return []
    if mark.kind is MarkKind.BED:
        draw_bed(sheet, area, mark.who)
    elif mark.kind is MarkKind.FOOD:
        draw_food(sheet, area)
    elif mark.kind is MarkKind.KEEP_OFF:
        draw_keep_off(sheet, area)
    else:
        draw_core(sheet, area)
    taken.lines.append(area.boundary)
    if mark.kind is MarkKind.BED:
        taken.boxes.append(area.envelope.buffer(-2.0))
    if not mark.name:
        return []
    is_ours = mark.kind in (MarkKind.BED, MarkKind.FOOD)
    return [
        Name(
            words=mark.name,
            shape=area,
            face=Face.SEMIBOLD if is_ours else Face.ITALIC,
            size=_NAME_PX * sheet.px,
            may_lie_inside=mark.kind is MarkKind.FOOD,
        )
    ]


def _draw_fences(sheet: Sheet, place: Property, taken: Taken) -> None:
    """Draw fences, their gaps, and crossings."""
    frame = sheet.layout.frame
    gaps = [shapely.centroid(_seen(sheet, mark)) for mark in place.of_kind(MarkKind.GAP)]
    fences = [_seen(sheet, mark) for mark in place.of_kind(MarkKind.FENCE)]
    for fence in fences:
        draw_fence(sheet, fence, [gap for gap in gaps if gap.distance(fence) < 8.0])
        taken.lines.append(fence)
    waters = [frame.drawn(mark.geometry) for mark in place.of_kind(MarkKind.CREEK, MarkKind.DITCH)]
    for kind, lines in ((MarkKind.GAP, fences), (MarkKind.CROSSING, waters)):
        for mark in place.of_kind(kind):
            if not frame.outline.contains(frame.drawn(mark.geometry).centroid):
                continue
            at, ahead_rad = _on_line(frame.drawn(mark.geometry).centroid, lines or fences)
            (draw_gap if kind is MarkKind.GAP else draw_crossing)(sheet, at, ahead_rad)
            taken.take_round(at, 22 * sheet.px)


def _on_line(point: shapely.Point, lines: list[BaseGeometry]) -> tuple[tuple[float, float], float]:
    """Return the place on the nearest line (the point itself if it is far) and its direction."""
    near = [line for line in lines if not line.is_empty and line.distance(point) < 12.0]
    if not near:
        return (point.x, point.y), 0.0
    line = min(near, key=lambda one: float(one.distance(point)))
    part = min(_parts(line), key=lambda one: float(one.distance(point)))
    along = part.project(point)
    a, here, b = (
        np.array(part.interpolate(min(max(s, 0.0), part.length)).coords[0])
        for s in (along - 3.0, along, along + 3.0)
    )
    return (float(here[0]), float(here[1])), math.atan2(b[1] - a[1], b[0] - a[0])


def _parts(line: BaseGeometry) -> Iterator[shapely.LineString]:
    """Yield the single lines of a geometry."""
    return (part for part in shapely.get_parts(line) if part.geom_type == "LineString")


def _points(geometry: BaseGeometry) -> Iterator[shapely.Point]:
    """Yield the single points of a geometry."""
    parts = shapely.get_parts(geometry)
    return (part for part in parts if part.geom_type == "Point" and not part.is_empty)


def _draw_points(sheet: Sheet, place: Property, kind: MarkKind, taken: Taken) -> list[Name]:
    """Draw the signs of one kind; return names of ways in."""
    names = []
    for mark in place.of_kind(kind):
        area = _seen(sheet, mark)
        if kind is MarkKind.HOUSE and area.area > 0:
            sheet.filled(area, colour=INK)
            taken.boxes.append(area.envelope)
        for point in _points(area):
            if kind is MarkKind.HOUSE:
                sheet.glyph("house", (point.x, point.y), 18.0)
                taken.take_round((point.x, point.y), 22 * sheet.px)
                continue
            side_px = 26.0 if kind is MarkKind.WAY_IN else 22.0
            at = pinned(sheet, (point.x, point.y), taken, across_px=side_px + 2.0)
            sheet.in_square(kind.value, at, side_px)
            if kind is MarkKind.WAY_IN and mark.name:
                shape = shapely.Point(at).buffer(13 * sheet.px, cap_style="square")
                names.append(Name(words=mark.name, shape=shape, size=_NAME_PX * sheet.px))
    return names
