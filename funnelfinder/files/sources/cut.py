"""The window of a grid that a property needs, cut out into a file of its own and checked."""

from __future__ import annotations

import hashlib
import math
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path
from typing import Any, Final

import numpy as np
import rasterio
from affine import Affine
from pyproj import CRS
from pyproj.exceptions import ProjError
from rasterio.enums import Resampling
from rasterio.errors import RasterioError
from rasterio.warp import reproject
from rasterio.windows import Window

from funnelfinder.files.map_systems import way
from funnelfinder.files.sources.area import Area
from funnelfinder.files.sources.faults import Fault, WireError
from funnelfinder.files.sources.table import Bring, Source
from funnelfinder.kernels import AnyArray, BoolArray
from funnelfinder.land_cover import LEGENDS, shipped_table

#: Cells around the window, for the interpolation at its rim.
_MARGIN: Final = 4
_MOST_CELLS: Final = 80_000_000
#: An overview may be coarser than the wanted cells by this share.
_SLACK: Final = 1.05
#: Dead Sea shore and Mount Everest lie within [m].
_LOWEST_M, _HIGHEST_M = -500.0, 9000.0
#: More cells with codes of no class than this, and it is another kind of grid (judgement).
_MOST_UNKNOWN: Final = 0.02
_UNITS_M: Final = {"m": 1.0, "ft": 0.3048, "us-ft": 1200 / 3937, "": 1.0}
_SAID_UNITS: Final = {"m": "metre", "ft": "foot", "us-ft": "US survey foot", "": ""}

Check = Callable[[], None]


@dataclass(frozen=True, kw_only=True)
class Cut:
    """A window of one file of a source.

    ``is_known`` tells which cells of the area it has values for; ``fingerprint`` is of its values,
    ``version`` what the server calls the file's version, ``is_full`` whether it has the file's own
    cells, not those of an overview, and ``on`` the day it came.
    """

    source: Source
    name: str
    address: str
    path: Path
    is_known: BoolArray
    cell_m: float
    fingerprint: str
    version: str = ""
    is_full: bool = True
    on: date = field(default_factory=date.today)


@contextmanager
def reading(name: str, check: Check) -> Iterator[None]:
    """Say what the grid library could not do, after what happened on the way."""
    try:
        yield
    except (RasterioError, ProjError, OSError, ValueError, MemoryError) as error:
        check()
        if isinstance(error, WireError):
            raise
        raise WireError(Fault.DAMAGED, where=name) from error
    check()


def cut_out(
    opened: Callable[[int], Any],
    *,
    source: Source,
    name: str,
    area: Area,
    wanted_cell_m: float,
    path: Path,
    check: Check,
) -> tuple[AnyArray, dict[str, Any]] | None:
    """Return the values of a file under an area with their profile; None if none are.

    Parameters
    ----------
    opened : callable
        Opens the dataset at an overview; -1 is full resolution.
    source : Source
        Unit and holes where the file does not say.
    name : str
        What to call the file.
    area : Area
        Where.
    wanted_cell_m : float
        Cells no coarser than this are wanted [m].
    path : Path
        Where the window is written.
    check : callable
        Raises what went wrong on the way.

    Raises
    ------
    WireError
        If the file is damaged, of another kind, or what is read back from ``path`` differs.
    """
    with reading(name, check), opened(-1) as dataset:
        check()
        crs = _crs(dataset, source, name)
        factors = dataset.overviews(1)
        cell_m = _cell_m(dataset.transform, crs, area)
        shape = dataset.shape
    level = _level(factors, cell_m, wanted_cell_m)
    with reading(name, check), opened(level) as dataset:
        check()
        if level >= 0 and dataset.shape != _thinned(shape, factors[level]):
            raise WireError(Fault.DAMAGED, where=name, more="an overview of another size")
        window = _window(dataset, crs, area)
        if window is None:
            return None
        values = _values(dataset, window, check)
        nodata = dataset.nodata if dataset.nodata is not None else source.nodata
        profile = {
            "crs": crs.to_wkt(version="WKT2_2019"),
            "transform": dataset.window_transform(window),
            "nodata": nodata if _fits(nodata, values.dtype) else None,
            "unit": dataset.units[0] or _SAID_UNITS.get(source.unit, ""),
            "scale": dataset.scales[0],
            "offset": dataset.offsets[0],
            "cell_m": cell_m * (factors[level] if level >= 0 else 1),
            "is_full": level < 0,
        }
    _check_values(values, profile, source, name)
    write_checked(path, values, profile, name)
    return values, profile


