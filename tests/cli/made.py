"""A tiny property as files, and the program run in this process."""

from __future__ import annotations

from pathlib import Path

import geopandas
import numpy as np
import rasterio
from typer.testing import CliRunner, Result

from funnelfinder.cli.program import app
from funnelfinder.files.property_file import create, save_findings, save_grids
from funnelfinder.ground import Raster
from tests import hand_made, scenes


def funnelfinder(*words: object) -> Result:
    """Run the program with these words."""
    return CliRunner().invoke(app, [str(word) for word in words])


def boundary_file(folder: Path, name: str = "boundary") -> Path:
    """The scene's boundary as GeoJSON."""
    place, _ = scenes.scene()
    path = folder / f"{name}.geojson"
    outline = geopandas.GeoSeries(place.boundary.geoms, crs=place.epsg).to_crs(4326)
    outline.to_file(path, driver="GeoJSON")
    return path


def grid_file(path: Path, raster: Raster) -> Path:
    """A raster as a GeoTIFF."""
    with rasterio.open(
        path,
        "w",
        driver="GTiff",
        height=raster.grid.n_rows,
        width=raster.grid.n_cols,
        count=1,
        dtype=raster.values.dtype,
        crs=f"EPSG:{raster.grid.epsg}",
        transform=raster.grid.transform,
    ) as file:
        file.write(raster.values, 1)
        file.units = ("metre",) if raster.values.dtype == np.float32 else ("",)
    return path


def marks_file(folder: Path) -> Path:
    """A bed and a food source as GeoJSON with a column ``kind``."""
    marks = scenes.pair_marks()
    table = geopandas.GeoDataFrame(
        {
            "kind": [mark.kind.value for mark in marks],
            "name": [mark.name for mark in marks],
            "crop": [mark.crop for mark in marks],
        },
        geometry=[mark.geometry for mark in marks],
        crs=scenes.EPSG,
    )
    path = folder / "marks.geojson"
    table.to_crs(4326).to_file(path, driver="GeoJSON")
    return path


def bare(folder: Path) -> Path:
    """A property file without marks and grids."""
    path = folder / "scene.gpkg"
    place, _ = scenes.scene()
    create(path, place)
    return path


def found(folder: Path) -> Path:
    """A property file with hand-made findings."""
    path = folder / "brome-hollow.gpkg"
    create(path, hand_made.place())
    save_grids(path, scenes.scene()[1])
    save_findings(path, hand_made.findings())
    return path
