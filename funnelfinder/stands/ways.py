"""Ways in and out: the best walk that keeps off beds, out of sight, out of the trips' way."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
import shapely
from scipy.ndimage import distance_transform_edt

from funnelfinder.cost import CostSurface
from funnelfinder.daylight import Half
from funnelfinder.errors import NoWayError
from funnelfinder.grid import frozen
from funnelfinder.ground import Patch
from funnelfinder.kernels import AnyArray, BoolArray, FloatArray, IntArray
from funnelfinder.kernels.sight import add_seen
from funnelfinder.marks import Mark, MarkKind
from funnelfinder.stands.base import StandBase
from funnelfinder.stands.spots import Stand
from funnelfinder.terrain import gradient
from funnelfinder.travel_network import Moves, Path, cost_distance, moves_of
from funnelfinder.travel_network.paths import path_of
from funnelfinder.trips import DrawnTrips
from funnelfinder.units import YARD_M, said_height, said_length, said_share
from funnelfinder.wind import Air, Sense, scent_bits
from funnelfinder.wind.scent import CELL_M

#: A person is seen or smelt from this many places of each bed or field.
_N_PLACES: Final = 6
#: Nearness to deer fades over this length (judgement) [m].
_NEAR_M: Final = 60.0
#: What a person takes on to cross a fence or creek (judgement) [m of walk].
_CROSSING_M: Final = 25.0
#: Climbing costs a minute for every 10 m (Naismith 1892: an hour for 2,000 feet).
_CLIMB_M_MIN: Final = 10.0
#: A quiet way is seen or smelt on no more of its length than this (judgement) [share].
_LOUD_SHARE: Final = 0.1
#: Front over which passage is told [m].
_FRONT_M: Final = 60 * YARD_M


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """One walk between a way in and a stand.

    Parameters
    ----------
    start : str
        The way in.
    points_m : (n, 2) float64
        The walk, from the way in to the stand [m].
    length_m, climb_m, minutes, cost_m : float
        Its length [m], climb [m], time [min], and cost [m of best ground].
    to_bed_m, bed : float, str
        Nearest approach to a bed [m], and which.
    crossed_share : float
        Share of trips whose way it crosses.
    seen_share, smelt_share : float
        Share of its length in sight of deer, and from which the wind carries scent to them.
    crossings : tuple of str
        Fences, ditches and creeks that it crosses.
    is_quiet : bool
        Whether it keeps off beds, out of sight and not upwind.
    words : str
        All of it in words.
    """

    start: str
    points_m: FloatArray
    length_m: float
    climb_m: float
    minutes: float
    cost_m: float
    to_bed_m: float
    bed: str
    crossed_share: float
    seen_share: float
    smelt_share: float
    crossings: tuple[str, ...]
    is_quiet: bool
    words: str


@dataclass(frozen=True, kw_only=True)
class WayGround:
    """What walking costs a person on one wind: moves, what is seen and smelt, ways in."""

    moves: Moves
    is_out: bool
    seen: BoolArray
    smelt: FloatArray
    starts: tuple[tuple[str, int], ...]


def way_ground(base: StandBase, half: Half, air: Air, *, is_out: bool = False) -> WayGround:
    """Return what walking to or from stands costs.

    By day deer lie in their beds and see; walking in before dawn and out after dusk they are at
    their food, and only the wind and nearness tell them.

    Parameters
    ----------
    base : StandBase
        Ground and trips.
    half : Half
        Evening or morning.
    air : Air
        The air of the hour.
    is_out : bool
        Whether it is the way out.
    """
    ground, own = base.ground, base.settings.stands
    is_day = (half is Half.EVENING) != is_out
    if is_out and half is Half.MORNING:
        # By the end of a morning sit the sun is up and slope air climbs, if it moves at all.
        air = replace(air, sense=Sense.UP if air.sense is Sense.TURNING else air.sense)
    deer = ground.beds if is_day else ground.foods
    seen = _seen(base, deer) if is_day else np.zeros(ground.grid.shape, dtype=bool)
    smelt = _smelt(base, deer, air)
    nearness = np.exp(-_to_patches_m(base, deer) / _NEAR_M)
    busy = np.minimum(base.passage_per_m * _FRONT_M, 1.0)
    cost = (
        1.0
        + own.way_seen_cost * seen
        + own.way_smelt_cost * smelt
        + own.way_near_cost * nearness
        + own.way_trips_cost * busy
    )
    moves = moves_of(_surface(base, cost))
    starts = tuple(_starts(base, moves))
    return WayGround(
        moves=moves,
        is_out=is_out,
        seen=frozen(seen),
        smelt=frozen(smelt),
        starts=starts,
    )


def _surface(base: StandBase, cost: FloatArray) -> CostSurface:
    """Return what walking costs a person; beds, cores, keep-off ground and water are shut."""
    ground = base.ground
    shut = ground.is_removed | ground.is_core | ground.is_kept_off
    flat = shut.copy().ravel()
    for bed in ground.beds:
        flat[bed.cells] = True
    shut = flat.reshape(shut.shape)
    east, north = gradient(ground.elevation_m, ground.grid.cell_m)
    steep = np.nan_to_num(np.hypot(east, north))
    safe = np.where(steep > 0, steep, 1.0)
    # A climb of 10 m takes as long as 40 m of quiet walk, half of it on the mean of both ways.
    factor = 1.0 + steep * base.settings.stands.walk_m_min / _CLIMB_M_MIN / 2.0
    return CostSurface(
        grid=ground.grid,
        cost=np.where(shut, np.nan, cost),
        slope_factor=factor,
        fall_east=np.where(steep > 0, np.nan_to_num(east) / safe, 0.0),
        fall_north=np.where(steep > 0, np.nan_to_num(north) / safe, 0.0),
        is_removed=shut,
        barriers=tuple(
            replace(one, cost_m=_CROSSING_M) if np.isfinite(one.cost_m) else one
            for one in ground.barriers
        ),
    )


def _sample(patch: Patch) -> IntArray:
    """Return a few cells spread over a patch."""
    places = np.linspace(0, patch.cells.size - 1, min(_N_PLACES, patch.cells.size))
    return np.asarray(patch.cells[places.astype(np.int64)])


def _seen(base: StandBase, deer: Sequence[Patch]) -> BoolArray:
    """Return where deer see a person on foot."""
    ground, own = base.ground, base.settings.stands
    seen = np.zeros(ground.grid.shape, dtype=bool)
    for patch in deer:
        for cell in _sample(patch):
            row, col = divmod(int(cell), ground.grid.n_cols)
            add_seen(
                seen,
                ground.elevation_m,
                ground.is_woody,
                row,
                col,
                ground.grid.cell_m,
                own.antler_height_m,
                own.eye_height_m,
                own.sight_reach_m,
                own.sight_cover_m,
            )
    return seen


def _smelt(base: StandBase, deer: Sequence[Patch], air: Air) -> FloatArray:
    """Return the part of the wind's directions that carry scent from each cell to deer.

    The plume is turned round: let go at the deer against the wind, it covers where a person
    would be smelt from.
    """
    grid = base.ground.grid
    flipped = {Sense.DOWN: Sense.UP, Sense.UP: Sense.DOWN}.get(air.sense, air.sense)
    back = replace(air, from_deg=(air.from_deg + 180.0) % 360.0, sense=flipped)
    rows, cols = np.indices(grid.shape)
    points = grid.points_m(rows, cols)
    smelt = np.zeros(grid.n_cells)
    for patch in deer:
        for cell in _sample(patch):
            x, y = grid.points_m(*(np.array([v]) for v in divmod(int(cell), grid.n_cols)))[0]
            bits = scent_bits(
                (float(x), float(y)),
                back,
                base.drift,
                base.settings.wind,
                heights_m=(0.0,),
                grid_turn_deg=base.grid_turn_deg,
            )
            n = bits.shape[0] // 2
            c = np.floor((points[:, 0] - x) / CELL_M).astype(np.int64) + n
            r = np.floor((points[:, 1] - y) / CELL_M).astype(np.int64) + n
            inside = np.flatnonzero((c >= 0) & (c < 2 * n) & (r >= 0) & (r < 2 * n))
            share = np.bitwise_count(bits[r[inside], c[inside]]) / air.turns_rad.size
            smelt[inside] = np.maximum(smelt[inside], share)
    return smelt.reshape(grid.shape)


def _to_patches_m(base: StandBase, deer: Sequence[Patch]) -> FloatArray:
    """Return the distance of each cell to the nearest of some patches [m]."""
    away = np.ones(base.ground.grid.n_cells, dtype=bool)
    for patch in deer:
        away[patch.cells] = False
    far = distance_transform_edt(away.reshape(base.ground.grid.shape))
    return np.asarray(far) * base.ground.grid.cell_m


def _starts(base: StandBase, moves: Moves) -> Iterator[tuple[str, int]]:
    """Yield the ways in that lie on ground a person may walk, with their cells."""
    for mark in base.marks:
        if mark.kind is not MarkKind.WAY_IN:
            continue
        for point in shapely.get_parts(mark.geometry):
            row, col = base.ground.grid.nearest_cells(np.array([[point.x, point.y]]))
            if not moves.surface.is_removed[row[0], col[0]]:
                yield mark.label, int(row[0]) * base.ground.grid.n_cols + int(col[0])


def ways_to(base: StandBase, walking: WayGround, stands: Sequence[Stand]) -> dict[str, Way]:
    """Return the best walk to each stand that one leads to, by the stand's name."""
    if not walking.starts or not stands:
        return {}
    cells = np.array([cell for _, cell in walking.starts], dtype=np.int64)
    rows, cols = base.ground.grid.nearest_cells(np.array([(one.x_m, one.y_m) for one in stands]))
    goals = rows * base.ground.grid.n_cols + cols
    search = cost_distance(walking.moves, cells, goals=goals)
    trips = _trip_lines(base.drawn)
    found = {}
    for stand, goal in zip(stands, goals, strict=True):
        try:
            path = path_of(walking.moves, search.path_to(int(goal)))
        except NoWayError:
            continue
        found[stand.name] = _way(base, walking, path, trips)
    return found


