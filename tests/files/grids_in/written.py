"""Grids written for these tests."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
import rasterio
import shapely
from affine import Affine
from pyproj import CRS, Transformer
from rasterio.transform import from_origin

from funnelfinder.defaults import Settings, with_setting
from funnelfinder.files.grids_in import read_grids
from funnelfinder.marks import Property

REAL = Path(__file__).parents[3].parent / "shared" / "real"


needs_real = pytest.mark.skipif(not REAL.is_dir(), reason=f"{REAL} is absent")


UTM = 32617


#: Centre of the property: central Ohio, 40.1 N 83.2 W.
X_0, Y_0 = 312_475.0, 4_441_175.0


def property_at(
    x: float = X_0, y: float = Y_0, *, side: float = 300.0, epsg: int = UTM
) -> Property:
    """A square property with a surround of 100 m and travel cells of 5 m."""
    settings = with_setting(Settings(), "surround", "100 m")
    square = shapely.box(x - side / 2, y - side / 2, x + side / 2, y + side / 2)
    return Property(
        name="Hickory Run",
        epsg=epsg,
        boundary=shapely.MultiPolygon([square]),
        settings=settings,
    )


PLACE = property_at()


def hill(x: np.ndarray, y: np.ndarray) -> np.ndarray:
    """Heights [m] of a hill 30 m high on a slope, by UTM coordinates."""
    east, north = x - X_0, y - Y_0
    return 250.0 + 0.05 * east + 30.0 * np.exp(-(east**2 + north**2) / 150.0**2)


def stripes(x: np.ndarray, y: np.ndarray) -> np.ndarray:
    """NLCD codes in stripes of 60 m: forest, crops, pasture."""
    return np.array([41, 82, 81])[(np.floor((x - X_0) / 60.0) % 3).astype(int)]


def written(
    path: Path,
    what: Callable[[np.ndarray, np.ndarray], np.ndarray] = hill,
    *,
    crs: str = f"EPSG:{UTM}",
    cell: tuple[float, float] = (5.0, 5.0),
    half: float = 300.0,
    centre: tuple[float, float] = (X_0, Y_0),
    dtype: str = "float32",
    nodata: float | None = None,
    change: Callable[[np.ndarray], np.ndarray] = lambda values: values,
    south_up: bool = False,
    **more: object,
) -> Path:
    """Write a grid of ``what`` round ``centre``, ``half`` [m] to each side."""
    system = CRS.from_user_input(crs)
    flat = system.sub_crs_list[0] if system.is_compound else system
    there = Transformer.from_crs(UTM, flat, always_xy=True)
    x, y = centre
    west, south, east, north = there.transform_bounds(x - half, y - half, x + half, y + half)
    rows, cols = round((north - south) / cell[1]), round((east - west) / cell[0])
    transform = from_origin(west, north, *cell)
    col, row = np.meshgrid(np.arange(cols) + 0.5, np.arange(rows) + 0.5)
    xs, ys = transform @ (col, row)
    back = Transformer.from_crs(flat, UTM, always_xy=True)
    values = change(np.asarray(what(*back.transform(xs, ys))))
    values = (np.rint(values) if np.dtype(dtype).kind in "iu" else values).astype(dtype)
    if south_up:
        values, transform = (
            values[::-1],
            transform @ Affine.translation(0, rows) @ Affine.scale(1, -1),
        )
    units = more.pop("units", None)
    palette = more.pop("palette", None)
    with rasterio.open(
        path, "w", driver="GTiff", height=rows, width=cols, count=1, dtype=dtype,
        crs=crs, transform=transform, nodata=nodata, **more,
    ) as out:  # fmt: skip
        out.write(values, 1)
        if units:
            out.units = (units,)
        if palette:
            out.write_colormap(1, palette)
    return path


def read(elevation: Path | list[Path], cover: Path | list[Path], **more: object):
    """Read grids for the property."""
    as_list = lambda one: one if isinstance(one, list) else [one]  # noqa: E731
    place = more.pop("place", PLACE)
    return read_grids(place, elevation=as_list(elevation), cover=as_list(cover), **more)


def errors_m(grids) -> np.ndarray:
    """Differences of the read heights to the hill [m]."""
    grid = grids.elevation.grid
    points = grid.points_m(*np.indices(grid.shape))
    expected = hill(points[:, 0], points[:, 1]).reshape(grid.shape)
    return np.abs(grids.elevation.values - expected)


def with_pit(value: float) -> Callable[[np.ndarray], np.ndarray]:
    """Return a change that puts a value into a block of 20 x 20 cells off the centre."""

    def change(values: np.ndarray) -> np.ndarray:
        changed = np.array(values)
        changed[30:50, 30:50] = value
        return changed

    return change
