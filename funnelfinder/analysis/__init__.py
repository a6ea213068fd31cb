"""One full run, from a property and its grids to its findings."""

from funnelfinder.analysis.findings import Dependence, Findings, Pair, Route, Stage
from funnelfinder.analysis.run import run, run_fingerprint
from funnelfinder.analysis.workings import Workings

__all__ = [
    "Dependence",
    "Findings",
    "Pair",
    "Route",
    "Stage",
    "Workings",
    "run",
    "run_fingerprint",
]