def _fits(nodata: float | None, dtype: Any) -> bool:
    """Return whether a value for holes can stand in a type of cells."""
    if nodata is None or dtype.kind == "f":
        return nodata is not None
    info = np.iinfo(dtype)
    return bool(np.isfinite(nodata) and info.min <= nodata <= info.max)


def _crs(dataset: Any, source: Source, name: str) -> CRS:
    """Return the map system of a grid with one band of numbers; a fault for anything else."""
    if dataset.count != 1 or np.dtype(dataset.dtypes[0]).kind not in "iuf":
        raise WireError(Fault.WRONG_TYPE, where=name, more=f"{dataset.count} bands")
    if dataset.transform.is_identity:
        raise WireError(Fault.WRONG_TYPE, where=name, more="no position")
    if dataset.crs is None:
        return CRS.from_user_input(source.crs)
    return CRS.from_wkt(dataset.crs.to_wkt(version="WKT2_2019"))


def _cell_m(transform: Affine, crs: CRS, area: Area) -> float:
    """Return the side of a square as large as a cell near the area's middle [m]."""
    west, south, east, north = area.bounds_in(crs)
    x, y = (west + east) / 2, (south + north) / 2
    xs = np.array([x, x + transform.a, x])
    ys = np.array([y, y, y + transform.e])
    px, py = way(crs, area.grid.epsg).transform(xs, ys)
    size = 0.0
    if np.isfinite([*px, *py]).all():
        size = abs((px[1] - px[0]) * (py[2] - py[0]) - (px[2] - px[0]) * (py[1] - py[0]))
    if not size > 0:
        raise WireError(Fault.WRONG_TYPE, where=crs.name, more="cells that lie nowhere")
    return math.sqrt(float(size))


def _level(factors: list[int], cell_m: float, wanted_m: float) -> int:
    """Return the coarsest overview that is fine enough; -1 is full resolution."""
    most = wanted_m * _SLACK / cell_m
    fitting = [n for n, factor in enumerate(factors) if 1 < factor <= most]
    return fitting[-1] if fitting else -1


