"""Pictures and grids to draw on."""

from pathlib import Path

import numpy as np
import pytest
import rasterio
from rasterio.transform import from_origin

from funnelfinder.errors import GridError
from funnelfinder.files.backdrop_in import read_backdrop
from tests.scenes import EAST_0, EPSG, NORTH_0


def write(path: Path, bands: np.ndarray, *, crs: str | None = f"EPSG:{EPSG}") -> Path:
    with rasterio.open(
        path,
        "w",
        driver="GTiff",
        width=bands.shape[2],
        height=bands.shape[1],
        count=bands.shape[0],
        dtype=bands.dtype,
        crs=crs,
        transform=from_origin(EAST_0, NORTH_0 + 500, 5, 5),
    ) as file:
        file.write(bands)
    return path


def test_a_picture_keeps_its_colours_and_place(tmp_path: Path) -> None:
    bands = np.zeros((3, 100, 120), dtype=np.uint8)
    bands[:, :50] = np.array([200, 120, 40])[:, None, None]
    found = read_backdrop(write(tmp_path / "air.tif", bands))
    assert found.grid.epsg == EPSG
    assert found.grid.bounds_m == (EAST_0, NORTH_0, EAST_0 + 600, NORTH_0 + 500)
    assert found.colours[10, 10].tolist() == [200, 120, 40, 255]
    assert found.colours[90, 10].tolist() == [0, 0, 0, 255]


def test_heights_become_relief(tmp_path: Path) -> None:
    x = np.mgrid[0:80, 0:80][1]
    heights = (300 + 20 * np.sin(x / 6.0))[None].astype(np.float32)
    found = read_backdrop(write(tmp_path / "heights.tif", heights))
    grey = found.colours[..., 0].astype(float)
    assert grey.std() > 5
    assert found.colours[..., 3].min() == 255


def test_a_picture_without_a_place_is_refused(tmp_path: Path) -> None:
    path = write(tmp_path / "photo.tif", np.zeros((3, 9, 9), dtype=np.uint8), crs=None)
    with pytest.raises(GridError, match="where on earth"):
        read_backdrop(path)
