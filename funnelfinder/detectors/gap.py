"""Gaps: openings in fences, marked or left between the ends of fence lines."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

import shapely
from shapely.geometry import LineString, Point
from shapely.ops import substring

from funnelfinder.barriers import Barrier
from funnelfinder.features import Detector, Feature
from funnelfinder.ground import Ground
from funnelfinder.marks import MarkKind, Property
from funnelfinder.units import said_length

#: An end this near to the next fence is closed by it (common practice, no source) [m].
LEAST_OPENING_M: Final = 3.0
#: Two ends farther apart than this are two ends, not the sides of one opening (judgement) [m].
MOST_OPENING_M: Final = 60.0
#: A fence ends at water, cliffs or a house that lie this near (judgement) [m].
TIED_M: Final = 10.0


def find(ground: Ground, place: Property) -> list[Feature]:
    """Return the gaps in fences and the open ends of fences."""
    fences = [one for one in ground.barriers if one.kind is MarkKind.FENCE]
    found = [feature for fence in fences for feature in _marked(fence)]
    marked = shapely.union_all([one.geometry for one in found])
    ends = list(_open_ends(fences, ground, place))
    paired: set[int] = set()
    for i, one in enumerate(ends):
        near = [(one.distance(other), j) for j, other in enumerate(ends) if j != i]
        apart_m, j = min(near, default=(float("inf"), i))
        if i in paired or (apart_m <= MOST_OPENING_M and j in paired):
            continue
        paired.add(i)
        if apart_m <= MOST_OPENING_M:
            paired.add(j)
            feature = _opening(LineString([one, ends[j]]))
        else:
            feature = _end(one)
        if marked.is_empty or marked.distance(feature.geometry) > LEAST_OPENING_M:
            found.append(feature)
    return found


def _marked(fence: Barrier) -> Iterator[Feature]:
    """Yield the gaps that the person marked in a fence."""
    line = fence.line
    n = len(fence.gaps_m)
    for start_m, end_m in fence.gaps_m:
        count = "one opening" if n == 1 else f"{n} openings"
        geometry = substring(line, max(start_m, 0.0), min(end_m, line.length))
        yield Feature(
            kind="gap",
            geometry=geometry,
            sizes={"width_m": end_m - start_m, "fence_m": line.length},
            words=f"The fence leaves {count} in {said_length(line.length)}.",
        )


def _open_ends(fences: list[Barrier], ground: Ground, place: Property) -> Iterator[Point]:
    """Yield the ends of fences that meet no other fence, water, cliff, house or rim."""
    houses = shapely.union_all([mark.geometry for mark in place.of_kind(MarkKind.HOUSE)])
    inner = shapely.box(*ground.grid.bounds_m).buffer(-TIED_M)
    for index, fence in enumerate(fences):
        if fence.line.is_ring:
            continue
        for end, rest in ((0, fence.points_m[1:]), (-1, fence.points_m[:-1])):
            spot = Point(fence.points_m[end])
            others = [one.line for i, one in enumerate(fences) if i != index]
            if len(rest) > 2:
                others.append(LineString(rest))
            is_closed = any(line.distance(spot) < LEAST_OPENING_M for line in others)
            is_tied = not houses.is_empty and houses.distance(spot) <= TIED_M
            is_open = not is_closed and not is_tied and inner.contains(spot)
            if is_open and not _is_at_removed(spot, ground):
                yield spot


def _is_at_removed(spot: Point, ground: Ground) -> bool:
    """Return whether water or a cliff lies at an end."""
    cell = ground.grid.cell_m
    n = max(round(TIED_M / cell), 1)
    (row,), (col,) = ground.grid.nearest_cells(shapely.get_coordinates(spot))
    window = ground.is_removed[max(row - n, 0) : row + n + 1, max(col - n, 0) : col + n + 1]
    return bool(window.any())


def _opening(line: LineString) -> Feature:
    """Return the opening between two ends."""
    return Feature(
        kind="gap",
        geometry=line,
        sizes={"width_m": line.length},
        words=f"The fence stands open here for {said_length(line.length)}.",
    )


def _end(spot: Point) -> Feature:
    """Return the end of a fence."""
    return Feature(
        kind="gap",
        geometry=spot,
        words="The fence ends here; a trip can go round its end.",
    )


GAP: Final = Detector(
    name="gap",
    words="A gap in a fence, or the end of a fence that meets no other.",
    source="the user's marks; deer keep to known crossing sites, Burkholder et al. 2018, "
    "Wildl. Soc. Bull. 42:420; sizes are judgement",
    find=find,
)