def _way(
    base: StandBase, walking: WayGround, path: Path, trips: tuple[FloatArray, AnyArray]
) -> Way:
    """Return a walk with all that is measured on it."""
    start = next(name for name, cell in walking.starts if cell == int(path.cells[0]))
    heights = base.ground.elevation_m.ravel()[path.cells]
    climb = float(np.nansum(np.maximum(np.diff(heights), 0.0)))
    points = path.points_m
    line = shapely.LineString(points) if len(points) > 1 else shapely.Point(points[0])
    bed, to_bed = _nearest_bed(base, line)
    seen = float(walking.seen.ravel()[path.cells].mean())
    smelt = float(walking.smelt.ravel()[path.cells].mean())
    way = Way(
        start=start,
        points_m=path.points_m,
        length_m=path.length_m,
        climb_m=climb,
        minutes=path.length_m / base.settings.stands.walk_m_min + climb / _CLIMB_M_MIN,
        cost_m=path.cost_m,
        to_bed_m=to_bed,
        bed=bed,
        crossed_share=_crossed_share(trips, line),
        seen_share=seen,
        smelt_share=smelt,
        crossings=tuple(
            f"{one.kind.value} {one.name}" if one.name != one.kind.value else one.name
            for one in base.ground.barriers
            if line.intersects(one.line)
        ),
        is_quiet=False,
        words="",
    )
    faults = list(_faults(base, way))
    return replace(
        way, is_quiet=not faults, words=_said(way, faults, "out" if walking.is_out else "in")
    )


