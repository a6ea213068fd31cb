"""The six stops of the footpath: what each says below its name, and how far it is."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from typing import Final

import numpy as np

from funnelfinder.analysis.findings import Findings
from funnelfinder.ground import Grids
from funnelfinder.kernels import FloatArray
from funnelfinder.marks import MarkKind, Property

from .look.said import said_count


class Stop(Enum):
    """One stop; the value is its name."""

    GROUND = "Ground"
    MARKS = "Marks"
    TRIPS = "Trips"
    SPOTS = "Spots"
    TAKE_ALONG = "Take along"
    LATER = "Later"


STOPS: Final = tuple(Stop)


class Sign(Enum):
    """How far a stop is; each has a shape of its own."""

    DONE = "done"
    WAITING = "works, but something waits"
    NOT_YET = "not yet"


@dataclass(frozen=True, slots=True, kw_only=True)
class StopState:
    """What a stop shows: words below its name, and its sign."""

    stop: Stop
    words: str
    sign: Sign


def stop_states(
    place: Property | None,
    grids: Grids | None,
    findings: Findings | None,
    *,
    is_up_to_date: bool = True,
    n_pairs: int | None = None,
) -> tuple[StopState, ...]:
    """Return the state of every stop.

    Parameters
    ----------
    place : Property, optional
        The property that is open.
    grids : Grids, optional
        Its grids.
    findings : Findings, optional
        What was found, up to date or not.
    is_up_to_date : bool
        Whether the findings belong to the property as it is now.
    n_pairs : int, optional
        How many pairs walk in trips that are newer than the findings and up to date.
    """
    return (
        _ground(place, grids),
        _marks(place),
        _trips(place, grids, findings, is_up_to_date, n_pairs),
        _spots(place, findings, is_up_to_date),
        _take_along(place, findings),
        _later(place, findings),
    )


def _ground(place: Property | None, grids: Grids | None) -> StopState:
    """Return how far the ground is."""
    if place is None:
        return StopState(stop=Stop.GROUND, words="needs a boundary", sign=Sign.NOT_YET)
    if grids is None:
        return StopState(stop=Stop.GROUND, words="needs its grids", sign=Sign.WAITING)
    # The states are asked at every change: the highest of values with holes is not a number.
    has_holes = not np.isfinite(grids.elevation.values.max())
    words = "relief, cover" if not has_holes else "relief with holes"
    return StopState(stop=Stop.GROUND, words=words, sign=Sign.DONE)


def _marks(place: Property | None) -> StopState:
    """Return how far the marks are."""
    beds = len(list(place.of_kind(MarkKind.BED))) if place is not None else 0
    foods = len(list(place.of_kind(MarkKind.FOOD))) if place is not None else 0
    if beds and foods:
        words = f"{said_count(beds, 'bed')}, {foods} food"
        return StopState(stop=Stop.MARKS, words=words, sign=Sign.DONE)
    if not beds and not foods:
        return StopState(stop=Stop.MARKS, words="nothing yet", sign=Sign.NOT_YET)
    words = "needs a food" if beds else "needs a bed"
    return StopState(stop=Stop.MARKS, words=words, sign=Sign.WAITING)


def _trips(
    place: Property | None,
    grids: Grids | None,
    findings: Findings | None,
    is_up_to_date: bool,
    n_pairs: int | None,
) -> StopState:
    """Return how far the trips are."""
    if n_pairs is not None and not is_up_to_date:
        return StopState(stop=Stop.TRIPS, words=said_count(n_pairs, "pair"), sign=Sign.DONE)
    if findings is not None and findings.pairs:
        words = said_count(len(findings.pairs), "pair")
        sign = Sign.DONE if is_up_to_date else Sign.WAITING
        return StopState(
            stop=Stop.TRIPS, words=words if is_up_to_date else "out of date", sign=sign
        )
    is_ready = grids is not None and _marks(place).sign is Sign.DONE
    return StopState(
        stop=Stop.TRIPS,
        words="ready to run" if is_ready else "not yet",
        sign=Sign.WAITING if is_ready else Sign.NOT_YET,
    )


def _spots(place: Property | None, findings: Findings | None, is_up_to_date: bool) -> StopState:
    """Return how far the spots are."""
    if findings is None or place is None:
        return StopState(stop=Stop.SPOTS, words="not yet", sign=Sign.NOT_YET)
    taken = sum(pick.is_taken for pick in place.picks)
    found = len(findings.clusters)
    words = f"{taken} of {found} picked" if taken else f"{found} found"
    if not is_up_to_date:
        words = "out of date"
    sign = Sign.DONE if taken and is_up_to_date else Sign.WAITING
    return StopState(stop=Stop.SPOTS, words=words, sign=sign)


def _take_along(place: Property | None, findings: Findings | None) -> StopState:
    """Return how far taking along is."""
    taken = sum(pick.is_taken for pick in place.picks) if place is not None else 0
    if findings is None or not taken:
        return StopState(stop=Stop.TAKE_ALONG, words="nothing yet", sign=Sign.NOT_YET)
    return StopState(
        stop=Stop.TAKE_ALONG, words=f"{said_count(taken, 'spot')} ready", sign=Sign.WAITING
    )


def _later(place: Property | None, findings: Findings | None) -> StopState:
    """Return what there is of stands and the season."""
    stands = sum(one.is_taken for one in place.stands) if place is not None else 0
    has_season = place is not None and bool(place.peak_breeding)
    if stands or has_season:
        parts = (said_count(stands, "stand") if stands else "", "season" if has_season else "")
        words = ", ".join(part for part in parts if part)
        return StopState(stop=Stop.LATER, words=words, sign=Sign.DONE)
    has_spots = place is not None and any(pick.is_taken for pick in place.picks)
    if findings is not None and has_spots:
        return StopState(stop=Stop.LATER, words="stands to choose", sign=Sign.WAITING)
    return StopState(stop=Stop.LATER, words="stands, season", sign=Sign.NOT_YET)


def profile(grids: Grids | None, n: int = 240) -> FloatArray:
    """Return the property's west–east profile through its highest ground, 0 to 1; flat without.

    Parameters
    ----------
    grids : Grids, optional
        The grids of the property.
    n : int
        Number of points.
    """
    if grids is None:
        return np.zeros(n)
    values = grids.elevation.values
    # Grids of three feet have millions of values; the window must not wait for all of them.
    step = max(max(values.shape) // (2 * n), 1)
    heights = np.asarray(values[::step, ::step], dtype=np.float64)
    if not np.isfinite(heights).any():
        return np.zeros(n)
    row = int(np.unravel_index(np.nanargmax(heights), heights.shape)[0])
    line = heights[row]
    known = np.isfinite(line)
    xs = np.linspace(0, len(line) - 1, n)
    line = np.interp(xs, np.flatnonzero(known), line[known])
    smooth = np.convolve(np.pad(line, 6, mode="edge"), np.ones(13) / 13, mode="valid")
    span = smooth.max() - smooth.min()
    return np.asarray((smooth - smooth.min()) / span if span > 0 else np.zeros(n))
