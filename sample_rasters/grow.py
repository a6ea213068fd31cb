"""Grow the sample's grids and write all of its files: ``python -m sample_rasters.grow [FOLDER]``.

Everything is invented. The same seed gives the same ground.
"""

from __future__ import annotations

import csv
import json
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

import numpy as np
import pyproj
import rasterio
import shapely
from rasterio.transform import from_origin

from . import places
from .cover import Codes, cover_at, outline
from .features import creek_line, heights_at
from .landform import Floats, bent, coarse_heights, curve
from .plan import EPSG, SIDE_M, SOUTH_M, WEST_M, Place

SEED: Final = 17
ELEVATION_CELL_M: Final = 2.5
COVER_CELL_M: Final = 5.0
#: Heights are rounded to this, which the files can hold in few bytes [m].
HEIGHT_STEP_M: Final = 1.0 / 16.0
#: Decimals of a degree in the written files: about 0.1 m.
DEGREE_DECIMALS: Final = 6


@dataclass(frozen=True, kw_only=True)
class Grown:
    """The grown grids, row 0 in the north: heights [m, float32] and NLCD codes."""

    elevation_m: Any
    cover: Codes


def grown() -> Grown:
    """Return the grids of the sample, grown from its seed."""
    shape_rng, rough_rng, cover_rng = (np.random.default_rng([SEED, part]) for part in range(3))
    x, y = _centres(ELEVATION_CELL_M)
    heights = heights_at(coarse_heights(shape_rng), x, y, rough_rng, ELEVATION_CELL_M)
    parts = round(COVER_CELL_M / ELEVATION_CELL_M)
    n = heights.shape[0] // parts
    smoothed = heights.reshape(n, parts, n, parts).mean(axis=(1, 3))
    codes = cover_at(smoothed, *_centres(COVER_CELL_M), cover_rng)
    rounded = np.round(heights / HEIGHT_STEP_M) * HEIGHT_STEP_M
    return Grown(elevation_m=rounded[::-1].astype(np.float32), cover=codes[::-1])


def _centres(cell_m: float) -> tuple[Floats, Floats]:
    """Return x and y of the cell centres, row 0 in the south [m from the grids' corner]."""
    centres = (np.arange(round(SIDE_M / cell_m)) + 0.5) * cell_m
    x, y = np.meshgrid(centres, centres)
    return x, y


def write_grids(folder: Path, grids: Grown) -> None:
    """Write ``elevation.tif`` and ``cover.tif``."""
    _write_grid(
        folder / "elevation.tif", grids.elevation_m, ELEVATION_CELL_M, predictor=3, unit="m"
    )
    _write_grid(folder / "cover.tif", grids.cover, COVER_CELL_M, predictor=1)


def _write_grid(path: Path, values: Any, cell_m: float, *, predictor: int, unit: str = "") -> None:
    """Write one grid as a compressed GeoTIFF."""
    with rasterio.open(
        path,
        "w",
        driver="GTiff",
        width=values.shape[1],
        height=values.shape[0],
        count=1,
        dtype=values.dtype,
        crs=f"EPSG:{EPSG}",
        transform=from_origin(WEST_M, SOUTH_M + SIDE_M, cell_m, cell_m),
        compress="DEFLATE",
        zlevel=9,
        predictor=predictor,
        tiled=True,
    ) as out:
        out.write(values, 1)
        if unit:
            out.units = (unit,)


def write_boundary(folder: Path) -> None:
    """Write ``boundary.geojson``."""
    shape = shapely.Polygon(places.BOUNDARY)
    _write_features(folder / "boundary.geojson", [_feature(shape, name=places.PROPERTY_NAME)])


def write_marks(folder: Path) -> None:
    """Write ``marks.geojson``."""
    _write_features(folder / "marks.geojson", list(marks()))


def marks() -> Iterator[dict[str, Any]]:
    """Yield every mark of the sample as a GeoJSON feature."""
    yield from _beds_and_food()
    yield from _lines()
    yield from _people()
    for kind, name, place in places.SIGN:
        yield _feature(_point(place), kind=kind, name=name)
    yield _feature(_line(places.TRAIL), kind="trail", name="Trail over the gap")


def _beds_and_food() -> Iterator[dict[str, Any]]:
    """Yield beds and food."""
    beds = (
        ("Laurel pocket", "buck", places.LAUREL),
        ("West point", "buck", places.POINT_BED),
        ("Sumac bank", "doe", places.SUMAC),
        ("Elder bottom", "doe", places.ELDER),
    )
    for name, who, corners in beds:
        yield _feature(outline(corners), kind="bed", name=name, who=who)
    yield _feature(outline(places.BEANS), kind="food", name="Bean field", crop="beans")
    yield _feature(outline(places.OAKS), kind="food", name="White oaks", crop="acorns")


