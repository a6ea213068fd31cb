"""Fences, ditches and creeks as lines that cost something to cross, with their gaps."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
import shapely
from shapely.geometry import LineString

from funnelfinder.defaults import CostSettings
from funnelfinder.kernels import FloatArray
from funnelfinder.marks import Mark, MarkKind, Property
from funnelfinder.units import said_length

BARRIER_KINDS: Final = (MarkKind.FENCE, MarkKind.DITCH, MarkKind.CREEK)
#: Heights at which deer are stopped (VerCauteren et al. 2010, J. Wildl. Manage. 74:1378) [m].
LOW_FENCE_M, TALL_FENCE_M, CLOSED_FENCE_M = 1.65, 1.95, 2.4
WIDE_CREEK_M: Final = 10.0


@dataclass(frozen=True, kw_only=True)
class Barrier:
    """One line that trips pay to cross.

    Parameters
    ----------
    name : str
        What the person calls it.
    kind : MarkKind
        Fence, ditch or creek.
    points_m : (n, 2) float64
        Its corners, easting first [m].
    cost_m : float
        What a crossing costs [metres of best ground]; infinite is closed.
    gaps_m : tuple of (float, float)
        Stretches along the line where crossing is free [m from its start].
    """

    name: str
    kind: MarkKind
    points_m: FloatArray
    cost_m: float
    gaps_m: tuple[tuple[float, float], ...] = ()

    @property
    def line(self) -> LineString:
        """The line as geometry."""
        return LineString(self.points_m)


def crossing_cost_m(mark: Mark, costs: CostSettings) -> float:
    """Return what crossing a fence, ditch or creek costs [metres of best ground].

    The order of the fences follows VerCauteren et al. (2010), J. Wildl. Manage. 74:1378; the
    sizes are judgement.
    """
    if mark.kind is MarkKind.DITCH:
        return costs.ditch_m
    if mark.kind is MarkKind.CREEK:
        return costs.wide_creek_m if (mark.width_m or 0.0) > WIDE_CREEK_M else costs.creek_m
    height = mark.height_m or 0.0
    if height >= CLOSED_FENCE_M:
        return math.inf
    if height > TALL_FENCE_M:
        return costs.fence_21_m
    return costs.fence_18_m if height > LOW_FENCE_M else costs.fence_m


def barriers_of(place: Property) -> tuple[tuple[Barrier, ...], list[str]]:
    """Return the barriers of a property with their gaps, and notes on gaps that fit no line."""
    barriers = [
        Barrier(
            name=mark.label,
            kind=mark.kind,
            points_m=np.asarray(line.coords, dtype=np.float64)[:, :2],
            cost_m=crossing_cost_m(mark, place.settings.cost),
        )
        for mark in place.of_kind(*BARRIER_KINDS)
        for line in shapely.get_parts(mark.geometry)
    ]
    notes = []
    for gap in place.of_kind(MarkKind.GAP, MarkKind.CROSSING):
        index = _nearest_barrier(gap, barriers, place.settings.ground.gap_snap_m)
        if index is None:
            snap = said_length(place.settings.ground.gap_snap_m)
            notes.append(
                f"{gap.label} lies on no fence, ditch or creek within {snap}; it opens none."
            )
            continue
        stretch = _stretch_m(gap, barriers[index].line, place.settings.ground.gap_width_m)
        barriers[index] = replace(barriers[index], gaps_m=(*barriers[index].gaps_m, stretch))
    return tuple(barriers), notes


def _nearest_barrier(gap: Mark, barriers: list[Barrier], snap_m: float) -> int | None:
    """Return which barrier a gap opens: a fence for a gap, water or a ditch for a crossing."""
    fitting = {MarkKind.GAP: (MarkKind.FENCE,), MarkKind.CROSSING: (MarkKind.DITCH, MarkKind.CREEK)}
    for kinds in (fitting[gap.kind], BARRIER_KINDS):
        distances = [
            (barrier.line.distance(gap.geometry), index)
            for index, barrier in enumerate(barriers)
            if barrier.kind in kinds
        ]
        if distances and min(distances)[0] <= snap_m:
            return min(distances)[1]
    return None


def _stretch_m(gap: Mark, line: LineString, default_width_m: float) -> tuple[float, float]:
    """Return the stretch of the line that a gap opens [m from the line's start]."""
    along = [line.project(shapely.Point(xy)) for xy in shapely.get_coordinates(gap.geometry)]
    middle = (min(along) + max(along)) / 2
    half = max((gap.width_m or default_width_m) / 2, (max(along) - min(along)) / 2)
    return middle - half, middle + half
