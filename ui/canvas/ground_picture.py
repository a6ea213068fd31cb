"""The ground as pictures: relief under cover, slope, contours; made in a thread."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
import shapely
from PyQt5.QtCore import QPointF, QRectF
from PyQt5.QtGui import QImage, QPolygonF

from funnelfinder import shading
from funnelfinder.grid import Grid
from funnelfinder.ground import Grids, block_mean
from funnelfinder.kernels import AnyArray, FloatArray
from funnelfinder.land_cover import CoverTable
from funnelfinder.progress import Progress
from funnelfinder.terrain import slope_deg

from ..remembered import Layer
from .pyramid import image_of, pyramid_of

#: More cells than this are averaged first: no screen shows more [cells].
_MOST_CELLS: Final = 6_000_000
#: Contours are drawn from cells of at least this side [m].
_CONTOUR_CELL_M: Final = 4.0
#: Corners of contours that change a line by less are left out [m].
_CONTOUR_TOLERANCE_M: Final = 0.8
_INTERVALS_FT: Final = (20, 10)
#: Slopes from which ground is hatched darker when slope is shown [deg].
_SLOPE_STEPS_DEG: Final = (5.0, 10.0, 15.0, 20.0, 25.0, 30.0, 40.0)


@dataclass(frozen=True, kw_only=True)
class Contour:
    """One line on the scene, and where it lies."""

    line: QPolygonF
    box: QRectF
    is_fifth: bool


@dataclass(frozen=True, kw_only=True)
class GroundPicture:
    """What the map shows of the grids; scene units are metres from (x0_m, y0_m), y down.

    ``light`` is the relief's light on the cells of ``grid``; contours are by interval [ft].
    """

    grid: Grid
    light: FloatArray
    slope_deg: FloatArray
    levels: tuple[QImage, ...]
    contours: dict[int, tuple[Contour, ...]]


@dataclass(frozen=True, kw_only=True)
class GroundForms:
    """What does not change with what is shown: light, slope, woods and open ground."""

    grid: Grid
    elevation_m: FloatArray
    light: FloatArray
    slope_deg: FloatArray
    woods: FloatArray
    open_ground: FloatArray


def ground_forms(grids: Grids, table: CoverTable, progress: Progress) -> GroundForms:
    """Return the forms of the ground on cells that a screen can show."""
    raster = grids.elevation
    n = 1
    while raster.grid.n_cells / (n * n) > _MOST_CELLS:
        n += 1
    elevation = block_mean(raster.values, n)
    grid = Grid(
        epsg=raster.grid.epsg,
        west_m=raster.grid.west_m,
        north_m=raster.grid.north_m,
        cell_m=raster.grid.cell_m * n,
        n_rows=elevation.shape[0],
        n_cols=elevation.shape[1],
    )
    progress.step(0.1, "Looking at the cover")
    codes = _at_cells(grids.cover.grid, grids.cover.values, grid)
    smooth = max(grids.cover.grid.cell_m / grid.cell_m / 2, 0.5)
    woods = shading.soft_mask(table.is_kind(codes, "woody"), smooth_cells=smooth)
    open_ground = shading.soft_mask(table.is_kind(codes, "open"), smooth_cells=smooth)
    progress.step(0.3, "Lighting the relief")
    light = shading.relief_light(elevation, grid.cell_m, woods=woods)
    progress.step(0.7, "Measuring slope")
    return GroundForms(
        grid=grid,
        elevation_m=elevation,
        light=light,
        slope_deg=slope_deg(elevation, grid.cell_m),
        woods=woods,
        open_ground=open_ground,
    )


def ground_colours(forms: GroundForms, layers: dict[str, Layer]) -> AnyArray:
    """Return the ground in colour, (rows, cols, 3) uint8, as its layers are shown."""
    relief, cover, slope = layers["relief"], layers["cover"], layers["slope"]
    darker = 0.25 if not layers["passage"].is_shown else 0.0
    strength = relief.strength if relief.is_shown else 0.0
    light = shading.LEVEL_LIGHT + (forms.light - shading.LEVEL_LIGHT) * strength
    share = cover.strength if cover.is_shown else 0.0
    tint = shading.cover_tint(forms.woods * share, forms.open_ground * share)
    colours = shading.relief_rgb(light, tint, darker=darker)
    if slope.is_shown:
        steps = np.searchsorted(_SLOPE_STEPS_DEG, np.nan_to_num(forms.slope_deg))
        shade = 1.0 - slope.strength * 0.6 * steps / len(_SLOPE_STEPS_DEG)
        colours = np.asarray(np.rint(colours * shade[..., None]), dtype=np.uint8)
    return colours


def contour_lines(forms: GroundForms, x0_m: float, y0_m: float) -> dict[int, tuple[Contour, ...]]:
    """Return the contour lines by interval [ft] on the scene."""
    n = max(round(_CONTOUR_CELL_M / forms.grid.cell_m), 1)
    height = block_mean(forms.elevation_m, n)
    grid = Grid(
        epsg=forms.grid.epsg,
        west_m=forms.grid.west_m,
        north_m=forms.grid.north_m,
        cell_m=forms.grid.cell_m * n,
        n_rows=height.shape[0],
        n_cols=height.shape[1],
    )
    return {
        interval: tuple(
            _contour(line.points_m, line.is_fifth, x0_m, y0_m)
            for line in shading.contours(height, grid, interval_ft=interval)
        )
        for interval in _INTERVALS_FT
    }


def ground_picture(
    forms: GroundForms, layers: dict[str, Layer], x0_m: float, y0_m: float, progress: Progress
) -> GroundPicture:
    """Return all that the map shows of the grids."""
    progress.step(0.1, "Colouring the ground")
    levels = pyramid_of(image_of(ground_colours(forms, layers)))
    progress.step(0.6, "Drawing contours")
    return GroundPicture(
        grid=forms.grid,
        light=forms.light,
        slope_deg=forms.slope_deg,
        levels=levels,
        contours=contour_lines(forms, x0_m, y0_m),
    )


def passage_colours(
    of_100: AnyArray, grid: Grid, forms: GroundForms | None, strength: float
) -> AnyArray:
    """Return passage as red, green, blue, opacity (uint8), the relief's light in the colour."""
    rgba = np.array(shading.passage_rgba(of_100))
    rgba[..., 3] = np.rint(rgba[..., 3] * strength)
    if forms is not None:
        light = _at_cells(forms.grid, forms.light, grid)
        through = 1.0 + 0.2 * (light - shading.LEVEL_LIGHT)
        rgba[..., :3] = np.clip(np.rint(rgba[..., :3] * through[..., None]), 0, 255)
    return rgba


def _at_cells(source: Grid, values: AnyArray, grid: Grid) -> AnyArray:
    """Return values at the cells of another grid, by nearest cell."""
    if source == grid:
        return values
    y = grid.north_m - (np.arange(grid.n_rows) + 0.5) * grid.cell_m
    x = grid.west_m + (np.arange(grid.n_cols) + 0.5) * grid.cell_m
    rows = np.clip((source.north_m - y) / source.cell_m, 0, source.n_rows - 1).astype(int)
    cols = np.clip((x - source.west_m) / source.cell_m, 0, source.n_cols - 1).astype(int)
    return np.asarray(values[np.ix_(rows, cols)])


def _contour(points_m: FloatArray, is_fifth: bool, x0_m: float, y0_m: float) -> Contour:
    """Return a contour on the scene, with the corners that matter."""
    kept = shapely.get_coordinates(
        shapely.LineString(points_m).simplify(_CONTOUR_TOLERANCE_M, preserve_topology=False)
    )
    line = QPolygonF([QPointF(x - x0_m, y0_m - y) for x, y in kept])
    return Contour(line=line, box=line.boundingRect(), is_fifth=is_fifth)
