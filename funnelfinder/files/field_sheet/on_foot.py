"""What a person follows on foot: ways in and stands on the maps, and bearings leg by leg."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from itertools import pairwise
from typing import Final

import numpy as np
import shapely

from funnelfinder.declination import leg
from funnelfinder.files.map_picture.names import Name, Taken
from funnelfinder.files.map_picture.pens import Face
from funnelfinder.files.map_picture.sheet import Sheet, within
from funnelfinder.kernels import FloatArray
from funnelfinder.marks import Property
from funnelfinder.plan import WayIn, nearest_way_in
from funnelfinder.scrapes import Cluster
from funnelfinder.shading import INK, PAPER
from funnelfinder.stands import Stand
from funnelfinder.units import said_length

#: One step of a grown man on even ground: 30 inches (common practice, no source) [m].
PACE_M: Final = 0.762
#: A way is told in so many legs at most, each near the real walk (judgement).
_MOST_LEGS: Final = 6
_NEAR_M: Final = 8.0
#: Dots of a way lie this far apart, arrowheads this many dots [px].
_STEP_PX: Final = 9.0
_HEAD_EVERY: Final = 9
_STAND_PX: Final = 20.0


@dataclass(frozen=True, kw_only=True)
class OnFoot:
    """Ways to the clusters about noon, by their numbers, and the stands in force."""

    ways: Mapping[int, WayIn] = field(default_factory=dict)
    stands: Sequence[Stand] = ()


def draw_ways(sheet: Sheet, ways: Sequence[WayIn], taken: Taken) -> None:
    """Draw ways in as dots with arrowheads."""
    frame = sheet.layout.frame
    lines = [frame.on_page(np.array(way.points_m)) for way in ways if len(way.points_m) > 1]
    inside = within(lines, frame.outline)
    for number, (at, ahead) in enumerate(
        place for line in inside for place in _spaced(line, _STEP_PX * sheet.px)
    ):
        if number % _HEAD_EVERY == _HEAD_EVERY // 2:
            head = _arrowhead(at, ahead, sheet.px)
            sheet.pen.lines([np.vstack([head, head[:1]])], width=3.0 * sheet.px, colour=PAPER)
            sheet.pen.area([head], colour=INK)
        else:
            sheet.disc(at, 6.4, colour=PAPER)
            sheet.disc(at, 3.8, colour=INK)
    taken.lines.extend(shapely.LineString(line) for line in inside)


def _spaced(line: FloatArray, step: float) -> Iterator[tuple[tuple[float, float], FloatArray]]:
    """Yield places at even distances along a line, each with the unit vector ahead."""
    shape = shapely.LineString(line)
    for along in np.arange(step / 2, shape.length, step):
        at, beyond = (
            np.array(shape.interpolate(min(s, shape.length)).coords[0])
            for s in (along, along + step / 4)
        )
        ahead = beyond - at
        length = float(np.hypot(*ahead))
        if length > 0:
            yield (float(at[0]), float(at[1])), ahead / length


def _arrowhead(at: tuple[float, float], ahead: FloatArray, px: float) -> FloatArray:
    """Return an arrowhead, (3, 2)."""
    across = np.array([-ahead[1], ahead[0]])
    tail = np.array(at) - 4.0 * px * ahead
    return np.array(
        [np.array(at) + 6.5 * px * ahead, tail + 4.6 * px * across, tail - 4.6 * px * across]
    )


def draw_stands(sheet: Sheet, stands: Sequence[Stand], taken: Taken) -> list[Name]:
    """Draw stands in squares; return their names, to be written where there is room."""
    frame = sheet.layout.frame
    inner = frame.outline.buffer(-_STAND_PX * sheet.px / 2)
    names = []
    for stand in stands:
        x, y = map(float, frame.on_page(np.array([[stand.x_m, stand.y_m]]))[0])
        if not inner.contains(shapely.Point(x, y)):
            continue
        sheet.in_square("stand", (x, y), _STAND_PX)
        taken.take_round((x, y), _STAND_PX * sheet.px)
        square = shapely.Point(x, y).buffer(_STAND_PX * sheet.px / 2, cap_style="square")
        names.append(Name(words=stand.name, shape=square, face=Face.SEMIBOLD, size=9.0))
    return names


def way_lines(place: Property, cluster: Cluster, way: WayIn | None, on: date) -> Iterator[str]:
    """Yield bearings and paces from the way in to the scrapes and on to the camera.

    Parameters
    ----------
    place : Property
        Its map, and its ways in where no walk was sought.
    cluster : Cluster
        Where it leads.
    way : WayIn, optional
        The walk; without it the straight line from the nearest way in is told.
    on : date
        The day that magnetic bearings hold for.
    """
    named = [(f"Scrape {chr(65 + k)}", at) for k, at in enumerate(cluster.scrapes_m)]
    stops = [*named, ("Camera", cluster.camera_m)]
    if way is not None:
        corners = _corners(way)
        turns = [(way.start, corners[0])]
        turns += [(f"turn {k}", at) for k, at in enumerate(corners[1:-1], start=1)]
        over = f", over {', '.join(way.crossings)}" if way.crossings else ""
        yield (
            f"{way.start} to here: {said_length(way.length_m)}, {way.minutes:.0f} minutes, nearest"
            f" bed {way.bed} at {said_length(way.to_bed_m)}{over}"
            + (f"; not with wind from the {', '.join(way.bad_winds)}" if way.bad_winds else "")
            + "."
        )
        stops = [*turns, *stops]
    else:
        gate = nearest_way_in(place, *cluster.scrapes_m[0])
        stops = [*([gate] if gate else []), *stops]
        if gate is None:
            yield "No way in is marked, so no bearing leads here."
    for (start, from_m), (end, to_m) in pairwise(stops):
        one = leg(from_m, to_m, place.epsg, on)
        yield (
            f"{start} to {end}: {one.true_deg:03.0f}° true, {one.magnetic_deg:03.0f}° magnetic,"
            f" {said_length(one.length_m)}, {one.length_m / PACE_M:.0f} paces of 30 inches"
        )


def _corners(way: WayIn) -> list[tuple[float, float]]:
    """Return the corners of a way, as few as keep near it."""
    line, near_m = shapely.LineString(way.points_m), _NEAR_M
    slim = line.simplify(near_m)
    while len(slim.coords) > _MOST_LEGS + 1:
        near_m *= 1.5
        slim = line.simplify(near_m)
    return [(float(x), float(y)) for x, y in slim.coords]
