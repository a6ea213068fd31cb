"""From findings to what stands are judged on: the same trips as the run's, walked again."""

from __future__ import annotations

from datetime import date

import numpy as np

from funnelfinder.analysis.by_phase import place_for_phase
from funnelfinder.analysis.findings import Findings
from funnelfinder.analysis.travel import check_marks
from funnelfinder.analysis.weighing import laid_ground, weighed
from funnelfinder.analysis.workings import Workings
from funnelfinder.declination import lon_lat_deg
from funnelfinder.errors import GridError
from funnelfinder.ground import Grids
from funnelfinder.marks import Property
from funnelfinder.progress import QUIET, Progress
from funnelfinder.season import Phase
from funnelfinder.stands import StandBase, stand_base
from funnelfinder.sun import SunDay, sun_day, zone_of
from funnelfinder.trips import draw_trips


def property_day(place: Property, on: date) -> tuple[SunDay, str]:
    """Return the sun's times at a property, and a note where its clock had to be guessed.

    Raises
    ------
    SettingError
        If its time zone is unknown.
    InputError
        Where the sun does not rise and set that day.
    """
    middle = place.boundary.centroid
    lon, lat = lon_lat_deg(np.array([[middle.x, middle.y]]), place.epsg)[0]
    zone, note = zone_of(place.time_zone, float(lon))
    return sun_day(float(lat), float(lon), on, zone), note


def sitting_base(
    place: Property,
    grids: Grids | None,
    findings: Findings,
    day: SunDay,
    *,
    phase: Phase | None = None,
    workings: Workings | None = None,
    progress: Progress = QUIET,
) -> StandBase:
    """Return what stands are judged on; the trips are those of the run, in the day's phase.

    Parameters
    ----------
    place, grids
        The property as the person drew it.
    findings : Findings
        Its findings, for the seed and the routes.
    day : SunDay
        The sun's times.
    phase : Phase, optional
        The part of the season, from `phase_of_day`: food, trips from bed to bed, and times follow
        it.
    workings : Workings, optional
        What a run before kept: with it nothing is weighed again.
    progress : Progress
        Told how far it is.

    Raises
    ------
    GridError
        If the property has no grids.
    MarkError, NoWayError
        As for a run.
    """
    if grids is None:
        raise GridError("The property has no grids yet.", where=place.name)
    work = workings or Workings()
    place = place_for_phase(place, phase.value if phase else "")
    ground, key = laid_ground(place, grids, work, progress)
    check_marks(ground)
    scales = weighed(ground, key, place, work, progress)
    progress.step(0.8, "Walking the trips")
    pairs = work.pairs(
        scales.solver, scales.solver_key, ground.beds, ground.foods, scales.wanted.shares
    )
    drawn = draw_trips(pairs, place.settings.trips, seed=findings.seed)
    return stand_base(
        place, ground, pairs=pairs, drawn=drawn, routes=findings.routes, day=day, phase=phase
    )