def _lines() -> Iterator[dict[str, Any]]:
    """Yield creek, fences, road, and where they are open."""
    creek = shapely.LineString(creek_line()[:, :2]).intersection(shapely.box(0, 0, SIDE_M, SIDE_M))
    creek = creek.simplify(0.5)
    yield _feature(creek, kind="creek", name="Tansy Fork", width_m=12.0)
    ford = creek.interpolate(creek.project(_point(places.FORD)))
    yield _feature(ford, kind="crossing", name="Stone ford", width_m=8.0)
    pasture, hay = (
        shapely.LineString(bent(np.array(corners, dtype=np.float64)))
        for corners in (places.PASTURE_FENCE, places.HAY_FENCE)
    )
    line = shapely.LineString(places.LINE_FENCE)
    for name, fence, gap, at in (
        ("Pasture fence", pasture, "Pasture gate", _point(places.PASTURE_GAP)),
        ("Hay fence", hay, "Hay bars", _point(places.HAY_GAP)),
        ("Line fence", line, "Fallen oak", shapely.Point(places.LINE_GAP)),
    ):
        yield _feature(fence, kind="fence", name=name, height_m=1.2)
        opening = fence.interpolate(fence.project(at))
        yield _feature(opening, kind="gap", name=gap, width_m=6.0)


def _people() -> Iterator[dict[str, Any]]:
    """Yield roads, houses, gates and the yard to keep off."""
    roads = (("Fork road", places.ROAD), ("Branch road", places.BRANCH_ROAD))
    for name, corners in roads:
        yield _feature(_line(corners), kind="road", name=name)
    for name, place in places.HOUSES.items():
        yield _feature(_point(place), kind="house", name=name)
    for name, place in places.WAYS_IN.items():
        yield _feature(_point(place), kind="way-in", name=name)
    yield _feature(outline(places.YARD), kind="keep-off", name="Aldous yard")


def _point(place: Place) -> shapely.Point:
    """Return a place of the plan on the map [m from the grids' corner]."""
    return shapely.Point(bent(np.array([place], dtype=np.float64))[0])


def _line(corners: tuple[Place, ...]) -> shapely.Geometry:
    """Return a smooth line of the plan on the map, within the grids [m from their corner]."""
    square = shapely.box(0, 0, SIDE_M, SIDE_M)
    return shapely.LineString(curve(corners, 20.0)).intersection(square).simplify(0.5)


def in_degrees(shape: shapely.Geometry) -> shapely.Geometry:
    """Return a shape in longitude and latitude, rounded, outer rings counter-clockwise."""
    turn = pyproj.Transformer.from_crs(EPSG, 4326, always_xy=True)

    def degrees(points: Floats) -> Floats:
        east, north = points[:, 0] + WEST_M, points[:, 1] + SOUTH_M
        return np.round(np.column_stack(turn.transform(east, north)), DEGREE_DECIMALS)

    turned = shapely.transform(shape, degrees)
    if isinstance(turned, shapely.Polygon):
        return shapely.orient_polygons(turned)
    return turned


def _feature(shape: shapely.Geometry, **columns: object) -> dict[str, Any]:
    """Return a GeoJSON feature."""
    geometry = json.loads(shapely.to_geojson(in_degrees(shape)))
    return {"type": "Feature", "properties": columns, "geometry": geometry}


def _write_features(path: Path, features: list[dict[str, Any]]) -> None:
    """Write GeoJSON (RFC 7946), a feature a line."""
    rows = ",\n".join(json.dumps(feature) for feature in features)
    path.write_text(
        f'{{"type": "FeatureCollection", "features": [\n{rows}\n]}}\n', encoding="utf-8"
    )


def write_built_in(folder: Path) -> None:
    """Write ``built_in.csv``, the funnels that were built into the ground."""
    with (folder / "built_in.csv").open("w", newline="", encoding="utf-8") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(["name", "kind", "lon_deg", "lat_deg", "why"])
        for funnel in places.BUILT_IN:
            (lon, lat), *_ = shapely.get_coordinates(in_degrees(_point(funnel.place)))
            writer.writerow([funnel.name, funnel.kind, lon, lat, funnel.why])


def write_all(folder: Path) -> None:
    """Grow the sample and write all of its files into a folder."""
    folder.mkdir(parents=True, exist_ok=True)
    write_grids(folder, grown())
    write_boundary(folder)
    write_marks(folder)
    write_built_in(folder)


if __name__ == "__main__":
    write_all(Path(sys.argv[1]) if len(sys.argv) > 1 else Path(__file__).parent)
