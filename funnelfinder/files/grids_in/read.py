"""From grid files to the elevation and land cover of one property."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Final

import numpy as np

from funnelfinder.errors import GridError
from funnelfinder.files.grids_in.codes import (
    HOLE,
    check_codes,
    chosen_table,
    codes_layer,
    known_codes,
    said_percent,
)
from funnelfinder.files.grids_in.grid_file import GridFile, looked_at
from funnelfinder.files.grids_in.height_units import height_unit_m
from funnelfinder.files.grids_in.heights import height_file, heights_layer
from funnelfinder.files.grids_in.mosaic import Laid, laid
from funnelfinder.files.grids_in.reach import check_reach
from funnelfinder.files.map_systems import datum_note
from funnelfinder.grid import Grid, frozen
from funnelfinder.ground import Grids, Raster, cells_of, fine_grid, travel_grid
from funnelfinder.kernels import BoolArray
from funnelfinder.land_cover import CoverTable
from funnelfinder.marks import Property
from funnelfinder.progress import QUIET, Part, Progress

#: Overlapping files whose heights differ by more than this get a note (judgement; the vertical
#: accuracy asked of 3DEP lidar is 0.1 m, of 1/3 arc-second grids about 1 m).
DIFFERENCE_M: Final = 1.0


def read_grids(
    place: Property,
    *,
    elevation: Sequence[Path],
    cover: Sequence[Path],
    legend: str | CoverTable | None = None,
    height_unit: str | None = None,
    progress: Progress = QUIET,
) -> tuple[Grids, CoverTable]:
    """Return the elevation and land cover of a property from files, and the cover table.

    Heights are averaged where cells become larger and interpolated (cubic) where they become
    smaller; classes are never interpolated: the commonest or the nearest is taken. Where files
    overlap, the earlier wins.

    Parameters
    ----------
    place : Property
        Boundary and settings, which choose the cells.
    elevation, cover : sequence of Path
        Grid files, in any map system and cell size; each list has at least one.
    legend : str, CoverTable or None
        ``nlcd``, ``worldcover`` or a table; None recognises a shipped legend by its codes.
    height_unit : str or None
        ``m``, ``ft`` or ``us-ft``; None reads it from the files.
    progress : Progress
        Told of each block; may stop the work.

    Returns
    -------
    grids : Grids
        Elevation (float32 metres, NaN in holes) on the fine grid, cover (uint8 codes) on the
        travel grid, with notes.
    table : CoverTable
        The legend of the cover.

    Raises
    ------
    GridError
        If a file is missing, damaged or no grid, does not say where it lies or in which unit its
        heights are, if a list misses the property, or if the ground is too large.
    SettingError
        If there is no legend of that name.
    """
    travel = travel_grid(place)
    heights, notes = _elevation(place, travel, elevation, height_unit, Part(progress, 0.0, 0.8))
    classes, table, cover_notes = _cover(place, travel, cover, legend, Part(progress, 0.8, 1.0))
    progress.step(1.0, "grids read")
    return Grids(elevation=heights, cover=classes, notes=(*notes, *cover_notes)), table


def _elevation(
    place: Property,
    travel: Grid,
    paths: Sequence[Path],
    height_unit: str | None,
    progress: Progress,
) -> tuple[Raster, tuple[str, ...]]:
    """Return the elevation on the fine grid, with notes."""
    files, notes = _files(place, travel, paths, "elevation")
    known = []
    for file in files:
        unit_m, unit_notes = height_unit_m(file.full_crs, file.band_unit, height_unit, file.name)
        known.append(height_file(file, unit_m, travel))
        notes += [*unit_notes, *known[-1].notes]
    notes = _gathered(notes)
    source_cell_m = min(file.cell_m(travel) for file in files)
    grid = fine_grid(place, source_cell_m)
    found = laid(files, grid, heights_layer(known), progress)
    notes += _differences(found)
    notes += _missing(place, grid, ~np.isnan(found.values), found, "elevation")
    raster = Raster(
        grid=grid,
        values=frozen(found.values),
        source=_names(found.used),
        source_cell_m=source_cell_m,
    )
    return raster, tuple(notes)


def _cover(
    place: Property,
    travel: Grid,
    paths: Sequence[Path],
    legend: str | CoverTable | None,
    progress: Progress,
) -> tuple[Raster, CoverTable, tuple[str, ...]]:
    """Return the land cover on the travel grid and its table, with notes."""
    files, notes = _files(place, travel, paths, "land cover")
    for file in files:
        check_codes(file, travel)
    found = laid(files, travel, codes_layer(), progress)
    names = _names(found.used or tuple(files))
    table, table_notes = chosen_table(found.values, legend, place.cover_table, names)
    values, odd_notes = known_codes(found.values, table, names)
    is_known = (found.values != HOLE) & ~table.is_kind(values, "hole")
    notes += [*table_notes, *odd_notes]
    notes += _missing(place, travel, is_known, found, "land cover")
    raster = Raster(
        grid=travel,
        values=frozen(values),
        source=names,
        source_cell_m=max(file.cell_m(travel) for file in found.used),
    )
    return raster, table, tuple(notes)


def _files(
    place: Property, travel: Grid, paths: Sequence[Path], what: str
) -> tuple[list[GridFile], list[str]]:
    """Return the files that reach the extent, with notes on those that do not."""
    if not paths:
        raise GridError(f"No {what} grid is given.", where=place.name, remedy="Give one or more.")
    files = [looked_at(path, travel) for path in paths]
    reaching, notes = check_reach(place, travel, files, what)
    for file in reaching:
        notes += datum_note(file.crs, place.epsg, file.name)
    return reaching, notes


def _differences(found: Laid) -> list[str]:
    """Return a note for each file that disagrees with those before it."""
    return [
        f"{name} and the files before it differ by {difference:.1f} m (median) where they"
        " overlap; the earlier were kept. Check their height units."
        for name, difference in found.differences.items()
        if difference > DIFFERENCE_M
    ]


def _missing(place: Property, grid: Grid, is_known: BoolArray, found: Laid, what: str) -> list[str]:
    """Return a note on the part of the extent that is missing; `GridError` if none is on it."""
    if not (is_known & cells_of(place.boundary, grid)).any():
        raise GridError(
            f"It holds only holes on {place.name}.",
            where=_names(found.used) or what,
            remedy=f"Give a grid of {what} that covers the boundary.",
        )
    share = float(is_known.mean())
    if share == 1.0:
        return []
    return [f"The {what} covers {said_percent(share)} of the extent; the rest counts as a hole."]


def _gathered(notes: list[str]) -> list[str]:
    """Return notes on single files, those that say the same of several in one."""
    by_words: dict[str, list[str]] = {}
    for note in notes:
        name, _, words = note.partition(": ")
        by_words.setdefault(words, []).append(name)
    return [f"{_listed(names)}: {words}" for words, names in by_words.items()]


def _names(files: Sequence[GridFile]) -> str:
    """Return the files' names in one line."""
    return _listed([file.name for file in files])


def _listed(names: list[str]) -> str:
    """Return names in one line, the first few of many."""
    more = f" and {len(names) - 3} more" if len(names) > 3 else ""
    return ", ".join(names[:3]) + more
