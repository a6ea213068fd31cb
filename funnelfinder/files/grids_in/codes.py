"""What a file's cells mean as land-cover classes, and which legend they belong to."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

import numpy as np
from rasterio.enums import Resampling

from funnelfinder.errors import GridError
from funnelfinder.files.grids_in.grid_file import GridFile, opened, sampled
from funnelfinder.files.grids_in.mosaic import Layer
from funnelfinder.grid import Grid
from funnelfinder.kernels import AnyArray, BoolArray
from funnelfinder.land_cover import LEGENDS, CoverClass, CoverTable, shipped_table

#: Code of a cell without land cover while it is read; no legend has it.
HOLE: Final = -1
#: A cover table has at most one class for each number of a byte.
_MOST_CODES: Final = 256
_HIGHEST: Final = np.iinfo(np.int32).max
#: Beyond this share of unknown codes it is the wrong legend or no land cover (judgement).
_MOST_UNKNOWN: Final = 0.5
_SHOWN_CODES: Final = 8


def check_codes(file: GridFile, grid: Grid) -> None:
    """Raise `GridError` if a first look at a file shows numbers that are no class codes."""
    window = file.window(grid)
    if window is None:
        return
    with opened(file.path) as dataset:
        raw = sampled(dataset, window, file.name)
    raw = raw[np.isfinite(raw)] if raw.dtype.kind == "f" else raw
    has_fractions = raw.dtype.kind == "f" and bool((raw != np.rint(raw)).any())
    n_values = np.unique(raw).size
    if has_fractions or n_values > _MOST_CODES:
        what = "fractions" if has_fractions else f"{n_values:,} different values"
        raise GridError(
            f"Its cells hold {what}, so it looks like heights, not like land cover.",
            where=file.name,
            remedy="Give the land-cover grid here, and this one as elevation.",
        )


def codes_layer() -> Layer:
    """Return how class codes are read: the commonest when cells become larger, else the nearest."""

    def prepare(file: GridFile, values: AnyArray, counts: BoolArray) -> AnyArray:
        counts = counts & np.isfinite(values) & (values >= 0)
        return np.clip(np.where(counts, values, HOLE), HOLE, _HIGHEST).astype(np.int32)

    return Layer(
        what="land cover",
        dtype="int32",
        hole=HOLE,
        coarsening=Resampling.mode,
        refining=Resampling.nearest,
        prepare=prepare,
    )


def chosen_table(
    codes: AnyArray, legend: str | CoverTable | None, own: CoverTable, where: str
) -> tuple[CoverTable, tuple[str, ...]]:
    """Return the cover table for the codes of a grid, with a note where it was recognised.

    Parameters
    ----------
    codes : int array
        Class codes, `HOLE` where there are none.
    legend : str, CoverTable or None
        What the person said; None recognises a shipped legend if only one fits.
    own : CoverTable
        The property's own table: it is kept, edits and all, if it is of the chosen legend.
    where : str
        The files' names.

    Raises
    ------
    GridError
        If no legend is given and not exactly one fits.
    SettingError
        If there is no legend of that name.
    """
    if isinstance(legend, CoverTable):
        return with_hole(legend), ()
    if legend is not None:
        return with_hole(own if own.legend == legend else shipped_table(legend)), ()
    table = _recognised(codes, own, where)
    note = f"{where}: the class codes are those of {table.legend}, which was taken."
    return with_hole(table), (note,)


def _recognised(codes: AnyArray, own: CoverTable, where: str) -> CoverTable:
    """Return the person's own table, or the only shipped one, that has all the codes."""
    found = set(np.unique(codes).tolist()) - {HOLE, 0}
    if own.legend not in LEGENDS and found <= set(own.by_code):
        return own
    shipped = [own if own.legend == name else shipped_table(name) for name in LEGENDS]
    fitting = [table for table in shipped if found <= set(table.by_code)]
    if len(fitting) == 1:
        return fitting[0]
    what = "fit more than one legend" if fitting else "fit no legend that is shipped"
    raise GridError(
        f"Its class codes {_listed(sorted(found))} {what}.",
        where=where,
        remedy="Pass the legend: nlcd, worldcover, or a table of your own.",
    )


def with_hole(table: CoverTable) -> CoverTable:
    """Return a table that has a class for cells without land cover, added if need be."""
    if any(one.is_hole for one in table.classes):
        return table
    free = (code for code in (0, *range(255, 0, -1)) if code not in table.by_code)
    hole = CoverClass(
        code=next(free),
        name="no data",
        resistance=shipped_table("nlcd").by_code[0].resistance,
        low=1.0,
        high=2.0,
        is_hole=True,
        source="judgement",
    )
    return replace(table, classes=(*table.classes, hole))


def known_codes(codes: AnyArray, table: CoverTable, where: str) -> tuple[AnyArray, tuple[str, ...]]:
    """Return codes as uint8, the hole class where unknown, with a note on the unknown ones.

    Raises
    ------
    GridError
        If more than half of the cells hold codes that the legend does not know.
    """
    is_known = np.isin(codes, list(table.by_code))
    is_odd = ~is_known & (codes != HOLE)
    values = np.where(is_known, codes, table.hole_code).astype(np.uint8)
    if not is_odd.any():
        return values, ()
    shown = _listed(np.unique(codes[is_odd]).tolist())
    if is_odd.sum() > _MOST_UNKNOWN * (codes != HOLE).sum():
        raise GridError(
            f"Most of its codes ({shown}) are not in the legend {table.legend}.",
            where=where,
            remedy="Check that it is land cover, and pass its legend or a table of your own.",
        )
    share = said_percent(float(is_odd.mean()))
    return values, (f"{where}: {share} of the extent has unknown codes ({shown}), taken as holes.",)


def said_percent(share: float) -> str:
    """Return a share in per cent, never rounded down to none nor up to all.

    Examples
    --------
    >>> said_percent(0.28), said_percent(0.001), said_percent(0.999)
    ('28 %', 'less than 1 %', 'more than 99 %')
    """
    if 0 < share < 0.005:
        return "less than 1 %"
    if 0.995 <= share < 1:
        return "more than 99 %"
    return f"{100 * share:.0f} %"


def _listed(codes: list[int]) -> str:
    """Return codes as people read them, the first few of many."""
    shown = ", ".join(str(code) for code in codes[:_SHOWN_CODES])
    return shown if len(codes) <= _SHOWN_CODES else f"{shown} and {len(codes) - _SHOWN_CODES} more"
