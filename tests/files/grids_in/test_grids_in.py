"""Small, large and broken grids; stopping."""

from __future__ import annotations

import contextlib
import random
import tracemalloc
from pathlib import Path

import numpy as np
import pytest
import rasterio
from rasterio.transform import from_origin

from funnelfinder.errors import GridError
from funnelfinder.files.grids_in.grid_file import read_window
from funnelfinder.progress import Told
from tests.files.grids_in.written import (
    UTM,
    X_0,
    Y_0,
    errors_m,
    hill,
    read,
    stripes,
    with_pit,
    written,
)

# Sizes --------------------------------------------------------------------------------------


def test_a_grid_of_12_by_12_cells(tmp_path):
    flat = written(
        tmp_path / "small.tif", lambda x, y: 200 + 0.02 * (x - X_0), cell=(60.0, 60.0), half=360.0
    )
    codes = written(tmp_path / "c.tif", stripes, dtype="uint8", cell=(60.0, 60.0), half=360.0)
    with rasterio.open(flat) as dataset:
        assert dataset.shape == (12, 12)
    grids, _ = read(flat, codes)
    east = grids.elevation.grid.points_m(*np.indices(grids.elevation.grid.shape))[:, 0] - X_0
    expected = (200 + 0.02 * east).reshape(grids.elevation.grid.shape)
    assert np.abs(grids.elevation.values - expected).max() < 0.05


def test_a_grid_of_20_000_by_20_000_cells_is_read_by_window(tmp_path, cover, monkeypatch):
    """The file would take 1.6 GB; reading the property out of it takes a few megabytes more."""
    file = tmp_path / "huge.tif"
    side = 20_000
    corner = (X_0 - 10_000.0, Y_0 + 10_000.0)
    with rasterio.open(
        file, "w", driver="GTiff", height=side, width=side, count=1, dtype="float32",
        crs=f"EPSG:{UTM}", transform=from_origin(*corner, 1, 1), nodata=-9999,
        tiled=True, blockxsize=256, blockysize=256, SPARSE_OK=True,
    ) as out:  # fmt: skip
        window = rasterio.windows.Window(side // 2 - 512, side // 2 - 512, 1024, 1024)
        col, row = np.meshgrid(np.arange(1024) + 0.5, np.arange(1024) + 0.5)
        heights = hill(corner[0] + window.col_off + col, corner[1] - window.row_off - row)
        out.write(heights.astype("float32"), 1, window=window)
    sizes: list[int] = []

    def spying(dataset, window, name):
        sizes.append(window.width * window.height)
        return read_window(dataset, window, name)

    monkeypatch.setattr("funnelfinder.files.grids_in.mosaic.read_window", spying)
    tracemalloc.start()
    grids, _ = read(file, cover)
    _, peak_bytes = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert np.nanmax(errors_m(grids)) < 0.01
    assert 0 < max(sizes) < 520**2
    assert peak_bytes < 40e6


def test_a_file_much_finer_than_its_cells_is_read_in_parts(tmp_path, cover, monkeypatch):
    monkeypatch.setattr("funnelfinder.files.grids_in.mosaic.MOST_CELLS_HELD", 40_000)
    file = written(tmp_path / "fine.tif", cell=(0.5, 0.5), half=260.0)
    grids, _ = read(file, cover)
    assert grids.elevation.grid.cell_m == 1.0
    assert np.nanmax(errors_m(grids)) < 0.05


def test_stopping_ends_the_reading(tmp_path, cover):
    seen: list[float] = []
    stop = Told(lambda share, words: seen.append(share), lambda: len(seen) >= 1)
    with pytest.raises(Exception, match="Stopped"):
        read(written(tmp_path / "hill.tif"), cover, progress=stop)


def test_progress_rises_to_the_end(tmp_path, cover):
    seen: list[float] = []
    read(written(tmp_path / "hill.tif"), cover, progress=Told(lambda share, _: seen.append(share)))
    assert seen == sorted(seen)
    assert seen[-1] == 1.0


# Files that are no grid ---------------------------------------------------------------------


def broken(tmp_path: Path, kind: str) -> Path:
    """Return a file that is broken in one way."""
    path = tmp_path / f"{kind}.tif"
    if kind == "missing":
        return path
    if kind == "empty":
        path.touch()
    elif kind == "text":
        path.write_text("<html><body>404 Not Found</body></html>")
    elif kind == "zip":
        path.write_bytes(b"PK\x03\x04" + bytes(100))
    elif kind == "folder":
        path.mkdir()
    elif kind == "header-only":
        path.write_bytes(written(tmp_path / "whole.tif").read_bytes()[:6])
    elif kind == "truncated":
        whole = written(tmp_path / "whole.tif").read_bytes()
        path.write_bytes(whole[: len(whole) // 2])
    elif kind == "picture":
        with rasterio.open(
            path, "w", driver="GTiff", height=9, width=9, count=3, dtype="uint8",
            crs=f"EPSG:{UTM}", transform=from_origin(X_0, Y_0, 5, 5),
        ) as out:  # fmt: skip
            out.write(np.zeros((3, 9, 9), dtype="uint8"))
    return path


@pytest.mark.parametrize(
    ("kind", "word"),
    [
        ("missing", "no such file"),
        ("empty", "is empty"),
        ("text", "cannot be read as a grid"),
        ("zip", "zip archive"),
        ("folder", "cannot be read as a grid"),
        ("header-only", "cannot be read as a grid"),
        ("truncated", "cannot be read"),
        ("picture", "has 3 bands"),
    ],
)
def test_what_is_no_grid_is_said_with_its_name(tmp_path, cover, kind, word):
    file = broken(tmp_path, kind)
    with pytest.raises(GridError, match=word) as caught:
        read(file, cover)
    assert file.name in str(caught.value)
    assert caught.value.remedy
    with pytest.raises(GridError, match=word):
        read(written(tmp_path / "hill.tif"), file)


@pytest.mark.parametrize("seed", range(8))
def test_changed_bytes_give_grids_or_a_told_error(tmp_path, cover, seed):
    draw = random.Random(seed)
    degrees = {"crs": "EPSG:4326+5773", "cell": (5e-5, 5e-5), "compress": "deflate"}
    for more in ({}, degrees, {"dtype": "int16", "nodata": -32768, "change": with_pit(-32768)}):
        content = bytearray(written(tmp_path / "whole.tif", **more).read_bytes())
        for _ in range(draw.choice([1, 5, 30])):
            content[draw.randrange(draw.choice([100, 800, len(content)]))] = draw.randrange(256)
        (tmp_path / "changed.tif").write_bytes(content)
        with contextlib.suppress(GridError):
            grids, _ = read(tmp_path / "changed.tif", cover)
            assert grids.elevation.values.shape == grids.elevation.grid.shape


def test_a_list_without_files_is_an_error(tmp_path, cover):
    with pytest.raises(GridError, match="No elevation grid is given"):
        read([], cover)


def test_reading_writes_nothing(tmp_path, cover):
    file = written(tmp_path / "hill.tif")
    before = {path: path.read_bytes() for path in tmp_path.iterdir()}
    read(file, cover)
    assert {path: path.read_bytes() for path in tmp_path.iterdir()} == before
