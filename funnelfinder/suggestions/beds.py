"""Likely beds, by cover, place on the slope and aspect.

What published bed sites have in common is put together here with weights that nobody measured.

References
----------
.. [1] R. K. Lang & J. E. Gates, "Selection of sites for winter night beds by white-tailed deer in
   a hemlock-northern hardwood forest", Am. Midl. Nat. 113, 245-254, 1985: conifers straight above,
   open to the south-east (140 beds, western Maryland).
.. [2] S. Gallina et al., J. Arid Environ. 74, 373, 2010: shade and hiding cover in the heat.
.. [3] Penn State deer study, 2018: one mature male rested on the higher ground.
.. [4] Common practice, no source: upper third of a slope, 20 to 80 yards inside thick cover.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
import shapely
from scipy import ndimage

from funnelfinder.ground import Ground
from funnelfinder.kernels import AnyArray, BoolArray, FloatArray
from funnelfinder.marks import MarkKind
from funnelfinder.suggestions.suggestion import Suggestion, compass, distinct, largest_outline
from funnelfinder.terrain import aspect_deg, coarsened, position_index_m, smoothed
from funnelfinder.units import ACRE_M2, YARD_M, said_height, said_length

#: Beds lie at least this far inside cover, and seldom farther than that [m] (common practice, no
#: source: 20 to 80 yards).
LEAST_INSIDE_M: Final = 20.0 * YARD_M
USUAL_INSIDE_M: Final = 80.0 * YARD_M
#: Nothing rests on steeper ground [deg] (judgement).
MOST_SLOPE_DEG: Final = 25.0
#: On less there is no aspect to speak of [deg] (judgement).
_LEVEL_DEG: Final = 3.0
#: Ring that a place is compared with, and how far above it a high place stands [m] (judgement).
_RING_M: Final = (30.0, 150.0)
HIGH_M: Final = 1.0
#: Standard deviation that heights are smoothed by [m] (judgement).
_SMOOTHING_M: Final = 10.0
#: South-east to south, and north to north-east [deg].
_WINTER_DEG: Final = (112.5, 202.5)
_HEAT_DEG: Final = (337.5, 67.5)
#: Weights of what speaks for a bed (judgement), and how much must be there.
_HIGH, _WINTER, _HEAT, _CONIFER, _THICK = 1.0, 1.0, 0.5, 1.0, 0.5
LEAST_WEIGHT: Final = 1.5
#: Forest with conifers; shrubs and wooded wetlands: classes by legend. The world's 10 m cover does
#: not tell conifers from other trees.
_CONIFERS: Final = {"nlcd": (42, 43)}
_THICKETS: Final = {"nlcd": (52, 90), "worldcover": (20, 95)}
#: A bed's outline stays this near to its best cell, and beds this far apart [m] (judgement).
_RADIUS_M: Final = 45.0
_APART_M: Final = 150.0
_LEAST_M2: Final = 0.25 * ACRE_M2
_MOST_BEDS: Final = 12


@dataclass(frozen=True, kw_only=True)
class _Signs:
    """What speaks for a bed in each cell: masks and measures of the travel grid."""

    is_high: BoolArray
    is_winter: BoolArray
    is_heat: BoolArray
    is_conifer: BoolArray
    is_thick: BoolArray
    may_be: BoolArray
    cover: AnyArray
    names: dict[int, str]
    above_m: FloatArray
    aspect_deg: FloatArray
    inside_m: FloatArray

    @property
    def weight(self) -> FloatArray:
        """The sum of the weights; 0 where no bed may be."""
        total = (
            _HIGH * self.is_high
            + _WINTER * self.is_winter
            + _HEAT * self.is_heat
            + _CONIFER * self.is_conifer
            + _THICK * self.is_thick
        )
        return np.asarray(np.where(self.may_be, total, 0.0))


def likely_beds(ground: Ground) -> tuple[Suggestion, ...]:
    """Return places that may be beds, the likeliest first, at most a dozen.

    Parameters
    ----------
    ground : Ground
        Of the property.
    """
    signs = _signs(ground)
    left = signs.weight
    rank = np.where(left >= LEAST_WEIGHT, left + _finer(ground, signs), 0.0)
    found: list[Suggestion] = []
    while len(found) < _MOST_BEDS and rank.max() > 0:
        row, col = np.unravel_index(int(rank.argmax()), rank.shape)
        far = _far_m(ground, int(row), int(col))
        one = _bed(ground, signs, (left >= LEAST_WEIGHT) & (far <= _RADIUS_M), (int(row), int(col)))
        if one is not None:
            found.append(one)
        rank[far <= (_APART_M if one is not None else _RADIUS_M)] = 0.0
    return tuple(distinct(found))


def _finer(ground: Ground, signs: _Signs) -> FloatArray:
    """Return what decides among equal places: one's own ground, near the edge of cover, height."""
    above = np.clip(np.nan_to_num(signs.above_m), 0.0, 20.0) * 0.005
    return np.asarray(0.2 * ground.is_inside + 0.1 * (signs.inside_m <= USUAL_INSIDE_M) + above)


