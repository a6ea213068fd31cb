"""Relief: light on the ground from several sides, tinted by woods and open ground."""

from __future__ import annotations

from typing import Final

import numpy as np
from scipy import ndimage

from funnelfinder.kernels import AnyArray, FloatArray
from funnelfinder.shading.colours import (
    DEEP,
    LEVEL,
    LEVEL_WOODS,
    LIT,
    OPEN_TINT,
    SHADE,
    WOODS_TINT,
    rgb,
)
from funnelfinder.terrain import gradient

#: Light of level ground.
LEVEL_LIGHT: Final = 0.6
#: Where each light stands [deg clockwise from north] and its weight (judgement). Light from the
#: north-west is the custom of printed maps (E. Imhof, Cartographic Relief Presentation, 1982).
_LIGHTS: Final = ((315.0, 0.6), (275.0, 0.2), (355.0, 0.2))
_LIGHT_HEIGHT_DEG: Final = 45.0
#: How many times heights are drawn out (judgement).
_STEEPENED: Final = 1.7
#: The broad light falls on terrain smoothed over this length [m]; its weight (judgement).
_BROAD_M: Final = 30.0
_BROAD_WEIGHT: Final = 0.35
#: Woods are lifted by this so that their edges cast a fine shadow (judgement) [m].
_BLANKET_M: Final = 2.0
#: Room between level and the brightest and the deepest light (judgement).
_ROOM_ABOVE: Final = 0.4
_ROOM_BELOW: Final = 0.58
_STOPS: Final = (0.0, 0.3, LEVEL_LIGHT, 1.0)


def relief_light(
    elevation_m: AnyArray, cell_m: float, *, woods: AnyArray | None = None
) -> FloatArray:
    """Return how much light the ground gets.

    Parameters
    ----------
    elevation_m : (rows, cols) float
        Heights, row 0 in the north [m]; holes (NaN) count as level.
    cell_m : float
        Side of a cell [m].
    woods : (rows, cols) bool or float, optional
        Where woods stand, 0 to 1; they lie on the ground as a blanket of 2 m.

    Returns
    -------
    (rows, cols) float64
        0 (never reached) to 1 (never reached), 0.6 on level ground; highlights are rolled off.

    Examples
    --------
    >>> float(relief_light(np.zeros((3, 3)), 1.0)[1, 1].round(6))
    0.6
    """
    height = _filled(elevation_m)
    blanket = height if woods is None else height + _BLANKET_M * np.asarray(woods, dtype=np.float64)
    broad = ndimage.gaussian_filter(height, _BROAD_M / cell_m, mode="nearest", truncate=3.0)
    fine_light, broad_light = _lit(blanket, cell_m), _lit(broad, cell_m)
    relative = (1.0 - _BROAD_WEIGHT) * fine_light + _BROAD_WEIGHT * broad_light - 1.0
    bright = LEVEL_LIGHT + _ROOM_ABOVE * -np.expm1(-relative.clip(0.0) * LEVEL_LIGHT / _ROOM_ABOVE)
    dark = LEVEL_LIGHT + _ROOM_BELOW * np.expm1(
        relative.clip(None, 0.0) * LEVEL_LIGHT / _ROOM_BELOW
    )
    return np.asarray(np.where(relative > 0.0, bright, dark))


def _filled(elevation_m: AnyArray) -> FloatArray:
    """Return heights with each hole at the height of the nearest known cell."""
    height = np.asarray(elevation_m, dtype=np.float64)
    holes = ~np.isfinite(height)
    if not holes.any():
        return height
    if holes.all():
        return np.zeros(height.shape)
    nearest = ndimage.distance_transform_edt(holes, return_distances=False, return_indices=True)
    return np.asarray(height[tuple(nearest)])


def _lit(height_m: FloatArray, cell_m: float) -> FloatArray:
    """Return the light of all lamps on matt ground, relative to level ground (Lambert's law)."""
    east, north = gradient(np.pad(height_m, 1, mode="edge"), cell_m)
    east, north = _STEEPENED * east[1:-1, 1:-1], _STEEPENED * north[1:-1, 1:-1]
    steep = 1.0 / np.tan(np.radians(_LIGHT_HEIGHT_DEG))
    total = np.zeros(height_m.shape)
    for bearing_deg, weight in _LIGHTS:
        toward = np.radians(bearing_deg)
        facing = 1.0 - steep * (east * np.sin(toward) + north * np.cos(toward))
        total += weight * facing.clip(0.0)
    return np.asarray(total / np.sqrt(1.0 + east**2 + north**2))


def soft_mask(mask: AnyArray, *, smooth_cells: float) -> FloatArray:
    """Return a mask as 0 to 1 with its corners rounded over a few cells."""
    return np.asarray(
        ndimage.gaussian_filter(np.asarray(mask, dtype=np.float64), smooth_cells, mode="nearest")
    )


def cover_tint(woods: AnyArray, open_ground: AnyArray) -> FloatArray:
    """Return the tint of the cover; what is neither woods nor open lies half way between.

    Parameters
    ----------
    woods, open_ground : (rows, cols) bool or float
        How much of each cell is woods and open ground, 0 to 1.

    Returns
    -------
    (rows, cols, 3) float64
        Factors for `relief_rgb`.
    """
    # Scaled so that level ground in the woods comes out as LEVEL_WOODS.
    scale = np.array(rgb(LEVEL_WOODS)) / (np.array(rgb(LEVEL)) * np.array(rgb(WOODS_TINT)))
    w = np.asarray(woods, dtype=np.float64)[..., None]
    o = np.minimum(np.asarray(open_ground, dtype=np.float64)[..., None], 1.0 - w)
    half = (np.array(rgb(WOODS_TINT)) + np.array(rgb(OPEN_TINT))) / 2.0
    tint = w * np.array(rgb(WOODS_TINT)) + o * np.array(rgb(OPEN_TINT)) + (1.0 - w - o) * half
    return np.asarray(tint * scale)


def relief_rgb(light: AnyArray, tint: AnyArray, *, darker: float = 0.0) -> AnyArray:
    """Return the relief in colour.

    Parameters
    ----------
    light : (rows, cols) float
        From `relief_light`.
    tint : (rows, cols, 3) float
        From `cover_tint`.
    darker : float
        How much stronger its shades are, 0 to 0.25, for a map without passage.

    Returns
    -------
    (rows, cols, 3) uint8
    """
    colours = np.array([rgb(colour) for colour in (DEEP, SHADE, LEVEL, LIT)], dtype=np.float64)
    level = LEVEL_LIGHT + (np.asarray(light) - LEVEL_LIGHT) * (1.0 + darker)
    grey = np.stack([np.interp(level, _STOPS, colours[:, i]) for i in range(3)], axis=-1)
    return np.asarray(np.clip(np.rint(grey * tint), 0.0, 255.0).astype(np.uint8))