def _nearest_bed(base: StandBase, line: shapely.Geometry) -> tuple[str, float]:
    """Return the bed that a walk comes nearest to, and how near [m]."""
    marks: list[Mark] = [bed.mark for bed in base.ground.beds]
    bed = min(marks, key=lambda mark: float(mark.geometry.distance(line)))
    return bed.label, float(bed.geometry.distance(line))


def _trip_lines(drawn: DrawnTrips) -> tuple[FloatArray, AnyArray]:
    """Return the weights and lines of the drawn trips that have a length."""
    trip = np.repeat(np.arange(drawn.n_trips), np.diff(drawn.first))
    is_long = np.diff(drawn.first)[trip] > 1
    lines = shapely.linestrings(drawn.points_m[is_long], indices=_renumbered(trip[is_long]))
    return drawn.weight[np.unique(trip[is_long])], np.atleast_1d(np.asarray(lines))


def _crossed_share(trips: tuple[FloatArray, AnyArray], line: shapely.Geometry) -> float:
    """Return the share of drawn trips that a walk crosses."""
    shapely.prepare(line)
    return float(trips[0] @ shapely.intersects(line, trips[1]))


def _renumbered(trip: IntArray) -> IntArray:
    """Return trip numbers without the gaps that left-out trips leave."""
    return np.asarray(np.unique(trip, return_inverse=True)[1])


def _faults(base: StandBase, way: Way) -> Iterator[str]:
    """Yield what makes a way not quiet."""
    if way.to_bed_m < base.settings.stands.way_standoff_m:
        yield f"it passes {said_length(way.to_bed_m)} from {way.bed}"
    if way.seen_share > _LOUD_SHARE:
        yield f"{100 * way.seen_share:.0f} % of it lies in sight of deer"
    if way.smelt_share > _LOUD_SHARE:
        yield f"the wind carries your scent to them from {100 * way.smelt_share:.0f} % of it"


def _said(way: Way, faults: Sequence[str], side: str) -> str:
    """Return a way in words."""
    over = f", crosses {', '.join(way.crossings)}" if way.crossings else ""
    words = (
        f"{'To' if side == 'out' else 'From'} {way.start}: {said_length(way.length_m)},"
        f" {said_height(way.climb_m)} of climb, about {way.minutes:.0f} minutes, nearest bed"
        f" {way.bed} at {said_length(way.to_bed_m)}, {said_share(way.crossed_share)} trips"
        f" crossed{over}."
    )
    if not faults:
        return words
    return f"No quiet way {side} on this wind: {'; '.join(faults)}. {words}"
