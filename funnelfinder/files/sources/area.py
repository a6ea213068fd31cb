"""The ground that a property needs, in any map system."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from pyproj import CRS

from funnelfinder.errors import GridError
from funnelfinder.files.map_systems import WGS84, way
from funnelfinder.grid import Grid
from funnelfinder.kernels import BoolArray

Bounds = tuple[float, float, float, float]

#: Points along a side of a rectangle when it is moved to another map system.
_POINTS_PER_SIDE: Final = 21


@dataclass(frozen=True, kw_only=True)
class Area:
    """The cells that grids are wanted on: boundary with surround.

    ``grid`` is the travel grid, or the part of it that is still missing.
    """

    grid: Grid

    @property
    def degrees(self) -> Bounds:
        """West, south, east, north [deg]."""
        return self.bounds_in(CRS.from_epsg(WGS84))

    def bounds_in(self, crs: CRS) -> Bounds:
        """Return west, south, east, north in a map system, sides taken as the curves they are."""
        transformer = way(self.grid.epsg, crs)
        bounds = transformer.transform_bounds(*self.grid.bounds_m, densify_pts=_POINTS_PER_SIDE)
        if not np.isfinite(bounds).all() or bounds[0] > bounds[2]:
            raise GridError(
                "It lies where this map system has no place.",
                where=crs.name,
                remedy="Take another source.",
            )
        west, south, east, north = map(float, bounds)
        return west, south, east, north

    def is_within(self, covers_deg: Bounds) -> bool:
        """Return whether a part of it lies within bounds [deg]."""
        west, south, east, north = self.degrees
        return (
            west < covers_deg[2]
            and east > covers_deg[0]
            and south < covers_deg[3]
            and north > covers_deg[1]
        )

    def missing(self, is_known: BoolArray) -> Area | None:
        """Return the smallest part around the cells that are not known; None if all are."""
        rows = np.flatnonzero(~is_known.all(axis=1))
        cols = np.flatnonzero(~is_known.all(axis=0))
        if not rows.size:
            return None
        grid = self.grid
        return Area(
            grid=Grid(
                epsg=grid.epsg,
                west_m=grid.west_m + int(cols[0]) * grid.cell_m,
                north_m=grid.north_m - int(rows[0]) * grid.cell_m,
                cell_m=grid.cell_m,
                n_rows=int(rows[-1] - rows[0]) + 1,
                n_cols=int(cols[-1] - cols[0]) + 1,
            )
        )