def _signs(ground: Ground) -> _Signs:
    """Return what speaks for beds."""
    cell = ground.grid.cell_m
    _, heights = coarsened(ground.grid, ground.elevation_m, cell)
    smooth = smoothed(heights, cell, _SMOOTHING_M)
    above = position_index_m(smooth, cell, inner_m=_RING_M[0], outer_m=_RING_M[1])
    aspect = aspect_deg(smooth, cell)
    inside = np.asarray(ndimage.distance_transform_edt(ground.is_woody)) * cell
    has_aspect = ground.slope_deg >= _LEVEL_DEG
    legend = ground.cover_table.legend
    return _Signs(
        is_high=above >= HIGH_M,
        is_winter=has_aspect & _between(aspect, _WINTER_DEG),
        is_heat=has_aspect & _between(aspect, _HEAT_DEG),
        is_conifer=np.isin(ground.cover, _CONIFERS.get(legend, ())),
        is_thick=np.isin(ground.cover, _THICKETS.get(legend, ())),
        may_be=(inside >= LEAST_INSIDE_M)
        & (ground.slope_deg <= MOST_SLOPE_DEG)
        & ~ground.is_removed
        & ~ground.is_kept_off,
        cover=ground.cover,
        names={code: one.name for code, one in ground.cover_table.by_code.items()},
        above_m=above,
        aspect_deg=aspect,
        inside_m=inside,
    )


def _between(bearing_deg: FloatArray, ends_deg: tuple[float, float]) -> BoolArray:
    """Return where bearings lie clockwise from the first end to the second; NaN does not."""
    low, high = ends_deg
    return np.asarray((bearing_deg - low) % 360.0 <= (high - low) % 360.0)


def _far_m(ground: Ground, row: int, col: int) -> FloatArray:
    """Return how far each cell is from one [m]."""
    rows, cols = np.ogrid[: ground.grid.n_rows, : ground.grid.n_cols]
    return np.asarray(np.hypot(rows - row, cols - col) * ground.grid.cell_m)


def _bed(
    ground: Ground, signs: _Signs, mask: BoolArray, best: tuple[int, int]
) -> Suggestion | None:
    """Return the bed around a best cell; None where it is too small."""
    labels, _ = ndimage.label(mask)
    outline = largest_outline(labels == labels[best], ground.grid)
    if outline is None or outline.area < _LEAST_M2 or not isinstance(outline, shapely.Polygon):
        return None
    return Suggestion(
        kind=MarkKind.BED, geometry=outline, name=_name(signs, best), why=_why(signs, best)
    )


def _name(signs: _Signs, best: tuple[int, int]) -> str:
    """Return a name by what speaks most plainly for a bed."""
    if _faces(signs, best):
        return f"{compass(float(signs.aspect_deg[best])).capitalize()} slope bed"
    if signs.is_thick[best]:
        return "Thicket bed"
    return "Evergreen bed" if signs.is_conifer[best] else "High bed"


def _faces(signs: _Signs, best: tuple[int, int]) -> bool:
    """Return whether the aspect is a reason."""
    return bool(signs.is_winter[best] or signs.is_heat[best])


def _why(signs: _Signs, best: tuple[int, int]) -> str:
    """Return what speaks for a bed, in one sentence with what was measured."""
    reasons = [f"{said_length(float(signs.inside_m[best]))} inside cover"]
    if signs.is_high[best]:
        above = said_height(float(signs.above_m[best]))
        reasons.append(f"{above} above the ground around it")
    facing = compass(float(signs.aspect_deg[best])) if _faces(signs, best) else ""
    if signs.is_winter[best]:
        reasons.append(f"facing {facing}, as winter beds do")
    if signs.is_heat[best]:
        reasons.append(f"facing {facing}, shaded in the heat")
    if signs.is_conifer[best] or signs.is_thick[best]:
        reasons.append(f"in {signs.names[int(signs.cover[best])]} by the land cover")
    return f"{', '.join(reasons)[0].upper()}{', '.join(reasons)[1:]}; a guess to check for sign."
