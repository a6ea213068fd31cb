"""Points: the end of a spur, where its crest runs out above level ground.

Worked on cells of 5 m smoothed over 8 m; crests are the drainage of the ground upside down.
"""

from __future__ import annotations

from typing import Final

import numpy as np
import shapely
from shapely.ops import substring

from funnelfinder.detectors.lines import CutLine, cut_lines
from funnelfinder.detectors.relief import Relief, rays_m, relief_of, unit
from funnelfinder.features import Detector, Feature
from funnelfinder.grid import Grid
from funnelfinder.ground import Ground
from funnelfinder.kernels import AnyArray, FloatArray
from funnelfinder.marks import Property
from funnelfinder.terrain import Form, geomorphons
from funnelfinder.units import YARD_M, said_height, said_length

#: Cells and smoothing (judgement) [m].
CELL_M: Final = 5.0
SIGMA_M: Final = 8.0
#: A crest begins where this area of the ground upside down drains through it (judgement) [m²].
LEAST_AREA_M2: Final = 1_500.0
#: Both sides lie this far below the crest, this far across (judgement) [m].
SIDE_M: Final = 50.0
LEAST_DROP_M: Final = 3.5
#: The crest is followed over this length, and falls this much over it (judgement) [m].
LENGTH_M: Final = 100 * YARD_M
LEAST_FALL_M: Final = 6.0
#: Lines of sight for the ground's forms (judgement) [m, deg].
SEARCH_M: Final = 100.0
FLAT_DEG: Final = 3.0
#: Level ground or a footslope lies within this distance ahead of the end (judgement) [m].
AHEAD_M: Final = 120.0
#: This much of the crest above its end is the feature (judgement) [m].
TIP_M: Final = 40.0

FOOT_FORMS: Final = (Form.FLAT, Form.FOOTSLOPE, Form.VALLEY, Form.PIT)


def find(ground: Ground, place: Property) -> list[Feature]:
    """Return the ends of spurs of a ground; the place's marks are not needed."""
    del place
    relief = relief_of(ground, cell_m=CELL_M, sigma_m=SIGMA_M)
    crests = cut_lines(
        Relief(grid=relief.grid, heights_m=-relief.heights_m),
        least_area_m2=LEAST_AREA_M2,
        side_m=SIDE_M,
        least_depth_m=LEAST_DROP_M,
        length_m=LENGTH_M,
    )
    forms = geomorphons(relief.heights_m, relief.grid.cell_m, search_m=SEARCH_M, flat_deg=FLAT_DEG)
    found = (_feature(relief, forms, crest) for crest in crests)
    return [feature for feature in found if feature is not None]


def _feature(relief: Relief, forms: AnyArray, crest: CutLine) -> Feature | None:
    """Return the end of a crest, or nothing where it does not run out above level ground."""
    end = crest.points_m[0]
    whole = shapely.LineString(crest.points_m)
    top = np.asarray(whole.interpolate(LENGTH_M).coords[0])
    levels = relief.heights_at(np.stack([end, top]))
    outward = unit((end - top)[None, :])
    steps = np.arange(0.0, AHEAD_M + 1.0, relief.grid.cell_m)
    ahead = rays_m(relief, end[None, :], outward, steps)[0]
    is_foot = _are_feet(relief.grid, forms, end + steps[:, None] * outward)
    if not is_foot.any() or not levels[1] - levels[0] >= LEAST_FALL_M:
        return None
    fall_m, foot_m = float(levels[1] - levels[0]), float(ahead[int(is_foot.argmax())])
    if not foot_m <= levels[0] or not _goes_on(relief, whole, float(levels[1])):
        return None
    return Feature(
        kind="point",
        geometry=substring(whole, 0.0, TIP_M),
        sizes={"fall_m": fall_m, "length_m": LENGTH_M, "above_foot_m": float(levels[1] - foot_m)},
        words=f"A spur ends in a point here; its crest falls {said_height(fall_m)} over the last "
        f"{said_length(LENGTH_M)}.",
    )


def _goes_on(relief: Relief, crest: shapely.LineString, top_m: float) -> bool:
    """Return whether the crest stays up beyond its last part, as on no round hill."""
    farther = shapely.line_interpolate_point(crest, np.linspace(LENGTH_M, 2 * LENGTH_M, 10))
    heights = relief.heights_at(shapely.get_coordinates(farther))
    return not bool((heights < top_m - LEAST_FALL_M).any())


def _are_feet(grid: Grid, forms: AnyArray, points_m: FloatArray) -> AnyArray:
    """Return which points lie on level ground, footslopes or valley floors."""
    rows, cols = grid.nearest_cells(points_m)
    return np.isin(forms[rows, cols], FOOT_FORMS)


POINT: Final = Detector(
    name="point",
    words="The end of a spur, where its crest runs out above level ground.",
    source="common practice, no source; forms after Jasiewicz & Stepinski 2013",
    find=find,
)
