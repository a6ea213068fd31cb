"""The data classes of the ground."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

from shapely.geometry.base import BaseGeometry

from funnelfinder.barriers import Barrier
from funnelfinder.errors import GridError
from funnelfinder.grid import Grid
from funnelfinder.kernels import AnyArray, BoolArray, FloatArray, IntArray
from funnelfinder.land_cover import CoverTable
from funnelfinder.marks import Mark

#: Cover cells above this leave an edge known to half a cell only.
COARSE_COVER_M: Final = 15.0
#: Elevation from coarser cells than this shows no benches (judgement; widths are 8 to 60 m) [m].
COARSE_ELEVATION_M: Final = 20.0


@dataclass(frozen=True, kw_only=True)
class Raster:
    """Values on a grid, with where they came from.

    ``values`` are heights in metres (float32, NaN is a hole) or class codes (uint8);
    ``source_cell_m`` is the cell size of the files they were read from [m].
    """

    grid: Grid
    values: AnyArray
    source: str
    source_cell_m: float

    def __post_init__(self) -> None:
        if self.values.shape != self.grid.shape:
            raise GridError(
                f"Its {self.values.shape} values do not fit its {self.grid.shape} cells.",
                where=self.source,
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class Origin:
    """One file of a source that a property keeps a window of.

    Parameters
    ----------
    kind : str
        ``elevation``, ``cover``, ``crops`` or ``picture``.
    source, file, address : str
        Which source, which file of it, and where it was asked for.
    on : str
        The day that it came, as ``YYYY-MM-DD``.
    licence, credit : str
        Under which licence, and the line that must be shown.
    fingerprint, version : str
        Of the values as they came, and what the server calls the version of the file.
    share : float
        Of the cells of the property and its surround that have their values from it.
    """

    kind: str
    source: str
    file: str
    address: str
    on: str
    licence: str = ""
    credit: str = ""
    fingerprint: str = ""
    version: str = ""
    share: float = 1.0


def credit_lines(origins: Iterable[Origin]) -> tuple[str, ...]:
    """Return the credit lines of origins, each once.

    Examples
    --------
    >>> one = Origin(kind="cover", source="A", file="a", address="a", on="2026-11-25",
    ...               credit="Survey", licence="public domain")
    >>> credit_lines([one, one])
    ('Land cover: Survey (public domain).',)
    """
    said = {
        "elevation": "Elevation",
        "cover": "Land cover",
        "crops": "Crops",
        "picture": "Aerial picture",
    }
    lines = (
        f"{said.get(one.kind, one.kind)}: {one.credit}"
        + (f" ({one.licence})." if one.licence else ".")
        for one in origins
        if one.credit
    )
    return tuple(dict.fromkeys(lines))


@dataclass(frozen=True, kw_only=True)
class Grids:
    """The elevation and land cover that a property keeps, with notes from reading them.

    ``origins`` say where they were brought from; empty for files that a person had.
    """

    elevation: Raster
    cover: Raster
    notes: tuple[str, ...] = ()
    origins: tuple[Origin, ...] = ()

    @property
    def credits(self) -> tuple[str, ...]:
        """The lines that must stand wherever the grids are shown."""
        return credit_lines(self.origins)


@dataclass(frozen=True, kw_only=True)
class Patch:
    """A bed or food source on the travel grid: flat indices of its kept cells."""

    mark: Mark
    cells: IntArray

    @property
    def label(self) -> str:
        """What the person calls it."""
        return self.mark.label


@dataclass(frozen=True, kw_only=True)
class Ground:
    """All that is known of the ground, on the travel grid unless it says fine.

    Every array is read-only. ``cover`` holds class codes after the marks repainted it;
    ``is_removed`` cells are out of the way of trips; ``to_woody_m`` is 0 in woody cover;
    ``to_house_m`` and ``to_road_m`` are infinite where there is none; ``cover_cell_m`` and
    ``elevation_cell_m`` are the cells of the files that the grids were read from.
    """

    grid: Grid
    fine_grid: Grid
    elevation_m: FloatArray
    fine_elevation_m: AnyArray
    slope_deg: FloatArray
    cover: AnyArray
    cover_table: CoverTable
    cover_cell_m: float
    elevation_cell_m: float
    is_inside: BoolArray
    is_removed: BoolArray
    is_water: BoolArray
    is_woody: BoolArray
    is_open: BoolArray
    to_woody_m: FloatArray
    to_house_m: FloatArray
    to_built_m: FloatArray
    to_road_m: FloatArray
    is_kept_off: BoolArray
    is_core: BoolArray
    beds: tuple[Patch, ...]
    foods: tuple[Patch, ...]
    barriers: tuple[Barrier, ...]
    boundary: BaseGeometry
    notes: tuple[str, ...]
