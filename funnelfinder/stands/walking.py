"""What a walk to or from a stand costs: off beds, out of sight, not upwind, out of the way."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
import shapely
from scipy.ndimage import distance_transform_edt

from funnelfinder.cost import CostSurface
from funnelfinder.daylight import Half
from funnelfinder.grid import frozen
from funnelfinder.ground import Patch
from funnelfinder.kernels import BoolArray, FloatArray, IntArray
from funnelfinder.kernels.sight import add_seen
from funnelfinder.marks import MarkKind
from funnelfinder.stands.base import StandBase
from funnelfinder.stands.hours import to_come_per_m, under_way, walk_min
from funnelfinder.terrain import gradient
from funnelfinder.travel_network import Moves, moves_of
from funnelfinder.units import YARD_M
from funnelfinder.wind import Air, Sense, scent_bits
from funnelfinder.wind.scent import CELL_M

#: A person is seen or smelt from this many places of each bed or field.
_N_PLACES: Final = 6
#: Nearness to deer fades over this length (judgement) [m].
_NEAR_M: Final = 60.0
#: What a person takes on to cross a fence or creek (judgement) [m of walk].
_CROSSING_M: Final = 25.0
#: Climbing costs a minute for every 10 m (Naismith 1892: an hour for 2,000 feet).
CLIMB_M_MIN: Final = 10.0
#: Front over which passage is told [m].
_FRONT_M: Final = 60 * YARD_M


@dataclass(frozen=True, kw_only=True)
class WayGround:
    """What walking costs a person at one hour, on one wind.

    Parameters
    ----------
    moves : Moves
        Steps and their costs.
    half, is_out, at_min
        Which walk it is, and when: minutes after sunset or sunrise.
    seen : (rows, cols) bool
        Where deer in their beds see a person.
    smelt : (rows, cols) float64
        Part of the wind's directions that carry scent from there to deer that stay put.
    upwind : (rows, cols) float64
        Share of trips under way that the wind carries scent to.
    starts : tuple of (str, int)
        Ways in with their cells.
    """

    moves: Moves
    half: Half
    is_out: bool
    at_min: float
    seen: BoolArray
    smelt: FloatArray
    upwind: FloatArray
    starts: tuple[tuple[str, int], ...]


def way_ground(
    base: StandBase, half: Half, air: Air, *, is_out: bool = False, at_min: float | None = None
) -> WayGround:
    """Return what walking to or from stands costs.

    By day deer lie in their beds and see; walking in before dawn and out after dusk they are at
    their food, and only the wind and nearness tell them. Tracks by a bed tell them later, so that
    beds are kept off at any hour. Trips count as far as they are still to come at the hour of the
    walk: who has passed does not come upon the track.

    Parameters
    ----------
    base : StandBase
        Ground and trips.
    half : Half
        Evening or morning.
    air : Air
        The air of the hour, from `air_of`.
    is_out : bool
        Whether it is the way out.
    at_min : float, optional
        When the person sets out, in minutes after sunset (evening) or sunrise (morning); None
        takes the hour of the half (`walk_min`).
    """
    ground, own = base.ground, base.settings.stands
    is_day = (half is Half.EVENING) != is_out
    at_min = walk_min(base, half, is_out=is_out) if at_min is None else at_min
    deer = ground.beds if is_day else ground.foods
    seen = _seen(base, deer) if is_day else np.zeros(ground.grid.shape, dtype=bool)
    smelt = _smelt(base, deer, air)
    upwind = _upwind(base, air, *under_way(base, half, at_min))
    nearness = np.exp(-_to_patches_m(base, (*deer, *ground.beds)) / _NEAR_M)
    busy = np.minimum(to_come_per_m(base, half, at_min) * _FRONT_M, 1.0)
    cost = (
        1.0
        + own.way_seen_cost * seen
        + own.way_smelt_cost * np.maximum(smelt, upwind)
        + own.way_near_cost * nearness
        + own.way_trips_cost * busy
    )
    moves = moves_of(_surface(base, cost))
    return WayGround(
        moves=moves,
        half=half,
        is_out=is_out,
        at_min=at_min,
        seen=frozen(seen),
        smelt=frozen(smelt),
        upwind=frozen(upwind),
        starts=tuple(_starts(base, moves)),
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
    factor = 1.0 + steep * base.settings.stands.walk_m_min / CLIMB_M_MIN / 2.0
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
    """Return the part of the wind's directions that carry scent from each cell to deer."""
    grid = base.ground.grid
    smelt = np.zeros(grid.shape)
    for patch in deer:
        for cell in _sample(patch):
            here = grid.points_m(*(np.array([v]) for v in divmod(int(cell), grid.n_cols)))[0]
            part, share = _smelt_at(base, here, air)
            np.maximum(smelt[part], share, out=smelt[part])
    return smelt


def _upwind(base: StandBase, air: Air, points_m: FloatArray, shares: FloatArray) -> FloatArray:
    """Return the share of trips under way that the wind carries scent to from each cell."""
    upwind = np.zeros(base.ground.grid.shape)
    for here, of_trips in zip(points_m, shares, strict=True):
        part, share = _smelt_at(base, here, air)
        upwind[part] += of_trips * share
    return upwind


def _smelt_at(
    base: StandBase, here: FloatArray, air: Air
) -> tuple[tuple[slice, slice], FloatArray]:
    """Return from where a deer smells a person: a part of the grid, and the share of directions.

    The plume is turned round: let go at the deer against the wind, it covers where a person
    would be smelt from.
    """
    grid = base.ground.grid
    flipped = {Sense.DOWN: Sense.UP, Sense.UP: Sense.DOWN}.get(air.sense, air.sense)
    bits = scent_bits(
        (float(here[0]), float(here[1])),
        replace(air, from_deg=(air.from_deg + 180.0) % 360.0, sense=flipped),
        base.drift,
        base.settings.wind,
        heights_m=(0.0,),
        grid_turn_deg=base.grid_turn_deg,
    )
    n = bits.shape[0] // 2
    xs = grid.points_m(np.zeros(grid.n_cols, dtype=np.int64), np.arange(grid.n_cols))[:, 0]
    ys = grid.points_m(np.arange(grid.n_rows), np.zeros(grid.n_rows, dtype=np.int64))[:, 1]
    c = np.floor((xs - here[0]) / CELL_M).astype(np.int64) + n
    r = np.floor((ys - here[1]) / CELL_M).astype(np.int64) + n
    cols, rows = (np.flatnonzero((one >= 0) & (one < 2 * n)) for one in (c, r))
    if not rows.size or not cols.size:
        return (slice(0, 0), slice(0, 0)), np.zeros((0, 0))
    part = (slice(rows[0], rows[-1] + 1), slice(cols[0], cols[-1] + 1))
    carried = np.bitwise_count(bits[np.ix_(r[rows], c[cols])])
    return part, np.asarray(carried / air.turns_rad.size)


def _to_patches_m(base: StandBase, deer: Iterable[Patch]) -> FloatArray:
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
