"""Places that are tried for a scrape, and the rules that leave some out."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from funnelfinder.defaults import ScrapeSettings
from funnelfinder.ground import Ground
from funnelfinder.kernels import BoolArray, FloatArray, IntArray
from funnelfinder.units import said_length


@dataclass(frozen=True, kw_only=True)
class Places:
    """A lattice of places on the property.

    Parameters
    ----------
    points_m : (n, 2) float64
        Where they lie [m].
    rows, cols : (n,) int64
        Their travel cells.
    is_allowed : (n,) bool
        Whether every rule allows a scrape there.
    to_bed_m : (n,) float64
        Distance to the nearest bed [m].
    broken : tuple of (Rule, (n,) bool)
        Which places each rule leaves out.
    """

    points_m: FloatArray
    rows: IntArray
    cols: IntArray
    is_allowed: BoolArray
    to_bed_m: FloatArray
    broken: tuple[tuple[Rule, BoolArray], ...]


@dataclass(frozen=True, kw_only=True)
class Rule:
    """One rule: its name, where it is broken, and the miss in words.

    ``is_broken`` takes points (n, 2) and their rows and columns; ``words`` takes one point.
    """

    name: str
    is_broken: Callable[[FloatArray, IntArray, IntArray], BoolArray]
    words: Callable[[float, float], str]


#: Places this far outside the boundary are tried too, so that a near miss can be told [m].
_BEYOND_M: Final = 60.0


def rules_of(ground: Ground, settings: ScrapeSettings) -> tuple[Rule, ...]:
    """Return the rules for scrapes on a ground, in the order they are told."""
    return (
        Rule(
            name="boundary",
            is_broken=lambda points, rows, cols: (
                ~ground.is_inside[rows, cols] | ~_contains(ground.boundary, points)
            ),
            words=lambda x, y: (
                f"{said_length(ground.boundary.distance(shapely.Point(x, y)))} beyond your boundary"
            ),
        ),
        _standoff_rule(ground, settings.standoff_m),
        Rule(
            name="core",
            is_broken=lambda points, rows, cols: ground.is_core[rows, cols],
            words=lambda x, y: "in a buck's core",
        ),
        Rule(
            name="keep-off",
            is_broken=lambda points, rows, cols: ground.is_kept_off[rows, cols],
            words=lambda x, y: "on keep-off ground",
        ),
        Rule(
            name="water",
            is_broken=lambda points, rows, cols: ground.is_removed[rows, cols],
            words=lambda x, y: "in water or on a cliff",
        ),
        Rule(
            name="cover",
            is_broken=lambda points, rows, cols: np.asarray(
                ground.to_woody_m[rows, cols] > settings.cover_within_m
            ),
            words=lambda x, y: (
                f"in the open, {said_length(_at(ground, ground.to_woody_m, x, y))} from cover"
            ),
        ),
        _field_rule("house", ground, ground.to_house_m, settings.house_m),
        _field_rule("road", ground, ground.to_road_m, settings.road_m),
    )


def _contains(outline: BaseGeometry, points: FloatArray) -> BoolArray:
    """Return which points lie inside an outline."""
    return np.asarray(shapely.contains_xy(outline, points[:, 0], points[:, 1]))


def _at(ground: Ground, values: FloatArray, x_m: float, y_m: float) -> float:
    """Return the value of the cell at a point."""
    rows, cols = ground.grid.nearest_cells(np.array([[x_m, y_m]]))
    return float(values[rows[0], cols[0]])


def _to_bed_m(ground: Ground, points_m: FloatArray) -> FloatArray:
    """Return the distance of each point to the nearest bed [m]."""
    beds = shapely.union_all([bed.mark.geometry for bed in ground.beds])
    return np.asarray(shapely.distance(beds, shapely.points(points_m)))


def _standoff_rule(ground: Ground, least_m: float) -> Rule:
    """Return the rule that keeps scrapes away from beds."""

    def words(x_m: float, y_m: float) -> str:
        here = shapely.Point(x_m, y_m)
        bed = min(ground.beds, key=lambda one: one.mark.geometry.distance(here))
        far = said_length(bed.mark.geometry.distance(here))
        return f"{far} from {bed.label}, standoff is {said_length(least_m)}"

    return Rule(
        name="standoff",
        is_broken=lambda points, rows, cols: np.asarray(_to_bed_m(ground, points) < least_m),
        words=words,
    )


def _field_rule(name: str, ground: Ground, distance_m: FloatArray, least_m: float) -> Rule:
    """Return a rule that keeps scrapes away from what a distance array measures."""

    def is_near(points: FloatArray, rows: IntArray, cols: IntArray) -> BoolArray:
        return np.asarray(distance_m[rows, cols] < least_m)

    return Rule(
        name=name,
        is_broken=is_near,
        words=lambda x, y: (
            f"{said_length(_at(ground, distance_m, x, y))} from a {name}, "
            f"at least {said_length(least_m)} is asked"
        ),
    )


def lattice(ground: Ground, settings: ScrapeSettings) -> Places:
    """Return the places that are tried on a property, and what the rules say of each.

    The lattice begins at whole multiples of its step, so that it does not move with the property.
    """
    step = settings.candidate_step_m
    west, south, east, north = ground.boundary.buffer(_BEYOND_M).bounds
    xs = np.arange(np.ceil(west / step), np.floor(east / step) + 1) * step
    ys = np.arange(np.ceil(south / step), np.floor(north / step) + 1) * step
    x, y = (values.ravel() for values in np.meshgrid(xs, ys))
    near = shapely.dwithin(ground.boundary, shapely.points(x, y), _BEYOND_M)
    points = np.column_stack([x[near], y[near]])
    return judged(points, ground, settings)


def judged(points_m: FloatArray, ground: Ground, settings: ScrapeSettings) -> Places:
    """Return places at given points with what the rules say of each."""
    rows, cols = ground.grid.nearest_cells(points_m)
    broken = tuple(
        (rule, np.asarray(rule.is_broken(points_m, rows, cols)))
        for rule in rules_of(ground, settings)
    )
    allowed = np.ones(rows.size, dtype=bool)
    for _, is_broken in broken:
        allowed &= ~is_broken
    return Places(
        points_m=points_m,
        rows=rows,
        cols=cols,
        is_allowed=allowed,
        to_bed_m=_to_bed_m(ground, points_m),
        broken=broken,
    )


def broken_rule(places: Places, number: int) -> Rule | None:
    """Return the first rule that a place breaks, or None."""
    return next((rule for rule, is_broken in places.broken if is_broken[number]), None)
