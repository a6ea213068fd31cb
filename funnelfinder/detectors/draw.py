"""Draws and ditch heads: the upper end of a hollow, where going round it costs little.

Draws are worked on cells of 5 m smoothed over 5 m, ditches on 2 m smoothed over 1.5 m.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import shapely
from shapely.ops import substring

from funnelfinder.detectors.lines import CutLine, cut_lines
from funnelfinder.detectors.relief import relief_of
from funnelfinder.features import Detector, Feature
from funnelfinder.ground import Ground
from funnelfinder.marks import MarkKind, Property
from funnelfinder.units import said_height, said_length

#: As far below its head as this, going round the head is at most 60 m longer than going straight
#: across (common practice, no source) [m].
HEAD_M: Final = 30.0
#: Heights coarser than this show no ditch (judgement) [m].
COARSEST_FOR_DITCH_M: Final = 3.0
#: The end of a marked ditch this near to another line is closed by it (judgement) [m].
CLOSED_M: Final = 3.0
#: A ditch head this near to the head of a draw is the same place (judgement) [m].
SAME_M: Final = 40.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Size:
    """What a draw or ditch must measure; all judgement but the area of a draw.

    It begins where ``least_area_m2`` drains through it, on cells of ``cell_m`` smoothed over
    ``sigma_m``; both sides, ``side_m`` across, stand ``least_depth_m`` above it for ``length_m``
    and somewhere ``deepest_m``.
    """

    word: str
    least_area_m2: float
    cell_m: float
    sigma_m: float
    side_m: float
    least_depth_m: float
    deepest_m: float
    length_m: float


DRAW_SIZE: Final = Size(
    word="draw",
    least_area_m2=5_000.0,  # common practice, no source
    cell_m=5.0,
    sigma_m=5.0,
    side_m=40.0,
    least_depth_m=3.5,
    deepest_m=5.0,
    length_m=80.0,
)
#: Banks of 1.2 m within 6 m, and somewhere 1.8 m: a cut that is felt underfoot.
DITCH_SIZE: Final = Size(
    word="ditch",
    least_area_m2=1_000.0,
    cell_m=2.0,
    sigma_m=1.5,
    side_m=6.0,
    least_depth_m=1.2,
    deepest_m=1.8,
    length_m=40.0,
)


def find(ground: Ground, place: Property) -> list[Feature]:
    """Return the heads of draws and ditches of a ground, and the ends of marked ditches."""
    del place
    found = _marked_ends(ground) + _heads(ground, DRAW_SIZE)
    if ground.fine_grid.cell_m > COARSEST_FOR_DITCH_M:
        return found
    draws = shapely.MultiPoint([one.geometry.representative_point() for one in found])
    return found + [
        one
        for one in _heads(ground, DITCH_SIZE)
        if draws.is_empty or one.geometry.distance(draws) > SAME_M
    ]


def _heads(ground: Ground, size: Size) -> list[Feature]:
    """Return the heads of draws or ditches of one size."""
    lines = cut_lines(
        relief_of(ground, cell_m=size.cell_m, sigma_m=size.sigma_m),
        least_area_m2=size.least_area_m2,
        side_m=size.side_m,
        least_depth_m=size.least_depth_m,
        length_m=size.length_m,
    )
    return [_head(line, size.word) for line in lines if line.depth_m.max() >= size.deepest_m]


def _head(line: CutLine, word: str) -> Feature:
    """Return the head of a draw or ditch."""
    deepest = int(line.depth_m.argmax())
    depth_m = float(line.depth_m[deepest])
    whole = shapely.LineString(line.points_m)
    below_m = float(whole.project(shapely.Point(line.points_m[deepest])))
    return Feature(
        kind="draw" if word == "draw" else "ditch head",
        geometry=substring(whole, 0.0, HEAD_M),
        sizes={"depth_m": depth_m, "below_m": below_m},
        words=f"A {word} heads here; within {said_length(max(below_m, HEAD_M))} down it is "
        f"{said_height(depth_m)} deep.",
    )


def _marked_ends(ground: Ground) -> list[Feature]:
    """Return the open ends of marked ditches."""
    features = []
    area = shapely.box(*ground.grid.bounds_m)
    for index, ditch in enumerate(ground.barriers):
        if ditch.kind is not MarkKind.DITCH:
            continue
        others = [one.line for i, one in enumerate(ground.barriers) if i != index]
        for end in (ditch.points_m[0], ditch.points_m[-1]):
            spot = shapely.Point(end)
            closed = any(line.distance(spot) < CLOSED_M for line in others) or ditch.line.is_ring
            if not closed and area.contains(spot):
                length_m = ditch.line.length
                features.append(
                    Feature(
                        kind="ditch head",
                        geometry=spot,
                        sizes={"length_m": length_m},
                        words=f"The ditch ends here after {said_length(length_m)}; "
                        "beyond it the way is open.",
                    )
                )
    return features


DRAW: Final = Detector(
    name="draw",
    words="The head of a hollow or ditch, where going round it is hardly longer than crossing it.",
    source="common practice, no source; drainage in eight directions, O'Callaghan & Mark 1984",
    find=find,
)
