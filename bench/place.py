"""Rough ground for the bench: an invented property with 4 beds and 4 foods, and its files."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path

import geopandas
import numpy as np
import rasterio
import shapely
from scipy.ndimage import gaussian_filter

from funnelfinder.defaults import Settings, with_setting
from funnelfinder.ground import Grids, Raster, subdivided, travel_grid
from funnelfinder.marks import Mark, MarkKind, Property

EPSG = 32617
WEST_M, SOUTH_M = 400_000.0, 4_300_000.0
SURROUND_M = 800.0
#: Decid. forest, mixed forest, shrub, pasture, crops of the National Land Cover Database.
COVERS = (41, 43, 52, 81, 82)


def rough(shape: tuple[int, int], length_cells: float, seed: int) -> np.ndarray:
    """Return smooth random numbers from 0 to 1."""
    noise = np.random.default_rng(seed).normal(size=shape)
    smooth = gaussian_filter(noise, length_cells, mode="wrap")
    return np.asarray((smooth - smooth.min()) / np.ptp(smooth))


def bench_property(n: int, cell_m: float, *, parts: int = 1) -> tuple[Property, Grids]:
    """Return a property whose travel grid has n × n cells, and grids on it.

    ``parts`` cuts each travel cell for the fine elevation. The beds lie in the west, the foods in
    the east, all within one walk of each other.
    """
    inside_m = n * cell_m - 2.0 * SURROUND_M
    settings = with_setting(Settings(), "travel-cell", f"{cell_m:g}")
    boundary = shapely.box(WEST_M, SOUTH_M, WEST_M + inside_m, SOUTH_M + inside_m)
    place = Property(
        name="Bench",
        epsg=EPSG,
        boundary=shapely.MultiPolygon([boundary]),
        settings=settings,
        marks=_marks(inside_m),
    )
    grid = travel_grid(place)
    fine = subdivided(grid, parts)
    heights = 250.0 + 120.0 * rough(fine.shape, 120.0 / fine.cell_m, 1)
    heights += 6.0 * rough(fine.shape, 15.0 / fine.cell_m, 2)
    kinds = np.array(COVERS, dtype=np.uint8)
    share = rough(grid.shape, 60.0 / cell_m, 3)
    ranks = np.searchsorted([0.5, 0.58, 0.65, 0.75], share)
    return place, Grids(
        elevation=Raster(
            grid=fine,
            values=heights.astype(np.float32),
            source="elevation.tif",
            source_cell_m=fine.cell_m,
        ),
        cover=Raster(grid=grid, values=kinds[ranks], source="cover.tif", source_cell_m=cell_m),
    )


def _marks(inside_m: float) -> tuple[Mark, ...]:
    """Return 4 beds and 4 foods about the middle, and a fence with a gap between them."""
    middle = np.array([WEST_M, SOUTH_M]) + inside_m / 2.0
    apart = 260.0
    marks = []
    for number in range(4):
        north = (number - 1.5) * apart
        bed = shapely.Point(middle + np.array([-1.2 * apart, north])).buffer(35.0)
        food = shapely.Point(middle + np.array([1.2 * apart, north])).buffer(45.0)
        marks += [
            Mark(kind=MarkKind.BED, geometry=bed, name=f"Bed {number}", key=f"bed-{number}"),
            Mark(
                kind=MarkKind.FOOD,
                geometry=food,
                name=f"Oaks {number}",
                crop="acorns",
                key=f"food-{number}",
            ),
        ]
    half = np.array([20.0, -2.0 * apart])
    ends = [middle + half, middle - half]
    marks.append(Mark(kind=MarkKind.FENCE, geometry=shapely.LineString(ends), key="fence"))
    gap = shapely.LineString(ends).interpolate(0.4, normalized=True)
    marks.append(Mark(kind=MarkKind.GAP, geometry=gap, key="gap"))
    return tuple(marks)


def moved(place: Property, north_m: float) -> Property:
    """Return the property with its first bed moved north."""
    bed = next(place.of_kind(MarkKind.BED))
    return place.with_mark(
        replace(bed, geometry=shapely.affinity.translate(bed.geometry, 0.0, north_m))
    )


@dataclass(frozen=True, kw_only=True)
class Files:
    """What a person hands in."""

    boundary: Path
    marks: Path
    elevation: Path
    cover: Path


def write_files(place: Property, grids: Grids, folder: Path) -> Files:
    """Write the property as the files that a person hands in."""
    files = Files(
        boundary=folder / "boundary.geojson",
        marks=folder / "marks.geojson",
        elevation=folder / "elevation.tif",
        cover=folder / "cover.tif",
    )
    outline = geopandas.GeoSeries(place.boundary.geoms, crs=place.epsg).to_crs(4326)
    outline.to_file(files.boundary, driver="GeoJSON")
    table = geopandas.GeoDataFrame(
        {
            "kind": [mark.kind.value for mark in place.marks],
            "name": [mark.name for mark in place.marks],
            "crop": [mark.crop for mark in place.marks],
        },
        geometry=[mark.geometry for mark in place.marks],
        crs=place.epsg,
    )
    table.to_crs(4326).to_file(files.marks, driver="GeoJSON")
    _write_grid(files.elevation, grids.elevation, "metre")
    _write_grid(files.cover, grids.cover, "")
    return files


def _write_grid(path: Path, raster: Raster, unit: str) -> None:
    """Write a raster as a GeoTIFF."""
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
        file.units = (unit,)
