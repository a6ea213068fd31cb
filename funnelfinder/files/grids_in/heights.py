"""What a file's cells mean as heights, and which of them are no heights."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Final

import numpy as np
from rasterio.enums import Resampling

from funnelfinder.errors import GridError
from funnelfinder.files.grids_in.grid_file import GridFile, opened, sampled
from funnelfinder.files.grids_in.mosaic import Layer
from funnelfinder.grid import Grid
from funnelfinder.kernels import AnyArray, BoolArray
from funnelfinder.land_cover import LEGENDS, shipped_table

#: No land lies lower or higher: the shore of the Dead Sea is near -440 m, Everest 8,849 m
#: (Survey of Nepal and National Bureau of Surveying and Mapping, 2020); the rest is margin.
LOWEST_M: Final = -450.0
HIGHEST_M: Final = 8_900.0
#: Numbers that are put where nothing was measured, although they could be heights.
_FILLS: Final = (0.0, -1.0, -99.0, -999.0)
#: A fill number stands apart from every height of the file by at least this (judgement).
_APART_M: Final = 50.0
#: A file has no more fill numbers than this (judgement); more that are no heights are its values.
_MOST_FILLS: Final = 2
#: Heights take most of the whole numbers between their lowest and highest, class codes few.
_CODES_SHARE: Final = 0.6


@dataclass(frozen=True, kw_only=True)
class HeightFile:
    """A grid file of heights: its unit [m], its untagged fill number, and notes on it."""

    file: GridFile
    unit_m: float
    fill: float | None
    notes: tuple[str, ...]


def height_file(file: GridFile, unit_m: float, grid: Grid) -> HeightFile:
    """Return what a first look at a file of heights shows.

    Raises
    ------
    GridError
        If its cells look like class codes, or none of them can be a height.
    """
    window = file.window(grid)
    if window is None:
        return HeightFile(file=file, unit_m=unit_m, fill=None, notes=())
    with opened(file.path) as dataset:
        raw = sampled(dataset, window, file.name)
    _check_no_codes(file, raw)
    heights = _scaled(file, raw, unit_m)
    plain = _is_plausible(heights)
    odd = raw[~plain & np.isfinite(heights)]
    notes = _odd_notes(file, odd)
    if not plain.any() and np.unique(odd).size > _MOST_FILLS:
        raise GridError(
            f"Its cells, such as {odd[0]:g}, are no heights.",
            where=file.name,
            remedy="Give the elevation grid, and pass the height unit if it is not metres.",
        )
    notes += _surface_notes(file)
    fill = _fill(raw[plain], heights[plain])
    if fill is not None:
        notes += (f"{file.name}: cells that hold {fill:g} stand apart and count as holes.",)
    return HeightFile(file=file, unit_m=unit_m, fill=fill, notes=notes)


def heights_layer(files: list[HeightFile]) -> Layer:
    """Return how heights are read: averaged when cells become larger, else a cubic kernel."""
    by_path = {one.file.path: one for one in files}

    def prepare(file: GridFile, values: AnyArray, counts: BoolArray) -> AnyArray:
        known = by_path[file.path]
        heights = _scaled(file, values, known.unit_m)
        counts = counts & _is_plausible(heights)
        if known.fill is not None:
            counts &= values != known.fill
        return np.where(counts, heights, np.nan).astype(np.float32)

    return Layer(
        what="elevation",
        dtype="float32",
        hole=np.nan,
        coarsening=Resampling.average,
        refining=Resampling.cubic,
        prepare=prepare,
    )


def _scaled(file: GridFile, values: AnyArray, unit_m: float) -> AnyArray:
    """Return a file's numbers as metres."""
    with np.errstate(invalid="ignore", over="ignore"):  # fill values can be anything
        return np.asarray((values.astype(np.float64) * file.scale + file.offset) * unit_m)


def _is_plausible(heights: AnyArray) -> BoolArray:
    """Return where numbers can be heights of land."""
    with np.errstate(invalid="ignore"):
        return np.asarray((heights > LOWEST_M) & (heights < HIGHEST_M))


def _odd_notes(file: GridFile, odd: AnyArray) -> tuple[str, ...]:
    """Return a note on numbers that no land has."""
    if not odd.size:
        return ()
    shown = ", ".join(f"{value:g}" for value in np.unique(odd)[:3])
    return (f"{file.name}: cells that hold {shown} are no heights and count as holes.",)


def _surface_notes(file: GridFile) -> tuple[str, ...]:
    """Return a note on a file that calls itself a surface model (in woods it shows treetops)."""
    if not re.search(r"(?<![a-z])dsm(?![a-z])", file.name, re.IGNORECASE):
        return ()
    words = "by its name it is a surface model: woods stand in it, so trust no bench under trees."
    return (f"{file.name}: {words}",)


def _fill(raw: AnyArray, heights: AnyArray) -> float | None:
    """Return the fill number that stands apart below all heights, if any."""
    if not raw.size:
        return None
    lowest = raw.min()
    others = heights[raw != lowest]
    if float(lowest) not in _FILLS or not others.size:
        return None
    return float(lowest) if others.min() - heights.min() > _APART_M else None


def _check_no_codes(file: GridFile, raw: AnyArray) -> None:
    """Raise `GridError` if cells look like land-cover codes."""
    if file.has_palette or _look_like_codes(raw):
        raise GridError(
            "It looks like land cover, not like heights.",
            where=file.name,
            remedy="Give the elevation grid here, and this one as land cover.",
        )


def _look_like_codes(raw: AnyArray) -> bool:
    """Return whether numbers all stand in one legend, with gaps that heights do not have."""
    if raw.dtype.kind == "f" or not raw.size:
        return False
    found = np.unique(raw).astype(np.int64)
    if found.size < 2 or found.size > _CODES_SHARE * (found[-1] - found[0] + 1):
        return False
    return any(set(found.tolist()) <= set(shipped_table(name).by_code) for name in LEGENDS)
