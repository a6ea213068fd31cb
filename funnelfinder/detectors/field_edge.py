"""Field edges: where woody cover meets the open of a food field."""

from __future__ import annotations

from typing import Final

import shapely
from shapely.geometry import LineString

from funnelfinder.detectors.cover import cover_of
from funnelfinder.detectors.outlines import STAIR_CELLS, polygons_of
from funnelfinder.features import Detector, Feature
from funnelfinder.ground import Ground
from funnelfinder.marks import WOODS_FOOD, MarkKind, Property
from funnelfinder.units import said_length

#: The edge of cover runs within this distance of the field's outline (judgement) [m].
NEAR_M: Final = 15.0
#: A shorter stretch of edge leads nobody (judgement) [m].
LEAST_LENGTH_M: Final = 60.0


def find(ground: Ground, place: Property) -> list[Feature]:
    """Return the stretches of woods along the food fields that the place marks."""
    fields = [mark for mark in place.of_kind(MarkKind.FOOD) if mark.crop.lower() not in WOODS_FOOD]
    if not fields:
        return []
    cover = cover_of(ground)
    if cover.all() or not cover.any():
        return []
    stair = STAIR_CELLS * ground.grid.cell_m
    woods = shapely.union_all([one.simplify(stair) for one in polygons_of(cover, ground.grid)])
    inner = shapely.box(*ground.grid.bounds_m).buffer(-2 * ground.grid.cell_m)
    edge = shapely.intersection(shapely.boundary(woods), inner)
    near = NEAR_M + ground.grid.cell_m
    return [
        _feature(stretch, mark.label)
        for mark in fields
        for stretch in _stretches(shapely.intersection(edge, mark.geometry.boundary.buffer(near)))
        if stretch.length >= LEAST_LENGTH_M
    ]


def _stretches(edge: shapely.Geometry) -> list[LineString]:
    """Return the lines of an intersection, joined end to end."""
    lines = [one for one in shapely.get_parts(edge) if one.length > 0]
    merged = shapely.line_merge(shapely.MultiLineString(lines))
    return [one for one in shapely.get_parts(merged) if isinstance(one, LineString)]


def _feature(stretch: LineString, field: str) -> Feature:
    """Return a stretch of edge as a feature."""
    return Feature(
        kind="field edge",
        geometry=stretch,
        sizes={"length_m": stretch.length},
        words=f"The woods run along {field} for {said_length(stretch.length)} here.",
    )


FIELD_EDGE: Final = Detector(
    name="field edge",
    words="The edge of the woods along a food field.",
    source="common practice, no source",
    find=find,
)
