"""Whether grid files reach a property, and if not, where they lie."""

from __future__ import annotations

from typing import Final

import numpy as np
import shapely
import shapely.affinity
from pyproj import Geod

from funnelfinder.errors import GridError
from funnelfinder.files.grids_in.grid_file import GridFile
from funnelfinder.files.map_systems import WGS84, compass_word, way
from funnelfinder.grid import Grid
from funnelfinder.marks import Property
from funnelfinder.units import said_length

#: How much wider a file's outline is taken than its corners say, since its sides are curved.
_SLACK_DEG: Final = 0.1


def check_reach(
    place: Property, grid: Grid, files: list[GridFile], what: str
) -> tuple[list[GridFile], list[str]]:
    """Return the files that have cells under a grid, and a note on each that has none.

    Raises
    ------
    GridError
        If no file reaches the boundary; it says how far the nearest lies and where.
    """
    reaching = [file for file in files if _is_under(file, grid)]
    if reaching:
        return reaching, [
            f"{file.name}: it lies {_said_way(place, file)} and is not used."
            for file in files
            if file not in reaching
        ]
    nearest = min(files, key=lambda file: _way(place, file)[0])
    raise GridError(
        f"It lies {_said_way(place, nearest)}.",
        where=nearest.name,
        remedy=f"Give {what} of the right place; if it is, its map system is stated wrongly.",
    )


def _is_under(file: GridFile, grid: Grid) -> bool:
    """Return whether a file has cells under a grid, by its cells and by its outline on earth."""
    if file.window(grid) is None or len(file.to_corners) < 3:
        return False
    to_degrees = way(grid.epsg, WGS84)
    west, south, east, north = to_degrees.transform_bounds(*grid.bounds_m)
    outline = shapely.Polygon(file.to_corners).buffer(_SLACK_DEG)
    turned = shapely.affinity.translate(outline, -360.0)
    return bool(
        shapely.union_all([outline, turned]).intersects(shapely.box(west, south, east, north))
    )


def _way(place: Property, file: GridFile) -> tuple[float, float]:
    """Return distance [m] and bearing [deg] from the boundary to the nearest edge of a file."""
    if not len(file.to_corners):
        return np.inf, 0.0
    to_degrees = way(place.epsg, WGS84)
    here = to_degrees.transform(place.boundary.centroid.x, place.boundary.centroid.y)
    corners = file.to_corners
    n = len(corners)
    bearing, _, distance = Geod(ellps="WGS84").inv(
        np.full(n, here[0]), np.full(n, here[1]), corners[:, 0], corners[:, 1]
    )
    nearest = int(np.argmin(distance))
    return float(distance[nearest]), float(bearing[nearest])


def _said_way(place: Property, file: GridFile) -> str:
    """Return where a file lies as seen from the boundary."""
    distance, bearing = _way(place, file)
    if not np.isfinite(distance):
        return "nowhere on earth by the map system that it states"
    return f"{said_length(distance)} {compass_word(bearing)} of your boundary"
