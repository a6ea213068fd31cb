"""What stands are judged on: the ground, its trips, and how air drifts on it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from funnelfinder.daylight import Clock, Half, PassingMap, clock_of, passing_map
from funnelfinder.declination import leg, lon_lat_deg
from funnelfinder.defaults import Pressure, Settings
from funnelfinder.ground import Ground
from funnelfinder.kernels import BoolArray
from funnelfinder.marks import Mark, Property
from funnelfinder.season import Phase
from funnelfinder.sun import SunDay
from funnelfinder.travel_network import Route
from funnelfinder.trips import DrawnTrips, PairTrips
from funnelfinder.wind import Drift, Walks, drift_of, walks_of


@dataclass(frozen=True, kw_only=True)
class StandBase:
    """What stands are judged on.

    Parameters
    ----------
    ground : Ground
        The aligned arrays.
    settings : Settings
        Every number that the person may change.
    marks : tuple of Mark
        What the person marked.
    pairs : tuple of PairTrips
        Trips of every pair.
    drawn : DrawnTrips
        Single trips.
    walks : Walks
        The same with points close together.
    has_stepped_out : (n,) bool
        For each point of the walks: whether its trip has been in the open before or is there.
    passing_map : PassingMap
        Passage with the lengths walked: what crosses a place in legal light, or after an hour.
    routes : tuple of Route
        Least-cost paths and alternatives.
    drift : Drift
        How air drifts on slopes.
    day : SunDay
        The sun's times.
    phase : Phase or None
        The part of the season that trips and their times are those of; None where not known.
    lon_lat_deg : (float, float)
        The middle of the property [deg].
    grid_turn_deg : float
        True bearing of the map's north there [deg].
    """

    ground: Ground
    settings: Settings
    marks: tuple[Mark, ...]
    pairs: tuple[PairTrips, ...]
    drawn: DrawnTrips
    walks: Walks
    has_stepped_out: BoolArray
    passing_map: PassingMap
    routes: tuple[Route, ...]
    drift: Drift
    day: SunDay
    phase: Phase | None
    lon_lat_deg: tuple[float, float]
    grid_turn_deg: float

    def clock(self, half: Half, pressure: Pressure | None = None) -> Clock:
        """Return when trips pass, under the pressure of the settings or another."""
        under = pressure or self.settings.cost.pressure
        return clock_of(half, self.day, self.settings.daylight, under, phase=self.phase)


def stand_base(
    place: Property,
    ground: Ground,
    *,
    pairs: Sequence[PairTrips],
    drawn: DrawnTrips,
    routes: Sequence[Route],
    day: SunDay,
    phase: Phase | None = None,
) -> StandBase:
    """Return what stands are judged on.

    Parameters
    ----------
    place : Property
        Settings and marks.
    ground : Ground
        Its aligned arrays.
    pairs : sequence of PairTrips
        Trips of every pair.
    drawn : DrawnTrips
        Single trips.
    routes : sequence of Route
        Least-cost paths and alternatives.
    day : SunDay
        The sun's times.
    phase : Phase, optional
        The part of the season that the trips are those of.
    """
    middle = place.boundary.centroid
    walks = walks_of(drawn)
    lon, lat = lon_lat_deg(np.array([[middle.x, middle.y]]), place.epsg)[0]
    north = leg((middle.x, middle.y), (middle.x, middle.y + 100.0), place.epsg, day.on)
    return StandBase(
        ground=ground,
        settings=place.settings,
        marks=place.marks,
        pairs=tuple(pairs),
        drawn=drawn,
        walks=walks,
        has_stepped_out=_stepped_out(walks, ground),
        passing_map=passing_map(pairs, ground.is_open),
        routes=tuple(routes),
        drift=drift_of(ground, place.settings.wind),
        day=day,
        phase=phase,
        lon_lat_deg=(float(lon), float(lat)),
        grid_turn_deg=(north.true_deg + 180.0) % 360.0 - 180.0,
    )


def _stepped_out(walks: Walks, ground: Ground) -> BoolArray:
    """Return for each point whether its trip is or was in the open."""
    rows, cols = ground.grid.nearest_cells(walks.points_m)
    places = np.arange(len(rows))
    trip = np.repeat(np.arange(walks.first.size - 1), np.diff(walks.first))
    first_out = np.full(walks.first.size - 1, len(rows))
    is_open = ground.is_open[rows, cols]
    np.minimum.at(first_out, trip[is_open], places[is_open])
    return np.asarray(places >= first_out[trip])