def _thinned(shape: tuple[int, int], factor: int) -> tuple[int, int]:
    """Return the rows and columns of an overview."""
    return -(-shape[0] // factor), -(-shape[1] // factor)


def _window(dataset: Any, crs: CRS, area: Area) -> Window | None:
    """Return the cells under an area with a margin; None if there are none."""
    west, south, east, north = area.bounds_in(crs)
    inverse = ~dataset.transform
    corners = [inverse @ corner for corner in ((west, north), (east, south))]
    cols = sorted(corner[0] for corner in corners)
    rows = sorted(corner[1] for corner in corners)
    if cols[1] <= 0 or rows[1] <= 0 or cols[0] >= dataset.width or rows[0] >= dataset.height:
        return None
    col0, row0 = (max(math.floor(ends[0]) - _MARGIN, 0) for ends in (cols, rows))
    col1 = min(math.ceil(cols[1]) + _MARGIN, dataset.width)
    row1 = min(math.ceil(rows[1]) + _MARGIN, dataset.height)
    if (col1 - col0) * (row1 - row0) > _MOST_CELLS:
        raise WireError(Fault.TOO_LARGE, where=Path(dataset.name).name)
    return Window(col0, row0, col1 - col0, row1 - row0)


def _values(dataset: Any, window: Window, check: Check) -> AnyArray:
    """Read a window in bands as high as the file's blocks; nothing is believed after a fault."""
    high = max(int(dataset.block_shapes[0][0]), 64)
    parts, row, end = [], int(window.row_off), int(window.row_off + window.height)
    while row < end:
        next_row = min((row // high + 1) * high, end)
        part = Window(window.col_off, row, window.width, next_row - row)
        parts.append(dataset.read(1, window=part))
        check()
        row = next_row
    return np.concatenate(parts)


def known_values(values: AnyArray, nodata: float | None) -> BoolArray:
    """Return where a grid has values."""
    known = np.isfinite(values) if values.dtype.kind == "f" else np.ones(values.shape, dtype=bool)
    if nodata is not None and not math.isnan(nodata):
        known &= values != np.array(nodata).astype(values.dtype)
    return np.asarray(known)


def _check_values(values: AnyArray, profile: dict[str, Any], source: Source, name: str) -> None:
    """Raise `WireError` for heights that no ground has, or codes that no legend has."""
    found = values[known_values(values, profile["nodata"])]
    if not found.size:
        return
    if source.kind is Bring.ELEVATION:
        scale_m = _UNITS_M.get(source.unit, 1.0) * profile["scale"]
        heights = found[[found.argmin(), found.argmax()]].astype(float) * scale_m
        if heights[0] < _LOWEST_M or heights[1] > _HIGHEST_M:
            raise WireError(Fault.WRONG_TYPE, where=name, more=f"heights up to {heights[1]:,.0f} m")
    elif source.legend in LEGENDS:
        codes, counts = np.unique(found, return_counts=True)
        table = shipped_table(source.legend).by_code
        strange = sum(
            int(count)
            for code, count in zip(codes.tolist(), counts.tolist(), strict=True)
            if code not in table
        )
        if strange > _MOST_UNKNOWN * found.size:
            raise WireError(
                Fault.WRONG_TYPE, where=name, more=f"codes that {source.legend} does not have"
            )


def write_checked(path: Path, values: AnyArray, profile: dict[str, Any], name: str) -> None:
    """Write a window as a grid file, and read it back to compare."""
    with reading(name, nothing):
        with rasterio.open(
            path,
            "w",
            driver="GTiff",
            height=values.shape[0],
            width=values.shape[1],
            count=1,
            dtype=values.dtype,
            crs=profile["crs"],
            transform=profile["transform"],
            nodata=profile["nodata"],
            compress="deflate",
        ) as out:
            out.write(values, 1)
            out.units = (profile["unit"],)
            out.scales, out.offsets = (profile["scale"],), (profile["offset"],)
        with rasterio.open(path) as dataset:
            again = dataset.read(1)
    if fingerprint_of(again) != fingerprint_of(values):
        raise WireError(Fault.DAMAGED, where=name, more="it could not be written as it is")


def nothing() -> None:
    """Check nothing."""


def fingerprint_of(values: AnyArray) -> str:
    """Return the fingerprint of values: 32 hexadecimal digits."""
    head = f"{values.dtype.str}{values.shape}".encode()
    return hashlib.sha256(head + np.ascontiguousarray(values).tobytes()).hexdigest()[:32]


def known_on(values: AnyArray, profile: dict[str, Any], area: Area) -> BoolArray:
    """Return which cells of an area a window has values for."""
    known = np.zeros(area.grid.shape, dtype=np.uint8)
    reproject(
        known_values(values, profile["nodata"]).astype(np.uint8),
        known,
        src_transform=profile["transform"],
        src_crs=profile["crs"],
        dst_transform=area.grid.transform,
        dst_crs=rasterio.CRS.from_epsg(area.grid.epsg),
        resampling=Resampling.nearest,
    )
    return np.asarray(known > 0)
