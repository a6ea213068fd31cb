"""A small invented property in files, as a person would bring them."""

from __future__ import annotations

from pathlib import Path

import geopandas
import numpy as np
import rasterio
import shapely
from rasterio.transform import from_origin

from funnelfinder.marks import Mark, MarkKind, Property
from tests.scenes import EAST_0, EPSG, NORTH_0

BOUNDARY = shapely.box(EAST_0, NORTH_0, EAST_0 + 800.0, NORTH_0 + 600.0)


def write_boundary(folder: Path, name: str = "hollow.geojson") -> Path:
    """Write the boundary as GeoJSON."""
    path = folder / name
    frame = geopandas.GeoDataFrame({"name": ["Hollow"]}, geometry=[BOUNDARY], crs=EPSG)
    frame.to_crs(4326).to_file(path, driver="GeoJSON")
    return path


def write_grids(folder: Path, elevation_cell_m: float = 10.0) -> tuple[Path, Path]:
    """Write an elevation grid with a ridge, and a cover grid with a field in the woods."""
    margin = 1000.0
    fine, cell = elevation_cell_m, 10.0
    y, x = np.mgrid[0 : 600 + 2 * margin : fine, 0 : 800 + 2 * margin : fine]
    height = 300.0 + 60.0 * np.exp(-(((y - 1300) / 250.0) ** 2)) + 8.0 * np.sin(x / 140.0)
    cover = np.full((round((600 + 2 * margin) / cell), round((800 + 2 * margin) / cell)), 41)
    cover[140:160, 120:160] = 82
    elevation_path, cover_path = folder / "north.tif", folder / "cover.tif"
    for path, values, size in (
        (elevation_path, height.astype(np.float32), fine),
        (cover_path, cover.astype(np.uint8), cell),
    ):
        profile = {
            "driver": "GTiff",
            "width": values.shape[1],
            "height": values.shape[0],
            "count": 1,
            "crs": f"EPSG:{EPSG}",
            "transform": from_origin(EAST_0 - margin, NORTH_0 + 600 + margin, size, size),
            "dtype": values.dtype,
            "nodata": None if values.dtype == np.float32 else 0,
        }
        with rasterio.open(path, "w", **profile) as file:
            file.write(values, 1)
    return elevation_path, cover_path


def hollow(*marks: Mark) -> Property:
    """Return the property without grids."""
    return Property(
        name="Hollow", epsg=EPSG, boundary=shapely.MultiPolygon([BOUNDARY]), marks=marks
    )


def bed(x: float = 200.0, y: float = 300.0, name: str = "Alder knob") -> Mark:
    """Return a square bed, 80 m a side, at scene coordinates."""
    square = shapely.box(EAST_0 + x - 40, NORTH_0 + y - 40, EAST_0 + x + 40, NORTH_0 + y + 40)
    return Mark(kind=MarkKind.BED, geometry=square, name=name)


def food(x: float = 600.0, y: float = 300.0, name: str = "Bean field") -> Mark:
    """Return a square food source, 80 m a side, at scene coordinates."""
    square = shapely.box(EAST_0 + x - 40, NORTH_0 + y - 40, EAST_0 + x + 40, NORTH_0 + y + 40)
    return Mark(kind=MarkKind.FOOD, geometry=square, name=name, crop="soybeans")
