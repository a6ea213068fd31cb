"""The ground as a picture: relief, cover, water and passage on the dots of the frame."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from scipy import ndimage

from funnelfinder.analysis.findings import Findings
from funnelfinder.grid import Grid
from funnelfinder.ground import Grids, Raster, cells_of
from funnelfinder.kernels import AnyArray, BoolArray, FloatArray
from funnelfinder.marks import WOODS_FOOD, MarkKind, Property
from funnelfinder.shading import (
    LEVEL_LIGHT,
    PAPER,
    WATER,
    blend,
    contour_interval_ft,
    cover_tint,
    passage_of_100,
    passage_rgba,
    relief_light,
    relief_rgb,
    rgb,
    soft_mask,
)

#: Edges of cover are rounded over this many cells of the grid (judgement).
_ROUNDED_CELLS: Final = 0.6
#: How much darker the relief is drawn where no passage lies on it.
_DARKER: Final = 0.25


@dataclass(frozen=True, kw_only=True)
class GroundImage:
    """The picture, (rows, cols, 3) uint8, on ``dots``, with what lines are drawn from.

    ``elevation_m`` is NaN where nothing is known; ``water`` is 0 to 1; ``of_100`` is passage, NaN
    where nothing was solved, or None; ``contour_ft`` is the height between contour lines,
    ``credits`` what must be told with them.
    """

    dots: Grid
    colours: AnyArray
    elevation_m: FloatArray
    water: FloatArray
    of_100: AnyArray | None
    contour_ft: int
    credits: tuple[str, ...] = ()


def ground_image(
    place: Property,
    grids: Grids,
    findings: Findings | None,
    dots: Grid,
    *,
    metres_per_point: float,
) -> GroundImage:
    """Return the picture of the ground on dots of the frame."""
    elevation = _heights(grids.elevation, dots)
    woods, open_ground, water = _cover(place, grids, dots)
    light = relief_light(elevation, dots.cell_m, woods=woods)
    darker = _DARKER if findings is None else 0.0
    colours = relief_rgb(light, cover_tint(woods, open_ground), darker=darker)
    of_100 = None
    if findings is not None:
        of_100 = passage_of_100(
            _sampled(findings.passage, findings.grid, dots, order=1),
            place.settings.scrapes.reach_m,
        )
        colours = blend(colours, passage_rgba(of_100), light)
    colours = _with_water(colours, water, light)
    known = np.isfinite(elevation)
    colours = np.where(known[..., None], colours, np.array(rgb(PAPER))).astype(np.uint8)
    return GroundImage(
        dots=dots,
        colours=colours,
        elevation_m=elevation,
        water=water,
        of_100=of_100,
        contour_ft=contour_interval_ft(elevation, dots.cell_m, metres_per_point),
        credits=grids.credits,
    )


def _with_water(colours: AnyArray, water: FloatArray, light: FloatArray) -> AnyArray:
    """Return the picture with water laid over it, a little of the light left."""
    blue = np.array(rgb(WATER)) * (1.0 + 0.15 * (light[..., None] - LEVEL_LIGHT))
    mixed = colours * (1.0 - water[..., None]) + water[..., None] * blue
    return np.clip(np.rint(mixed), 0, 255).astype(np.uint8)


def _heights(raster: Raster, dots: Grid) -> FloatArray:
    """Return heights on the dots, smooth where the grid is coarser than they are."""
    values = np.asarray(raster.values, dtype=np.float64)
    if raster.grid.cell_m < dots.cell_m:
        blur = 0.45 * dots.cell_m / raster.grid.cell_m
        known = np.isfinite(values)
        weight = ndimage.gaussian_filter(known.astype(np.float64), blur, mode="nearest")
        total = ndimage.gaussian_filter(np.where(known, values, 0.0), blur, mode="nearest")
        values = np.where(known, total / np.maximum(weight, 1e-12), np.nan)
    return _sampled(values, raster.grid, dots, order=3)


def _sampled(values: AnyArray, grid: Grid, dots: Grid, *, order: int) -> FloatArray:
    """Return values of a grid at the dots; NaN off the grid and in holes."""
    rows = (grid.north_m - (dots.north_m - (np.arange(dots.n_rows) + 0.5) * dots.cell_m)) / (
        grid.cell_m
    ) - 0.5
    cols = (dots.west_m + (np.arange(dots.n_cols) + 0.5) * dots.cell_m - grid.west_m) / (
        grid.cell_m
    ) - 0.5
    row0, row1 = _window(rows, grid.n_rows)
    col0, col1 = _window(cols, grid.n_cols)
    if row1 <= row0 or col1 <= col0:
        return np.full(dots.shape, np.nan)
    part = np.asarray(values[row0:row1, col0:col1], dtype=np.float64)
    holes = ~np.isfinite(part)
    at = np.meshgrid(rows - row0, cols - col0, indexing="ij")
    out = ndimage.map_coordinates(_filled(part, holes), at, order=order, mode="nearest")
    off_rows = (rows < -0.5) | (rows > grid.n_rows - 0.5)
    off_cols = (cols < -0.5) | (cols > grid.n_cols - 0.5)
    out[off_rows, :] = np.nan
    out[:, off_cols] = np.nan
    if holes.any():
        in_hole = ndimage.map_coordinates(holes.astype(np.float32), at, order=1, mode="nearest")
        out[in_hole > 0.5] = np.nan
    return np.asarray(out)


def _window(places: AnyArray, n: int) -> tuple[int, int]:
    """Return which cells are needed for places along one axis, with a few to spare."""
    return max(int(places.min()) - 8, 0), min(int(places.max()) + 9, n)


def _filled(values: FloatArray, holes: BoolArray) -> FloatArray:
    """Return values with each hole at the nearest known value."""
    if not holes.any():
        return values
    if holes.all():
        return np.zeros(values.shape)
    nearest = ndimage.distance_transform_edt(holes, return_distances=False, return_indices=True)
    return np.asarray(values[tuple(nearest)])


def _cover(place: Property, grids: Grids, dots: Grid) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Return how much of each dot is woods, open ground and water, marks included."""
    woods, open_ground, water = (
        _soft_cover(place, grids.cover, dots, kind) for kind in ("woody", "open", "water")
    )
    for mark in place.of_kind(MarkKind.FOOD, MarkKind.COVER, MarkKind.WATER):
        code = mark.cover_class
        if mark.kind is MarkKind.FOOD and mark.crop.lower() not in WOODS_FOOD:
            code = place.cover_table.crop_code
        if code is None and mark.kind is not MarkKind.WATER:
            continue
        inside = soft_mask(cells_of(mark.geometry, dots), smooth_cells=0.6)
        one = place.cover_table.by_code.get(code) if code is not None else None
        is_water = mark.kind is MarkKind.WATER or (one is not None and one.is_water)
        woods = _painted(woods, inside, is_on=one is not None and one.is_woody)
        open_ground = _painted(open_ground, inside, is_on=one is not None and one.is_open)
        water = _painted(water, inside, is_on=is_water)
    return woods, open_ground, water


def _painted(share: FloatArray, inside: FloatArray, *, is_on: bool) -> FloatArray:
    """Return a share with a mark painted over it."""
    return share * (1.0 - inside) + inside * float(is_on)


def _soft_cover(place: Property, cover: Raster, dots: Grid, kind: str) -> FloatArray:
    """Return the share of a kind of cover on the dots, its edges smooth instead of in steps."""
    mask = soft_mask(place.cover_table.is_kind(cover.values, kind), smooth_cells=_ROUNDED_CELLS)
    share = np.nan_to_num(_sampled(mask, cover.grid, dots, order=1), nan=0.0)
    sharper = max(1.0, 0.5 * cover.grid.cell_m / dots.cell_m)
    return np.asarray(np.clip((share - 0.5) * sharper + 0.5, 0.0, 1.0))
