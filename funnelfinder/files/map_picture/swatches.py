"""One small drawing for each sign of the legend, made by the same strokes as the map."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from enum import Enum
from types import MappingProxyType
from typing import Final

import numpy as np
import shapely

from funnelfinder.analysis.findings import Findings
from funnelfinder.files.map_picture.layout import Frame
from funnelfinder.files.map_picture.pens import Box
from funnelfinder.files.map_picture.sheet import Sheet
from funnelfinder.files.map_picture.signs import (
    draw_bed,
    draw_boundary,
    draw_cluster_disc,
    draw_core,
    draw_creek,
    draw_crossing,
    draw_ditch,
    draw_fence,
    draw_food,
    draw_gap,
    draw_keep_off,
    draw_road,
    draw_scrape_ring,
    draw_trail,
)
from funnelfinder.marks import MarkKind, Property
from funnelfinder.shading import (
    LEVEL_LIGHT,
    RULE,
    cover_tint,
    relief_rgb,
)


class Swatch(Enum):
    """What the legend can explain; the value is what people read."""

    BOUNDARY = "Boundary"
    BUCK_BED = "Buck's bed"
    DOE_BED = "Doe's bed"
    BED = "Bed"
    FOOD = "Food"
    CORE = "Core"
    CLUSTER = "Cluster"
    UNSTEADY = "Unsteady"
    RING = "Its scrapes"
    PINCH = "Pinch point"
    STAGING = "Staging"
    FENCE = "Fence"
    GAP = "Gap"
    DITCH = "Ditch"
    CREEK = "Creek"
    CROSSING = "Crossing"
    ROAD = "Road"
    WAY_IN = "Way in"
    HOUSE = "House"
    KEEP_OFF = "Keep off"
    RUB = "Rub"
    SCRAPE = "Old scrape"
    TRACKS = "Tracks"
    TRAIL = "Trail"
    WOODS = "Woods"
    OPEN = "Open"


_KINDS: Final[Mapping[MarkKind, Swatch]] = MappingProxyType(
    {
        MarkKind.FOOD: Swatch.FOOD,
        MarkKind.CORE: Swatch.CORE,
        MarkKind.FENCE: Swatch.FENCE,
        MarkKind.GAP: Swatch.GAP,
        MarkKind.DITCH: Swatch.DITCH,
        MarkKind.CREEK: Swatch.CREEK,
        MarkKind.CROSSING: Swatch.CROSSING,
        MarkKind.ROAD: Swatch.ROAD,
        MarkKind.WAY_IN: Swatch.WAY_IN,
        MarkKind.HOUSE: Swatch.HOUSE,
        MarkKind.KEEP_OFF: Swatch.KEEP_OFF,
        MarkKind.RUB: Swatch.RUB,
        MarkKind.SCRAPE: Swatch.SCRAPE,
        MarkKind.TRACKS: Swatch.TRACKS,
        MarkKind.TRAIL: Swatch.TRAIL,
    }
)
#: What only meets this rim of the frame is not explained [pt].
_RIM_PT: Final = 5.0
_BEDS: Final = {"buck": Swatch.BUCK_BED, "doe": Swatch.DOE_BED, "either": Swatch.BED}


def used_swatches(place: Property, findings: Findings | None, frame: Frame) -> list[Swatch]:
    """Return the signs that this map uses, in the order of the legend."""
    used = {Swatch.BOUNDARY, Swatch.WOODS, Swatch.OPEN}
    seen = shapely.box(*frame.bounds_m).buffer(-_RIM_PT * frame.metres_per_point)
    for mark in place.marks:
        if not mark.geometry.intersects(seen):
            continue
        if mark.kind is MarkKind.BED:
            used.add(_BEDS[mark.who])
        elif mark.kind in _KINDS:
            used.add(_KINDS[mark.kind])
    if findings is not None:
        if findings.clusters:
            used |= {Swatch.CLUSTER, Swatch.RING}
        if any(cluster.steadiness < 0.5 for cluster in findings.clusters):
            used.add(Swatch.UNSTEADY)
        if findings.pinch_points:
            used.add(Swatch.PINCH)
        if findings.staging_spots:
            used.add(Swatch.STAGING)
    return [swatch for swatch in Swatch if swatch in used]


def draw_swatch(sheet: Sheet, swatch: Swatch, box: Box) -> None:
    """Draw one sign of the legend into a box."""
    if swatch in _LINES:
        _LINES[swatch](sheet, _level(box))
    elif swatch in _AREAS:
        _AREAS[swatch](sheet, _patch(box))
    elif swatch in (Swatch.WOODS, Swatch.OPEN):
        _draw_cover(sheet, box, is_woods=swatch is Swatch.WOODS)
    else:
        _POINTS[swatch](sheet, ((box[0] + box[2]) / 2, (box[1] + box[3]) / 2))


def _level(box: Box) -> shapely.LineString:
    """Return a level line through the box."""
    y = (box[1] + box[3]) / 2
    return shapely.LineString([(box[0], y), (box[2], y)])


def _patch(box: Box) -> shapely.Polygon:
    """Return a small leaning field in the box."""
    left, top, right, bottom = box
    return shapely.Polygon(
        [(left + 2, top - 0.8), (right, top), (right - 1.5, bottom), (left, bottom + 0.5)]
    )


def _draw_cover(sheet: Sheet, box: Box, *, is_woods: bool) -> None:
    """Draw level ground in the tint of its cover."""
    share = np.full((2, 2), float(is_woods))
    tint = cover_tint(share, 1.0 - share)
    sheet.pen.image(relief_rgb(np.full((2, 2), LEVEL_LIGHT), tint), box)
    outline = np.asarray(shapely.box(*box).exterior.coords)
    sheet.pen.lines([outline], width=0.7, colour=RULE)


def _signs(name: str, *, size_px: float) -> Callable[[Sheet, tuple[float, float]], None]:
    """Return how a plain sign is drawn."""
    return lambda sheet, at: sheet.glyph(name, at, size_px, casing_px=0.0)


def _squares(name: str) -> Callable[[Sheet, tuple[float, float]], None]:
    """Return how a sign in its square is drawn."""
    return lambda sheet, at: sheet.in_square(name, at, 19.0)


_LINES: Final[Mapping[Swatch, Callable[[Sheet, shapely.LineString], None]]] = MappingProxyType(
    {
        Swatch.BOUNDARY: draw_boundary,
        Swatch.FENCE: draw_fence,
        Swatch.DITCH: draw_ditch,
        Swatch.CREEK: lambda sheet, line: draw_creek(sheet, line, 4.0),
        Swatch.ROAD: draw_road,
        Swatch.TRAIL: draw_trail,
    }
)
_AREAS: Final[Mapping[Swatch, Callable[[Sheet, shapely.Polygon], None]]] = MappingProxyType(
    {
        Swatch.BUCK_BED: lambda sheet, area: draw_bed(sheet, area, "buck"),
        Swatch.DOE_BED: lambda sheet, area: draw_bed(sheet, area, "doe"),
        Swatch.BED: lambda sheet, area: draw_bed(sheet, area, "either"),
        Swatch.FOOD: lambda sheet, area: draw_food(sheet, area, inset_px=3.0),
        Swatch.CORE: draw_core,
        Swatch.KEEP_OFF: draw_keep_off,
    }
)
_POINTS: Final[Mapping[Swatch, Callable[[Sheet, tuple[float, float]], None]]] = MappingProxyType(
    {
        Swatch.CLUSTER: lambda sheet, at: draw_cluster_disc(
            sheet, at, "1", across_px=18.0, is_broken=False
        ),
        Swatch.UNSTEADY: lambda sheet, at: draw_cluster_disc(
            sheet, at, "1", across_px=13.0, is_broken=True
        ),
        Swatch.RING: draw_scrape_ring,
        Swatch.PINCH: _signs("pinch", size_px=17.0),
        Swatch.STAGING: _signs("staging", size_px=17.0),
        Swatch.GAP: lambda sheet, at: draw_gap(sheet, at, 0.0),
        Swatch.CROSSING: lambda sheet, at: draw_crossing(sheet, at, 0.0),
        Swatch.WAY_IN: _squares("way-in"),
        Swatch.HOUSE: _signs("house", size_px=17.0),
        Swatch.RUB: _squares("rub"),
        Swatch.SCRAPE: _squares("scrape"),
        Swatch.TRACKS: _squares("tracks"),
    }
)
