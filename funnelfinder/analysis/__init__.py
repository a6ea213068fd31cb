"""One full run, from a property and its grids to its findings."""

from funnelfinder.analysis.by_phase import PhaseOfDay, phase_of_day, place_for_phase
from funnelfinder.analysis.findings import Dependence, Findings, Pair, Stage
from funnelfinder.analysis.run import run, run_fingerprint
from funnelfinder.analysis.tending import Tally, judge, tally
from funnelfinder.analysis.walking import Walked, walk
from funnelfinder.analysis.watching import Watched, sun_clock, watched
from funnelfinder.analysis.workings import Workings
from funnelfinder.travel_network import Route

__all__ = [
    "Dependence",
    "Findings",
    "Pair",
    "PhaseOfDay",
    "Route",
    "Stage",
    "Tally",
    "Walked",
    "Watched",
    "Workings",
    "judge",
    "phase_of_day",
    "place_for_phase",
    "run",
    "run_fingerprint",
    "sun_clock",
    "tally",
    "walk",
    "watched",
]
