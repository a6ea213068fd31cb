"""Which cells a property is computed on."""

from __future__ import annotations

import math
from typing import Final

from funnelfinder.errors import GridError
from funnelfinder.grid import Grid, snapped_grid
from funnelfinder.marks import Property
from funnelfinder.units import acres

#: Most cells of a travel grid with 5 m and with 10 m cells (measured memory and time).
MOST_CELLS_5M: Final = 500_000
MOST_CELLS_10M: Final = 2_500_000
#: Most cells of the fine elevation that are kept.
MOST_FINE_CELLS: Final = 50_000_000
#: Beyond this a cell size must be given.
MOST_ACRES: Final = 40_000


def travel_cell_m(place: Property) -> float:
    """Return the side of the travel cells of a property [m].

    Raises
    ------
    GridError
        If the ground is too large for the cells, with the cell size that fits.
    """
    chosen = place.settings.ground.travel_cell_m
    area = acres(place.boundary.area)
    if area > MOST_ACRES and not chosen:
        raise GridError(
            f"{area:,.0f} acres are more than the {MOST_ACRES:,} that are run without asking.",
            where=place.name,
            remedy=f"Check the boundary, or set travel-cell to {_fitting_cell_m(place):g} m.",
        )
    if chosen:
        n_cells = _extent(place, chosen).n_cells
        if n_cells > MOST_CELLS_10M:
            raise GridError(
                f"Cells of {chosen:g} m would be {n_cells:,}, more than {MOST_CELLS_10M:,}.",
                where=place.name,
                remedy=f"Set travel-cell to {_fitting_cell_m(place):g} m.",
            )
        return chosen
    for cell_m, most in ((5.0, MOST_CELLS_5M), (10.0, MOST_CELLS_10M)):
        if _extent(place, cell_m).n_cells <= most:
            return cell_m
    raise GridError(
        "The boundary and its surround are too large for cells of 10 m.",
        where=place.name,
        remedy=f"Set travel-cell to {_fitting_cell_m(place):g} m.",
    )


def _fitting_cell_m(place: Property) -> float:
    """Return the smallest whole multiple of 5 m that fits."""
    west, south, east, north = _surrounded(place)
    cell = math.sqrt((east - west) * (north - south) / MOST_CELLS_10M)
    return 5.0 * math.ceil(cell / 5.0 + 1e-9)


def _surrounded(place: Property) -> tuple[float, float, float, float]:
    """Return the bounds of the boundary with its surround [m]."""
    west, south, east, north = place.boundary.bounds
    edge = place.settings.ground.surround_m
    return west - edge, south - edge, east + edge, north + edge


def _extent(place: Property, cell_m: float) -> Grid:
    """Return the grid of cells over boundary and surround."""
    return snapped_grid(_surrounded(place), cell_m=cell_m, epsg=place.epsg)


def travel_grid(place: Property) -> Grid:
    """Return the travel grid of a property; raises `GridError` as `travel_cell_m` does."""
    return _extent(place, travel_cell_m(place))


def fine_grid(place: Property, source_cell_m: float) -> Grid:
    """Return the grid that elevation from cells of ``source_cell_m`` is kept on.

    Its cells divide the travel cells, are at least 1 m and at most `MOST_FINE_CELLS`.
    """
    travel = travel_grid(place)
    parts = [n for n in (10, 5, 4, 2, 1) if travel.cell_m / n >= 1.0]
    fitting = [n for n in parts if travel.cell_m / n >= 0.8 * source_cell_m] or [1]
    for n in fitting:
        if travel.n_cells * n * n <= MOST_FINE_CELLS:
            return subdivided(travel, n)
    return travel


def subdivided(grid: Grid, n: int) -> Grid:
    """Return the grid with every cell cut into n × n."""
    return Grid(
        epsg=grid.epsg,
        west_m=grid.west_m,
        north_m=grid.north_m,
        cell_m=grid.cell_m / n,
        n_rows=grid.n_rows * n,
        n_cols=grid.n_cols * n,
    )
