"""How much of the marked sign lies where the model sees most passage: a check, not an input."""

from __future__ import annotations

from typing import Final

import numpy as np
import shapely

from funnelfinder.analysis.findings import Findings
from funnelfinder.marks import SIGN_KINDS, Mark, Property

#: Share of the boundary's area that is compared with.
TOP_SHARE: Final = 0.2
#: Trails are looked at every so many metres.
_STEP_M: Final = 5.0


def sign_on_passage(place: Property, findings: Findings) -> tuple[int, float] | None:
    """Return how many signs lie inside the boundary and which share lies on the top fifth.

    Sign does not move the model. The top fifth is the fifth of the boundary's area that has the
    most passage; sign strewn evenly would lie on it 20 times of 100. A trail counts by its part.

    Returns
    -------
    (int, float) or None
        Number of signs, share of them [share]; None where no sign is marked inside.
    """
    passage = np.nan_to_num(np.asarray(findings.passage, dtype=np.float64))
    grid = findings.grid
    centres = grid.points_m(*np.indices(grid.shape))
    is_inside = shapely.contains_xy(place.boundary, *centres.T).reshape(grid.shape)
    if not is_inside.any():
        return None
    least = np.quantile(passage[is_inside], 1 - TOP_SHARE)
    shares = []
    for mark in place.of_kind(*SIGN_KINDS):
        points = _points_m(mark)
        points = points[shapely.contains_xy(place.boundary, *points.T)]
        if len(points):
            here = passage[grid.nearest_cells(points)]
            shares.append(float(((here >= least) & (here > 0)).mean()))
    return (len(shares), float(np.mean(shares))) if shares else None


def _points_m(mark: Mark) -> np.ndarray[tuple[int, int], np.dtype[np.float64]]:
    """Return the points of a mark, shape (n, 2), along its lines every few metres [m]."""
    return np.asarray(shapely.get_coordinates(shapely.segmentize(mark.geometry, _STEP_M)))
