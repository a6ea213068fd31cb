"""From a property and its grids to its ground."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import shapely

from funnelfinder.barriers import barriers_of
from funnelfinder.errors import MarkError
from funnelfinder.grid import Grid, frozen
from funnelfinder.ground.arrays import COARSE_ELEVATION_M, Grids, Ground, Patch
from funnelfinder.ground.extent import travel_grid
from funnelfinder.ground.kept import majority_on, mean_on
from funnelfinder.ground.masks import (
    cells_of,
    distance_m,
    union_cells,
    wide_parts,
)
from funnelfinder.kernels import AnyArray, BoolArray, FloatArray
from funnelfinder.marks import WOODS_FOOD, Mark, MarkKind, Property
from funnelfinder.terrain import slope_deg
from funnelfinder.units import said_length


def without_walkers(place: Property) -> Property:
    """Return the property without the marks that change no cell: beds, and food in the woods."""
    kept = (mark for mark in place.marks if not _walks(mark))
    return replace(place, marks=tuple(kept))


def _walks(mark: Mark) -> bool:
    """Return whether a mark only says where trips begin or end, and leaves the cover as it is."""
    is_woods_food = mark.kind is MarkKind.FOOD and mark.crop.lower() in WOODS_FOOD
    return mark.kind is MarkKind.BED or is_woods_food


def with_walkers(ground: Ground, place: Property) -> Ground:
    """Return the ground with the beds and foods of a property, everything else as it was.

    Raises
    ------
    MarkError
        If a bed or food source lies wholly on removed ground.
    """
    beds, bed_notes = _patches(place, MarkKind.BED, ground.grid, ground.is_removed)
    foods, food_notes = _patches(place, MarkKind.FOOD, ground.grid, ground.is_removed)
    notes = dict.fromkeys((*ground.notes, *bed_notes, *food_notes))
    return replace(ground, beds=beds, foods=foods, notes=tuple(notes))


def prepare_ground(place: Property, grids: Grids) -> Ground:
    """Return the ground of a property on its travel grid.

    Parameters
    ----------
    place : Property
        Boundary, marks and settings.
    grids : Grids
        Elevation on cells that divide the travel cells, land cover on any grid over them.

    Raises
    ------
    GridError
        If a grid does not lie on the property's cells.
    MarkError
        If a bed or food source lies wholly on removed ground or off the grid.
    """
    grid = travel_grid(place)
    notes = list(grids.notes)
    elevation = mean_on(grids.elevation, grid)
    table = place.cover_table
    cover = _repainted(place, majority_on(grids.cover, grid), grid)
    known = table.is_kind(cover, "known") & ~table.is_kind(cover, "hole")
    slope = slope_deg(elevation, grid.cell_m)
    water = wide_parts(
        table.is_kind(cover, "water") | union_cells(list(place.of_kind(MarkKind.WATER)), grid),
        grid.cell_m,
        place.settings.ground.water_across_m,
    )
    cliff = np.nan_to_num(slope) > place.settings.ground.cliff_deg
    removed = water | cliff | (~np.isfinite(elevation) & ~known)
    woody = table.is_kind(cover, "woody")
    built = table.is_kind(cover, "built")
    notes += _hole_notes(elevation, known, water | cliff)
    notes += _coarse_notes(grids.elevation.source_cell_m)
    beds, bed_notes = _patches(place, MarkKind.BED, grid, removed)
    foods, food_notes = _patches(place, MarkKind.FOOD, grid, removed)
    barriers, barrier_notes = barriers_of(place)
    houses = union_cells(list(place.of_kind(MarkKind.HOUSE)), grid)
    return Ground(
        grid=grid,
        fine_grid=grids.elevation.grid,
        elevation_m=frozen(elevation),
        fine_elevation_m=grids.elevation.values,
        slope_deg=frozen(slope),
        cover=frozen(cover),
        cover_table=table,
        cover_cell_m=grids.cover.source_cell_m,
        elevation_cell_m=grids.elevation.source_cell_m,
        is_inside=frozen(cells_of(place.boundary, grid)),
        is_removed=frozen(removed),
        is_water=frozen(water),
        is_woody=frozen(woody),
        is_open=frozen(table.is_kind(cover, "open")),
        to_woody_m=frozen(distance_m(woody, grid.cell_m)),
        to_house_m=frozen(distance_m(houses, grid.cell_m)),
        to_built_m=frozen(distance_m(built, grid.cell_m)),
        to_road_m=frozen(distance_m(_road_cells(place, grid), grid.cell_m)),
        is_kept_off=frozen(union_cells(list(place.of_kind(MarkKind.KEEP_OFF)), grid)),
        is_core=frozen(union_cells(list(place.of_kind(MarkKind.CORE)), grid)),
        beds=beds,
        foods=foods,
        barriers=barriers,
        boundary=place.boundary,
        notes=tuple(notes + bed_notes + food_notes + barrier_notes + _far_notes(place, grid)),
    )


def _road_cells(place: Property, grid: Grid) -> BoolArray:
    """Return the cells that marked roads touch."""
    return union_cells(list(place.of_kind(MarkKind.ROAD)), grid)


def _repainted(place: Property, cover: AnyArray, grid: Grid) -> AnyArray:
    """Return the cover after fields and cover marks repainted it, in the order drawn."""
    for mark in place.of_kind(MarkKind.FOOD, MarkKind.COVER):
        code = mark.cover_class
        if mark.kind is MarkKind.FOOD:
            code = None if mark.crop.lower() in WOODS_FOOD else place.cover_table.crop_code
        if code is not None:
            cover[cells_of(mark.geometry, grid)] = code
    return cover


def _hole_notes(elevation_m: FloatArray, known: BoolArray, removed: BoolArray) -> list[str]:
    """Return what is missing, as shares of the extent."""
    no_height = ~np.isfinite(elevation_m)
    rows = (
        (no_height & known, "the elevation is missing; it counts as level ground there"),
        (~known & ~no_height, "the land cover is missing; it counts as plain ground there"),
        (no_height & ~known, "both grids are missing; trips keep out of there"),
    )
    return [
        f"{_percent(mask.mean())} of {words}." for mask, words in rows if (mask & ~removed).any()
    ]


def _coarse_notes(cell_m: float) -> list[str]:
    """Return what cells as coarse as these do not show."""
    if cell_m <= COARSE_ELEVATION_M:
        return []
    return [f"Elevation every {said_length(cell_m)} shows no benches, so none are looked for."]


def _percent(share: float) -> str:
    """Return a share in per cent, never rounded down to none."""
    return f"{100 * share:.0f} %" if share >= 0.005 else "Less than 1 %"


def _patches(
    place: Property, kind: MarkKind, grid: Grid, removed: BoolArray
) -> tuple[tuple[Patch, ...], list[str]]:
    """Return the beds or foods on their kept cells, with notes."""
    patches: list[Patch] = []
    notes: list[str] = []
    for mark in place.of_kind(kind):
        mask = cells_of(mark.geometry, grid)
        if not mask.any():
            notes.append(f"{mark.label} lies outside the modelled ground and is left out.")
            continue
        kept = mask & ~removed
        if not kept.any():
            raise MarkError(
                "It lies wholly on water, cliffs or ground without grids.",
                where=f"{kind.value} {mark.label}",
                remedy="Move it to where deer can stand.",
            )
        if kept.sum() < mask.sum():
            share = 1 - kept.sum() / mask.sum()
            notes.append(f"{_percent(share)} of {mark.label} lies on water, cliffs or no grids.")
        patches.append(Patch(mark=mark, cells=frozen(np.flatnonzero(kept).astype(np.int64))))
    return tuple(patches), notes


def _far_notes(place: Property, grid: Grid) -> list[str]:
    """Return which marks, beds and food aside, lie outside the extent and so change nothing."""
    extent = shapely.box(*grid.bounds_m)
    return [
        f"{mark.label} lies outside the modelled ground and is left out."
        for mark in place.marks
        if mark.kind not in (MarkKind.BED, MarkKind.FOOD) and not extent.intersects(mark.geometry)
    ]
