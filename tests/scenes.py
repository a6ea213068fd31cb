"""Tiny properties for tests: even ground, and ground with one thing on it. All invented."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

import numpy as np
import shapely

from funnelfinder.defaults import Settings, with_setting
from funnelfinder.ground import Grids, Ground, Raster, prepare_ground, subdivided, travel_grid
from funnelfinder.marks import Mark, MarkKind, Property

EPSG = 32617
#: Map corner of every scene [m]; any place inside the zone does.
EAST_0, NORTH_0 = 400_000.0, 4_300_000.0

Height = Callable[[np.ndarray, np.ndarray], np.ndarray]


def flat(x: np.ndarray, y: np.ndarray) -> np.ndarray:
    """Level ground."""
    return np.full(x.shape, 300.0)


def disc(x: float, y: float, radius: float = 40.0) -> shapely.Polygon:
    """A disc at scene coordinates [m from the scene's south-west corner]."""
    return shapely.Point(EAST_0 + x, NORTH_0 + y).buffer(radius)


def mark(kind: MarkKind, geometry: shapely.Geometry, name: str = "", **more: object) -> Mark:
    """A mark whose key does not change from run to run."""
    return Mark(kind=kind, geometry=geometry, name=name, key=f"{kind.value}-{name}", **more)


def line(*points: tuple[float, float]) -> shapely.LineString:
    """A line through scene coordinates."""
    return shapely.LineString([(EAST_0 + x, NORTH_0 + y) for x, y in points])


def polygon(*points: tuple[float, float]) -> shapely.Polygon:
    """A polygon through scene coordinates."""
    return shapely.Polygon([(EAST_0 + x, NORTH_0 + y) for x, y in points])


def corner(x: float, y: float) -> np.ndarray:
    """Scene coordinates as map coordinates [m]."""
    return np.array([EAST_0 + x, NORTH_0 + y])


def point(x: float, y: float) -> shapely.Point:
    """A point at scene coordinates."""
    return shapely.Point(EAST_0 + x, NORTH_0 + y)


def scene(
    *,
    width: float = 800.0,
    depth: float = 600.0,
    cell_m: float = 10.0,
    parts: int = 1,
    height: Height = flat,
    cover: Height | None = None,
    marks: Sequence[Mark] = (),
    settings: dict[str, str] | None = None,
) -> tuple[Property, Grids]:
    """Return a property of width × depth [m] with a surround of 100 m, and its grids.

    ``height`` and ``cover`` are called with scene coordinates x, y [m]; cover gives NLCD codes,
    41 (deciduous forest) everywhere by default. ``parts`` cuts each travel cell for the fine
    elevation.
    """
    chosen = Settings()
    for name, text in {"surround": "100", "travel-cell": f"{cell_m}", **(settings or {})}.items():
        chosen = with_setting(chosen, name, text)
    boundary = shapely.box(EAST_0, NORTH_0, EAST_0 + width, NORTH_0 + depth)
    place = Property(
        name="Scene",
        epsg=EPSG,
        boundary=shapely.MultiPolygon([boundary]),
        settings=chosen,
        marks=tuple(marks),
    )
    grid = travel_grid(place)
    fine = subdivided(grid, parts)
    heights = height(*_centres(fine)).astype(np.float32)
    codes = np.full(grid.shape, 41) if cover is None else cover(*_centres(grid))
    return place, Grids(
        elevation=Raster(grid=fine, values=heights, source="scene", source_cell_m=fine.cell_m),
        cover=Raster(
            grid=grid, values=codes.astype(np.uint8), source="scene", source_cell_m=cell_m
        ),
    )


def _centres(grid: object) -> tuple[np.ndarray, np.ndarray]:
    """Return scene coordinates of the cell centres."""
    rows, cols = np.indices(grid.shape)
    points = grid.points_m(rows, cols).reshape(*grid.shape, 2)
    return points[..., 0] - EAST_0, points[..., 1] - NORTH_0


def ground_of(place: Property, grids: Grids) -> Ground:
    """Return the ground of a scene."""
    return prepare_ground(place, grids)


def pair_marks(distance: float = 400.0, radius: float = 40.0, depth: float = 600.0) -> list[Mark]:
    """A bed and a food source (acorns, so that the cover stays) with centres ``distance`` apart."""
    return [
        mark(MarkKind.BED, disc(200.0, depth / 2, radius), "West bed"),
        mark(MarkKind.FOOD, disc(200.0 + distance, depth / 2, radius), "Acorns", crop="acorns"),
    ]


def with_marks(place: Property, *marks: Mark) -> Property:
    """Return the property with marks added."""
    return replace(place, marks=(*place.marks, *marks))
