"""What a suggestion is, and the outlines of its cells."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from shapely.geometry import Polygon

from funnelfinder.detectors.outlines import STAIR_CELLS, polygons_of
from funnelfinder.grid import Grid
from funnelfinder.kernels import BoolArray
from funnelfinder.marks import Mark, MarkKind

_COMPASS: Final = (
    "north",
    "north-east",
    "east",
    "south-east",
    "south",
    "south-west",
    "west",
    "north-west",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Suggestion:
    """A place that may be food or a bed.

    Parameters
    ----------
    kind : MarkKind
        Bed or food.
    geometry : Polygon
        Its outline [m, UTM zone of the property].
    name : str
        A name to start from.
    why : str
        What speaks for it, a whole sentence with what was measured.
    crop : str
        For food: what probably grows there.
    """

    kind: MarkKind
    geometry: Polygon
    name: str
    why: str
    crop: str = ""

    def as_mark(self) -> Mark:
        """Return the mark that a person gets by taking the suggestion."""
        return Mark(
            kind=self.kind, geometry=self.geometry, name=self.name, note=self.why, crop=self.crop
        )


def largest_outline(mask: BoolArray, grid: Grid) -> Polygon | None:
    """Return the outline of the largest piece of the true cells, its staircase taken out [m]."""
    rows, cols = np.flatnonzero(mask.any(axis=1)), np.flatnonzero(mask.any(axis=0))
    if not rows.size:
        return None
    window = mask[rows[0] : rows[-1] + 1, cols[0] : cols[-1] + 1]
    pieces = polygons_of(window, grid, (int(rows[0]), int(cols[0])))
    largest = max(pieces, key=lambda one: one.area)
    plain = largest.simplify(STAIR_CELLS * grid.cell_m)
    if isinstance(plain, Polygon) and plain.is_valid and not plain.is_empty:
        return plain
    return largest


def compass(bearing_deg: float) -> str:
    """Return a bearing as one of eight words.

    Examples
    --------
    >>> compass(130.0), compass(359.0)
    ('south-east', 'north')
    """
    return _COMPASS[round(bearing_deg / 45.0) % 8]


def side_of(geometry: Polygon, grid: Grid) -> str:
    """Return on which side of a grid's middle a place lies."""
    east = geometry.centroid.x - (grid.west_m + grid.east_m) / 2
    north = geometry.centroid.y - (grid.south_m + grid.north_m) / 2
    return compass(float(np.degrees(np.arctan2(east, north))) % 360.0)


def distinct(found: list[Suggestion]) -> list[Suggestion]:
    """Return suggestions whose names differ: the second of a name gets a number."""
    counts: dict[str, int] = {}
    named = []
    for one in found:
        n = counts[one.name] = counts.get(one.name, 0) + 1
        name = one.name if n == 1 else f"{one.name} {n}"
        named.append(
            Suggestion(kind=one.kind, geometry=one.geometry, name=name, why=one.why, crop=one.crop)
        )
    return named
