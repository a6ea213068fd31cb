"""What sort of grid a file is."""

from pathlib import Path

import numpy as np
import pytest
import rasterio
from rasterio.transform import from_origin

from funnelfinder.errors import GridError
from funnelfinder.files.grids_in.grid_kind import GridKind, kind_of_grid


def write(path: Path, bands: np.ndarray) -> Path:
    with rasterio.open(
        path,
        "w",
        driver="GTiff",
        width=bands.shape[2],
        height=bands.shape[1],
        count=bands.shape[0],
        dtype=bands.dtype,
        crs="EPSG:32617",
        transform=from_origin(400_000, 4_300_000, 10, 10),
    ) as file:
        file.write(bands)
    return path


@pytest.mark.parametrize(
    ("bands", "kind"),
    [
        (np.full((1, 20, 20), 312.5, np.float32), GridKind.ELEVATION),
        (np.arange(400, dtype=np.int16).reshape(1, 20, 20), GridKind.ELEVATION),
        (np.full((1, 20, 20), 41, np.uint8), GridKind.COVER),
        # Land cover is also written with two bytes a cell.
        (np.full((1, 20, 20), 82, np.int16), GridKind.COVER),
        (np.zeros((3, 20, 20), np.uint8), GridKind.PICTURE),
    ],
    ids=["heights", "whole heights", "codes", "codes of two bytes", "picture"],
)
def test_kind_by_bands_and_values(tmp_path: Path, bands: np.ndarray, kind: GridKind) -> None:
    assert kind_of_grid(write(tmp_path / "one.tif", bands)) is kind


def test_a_file_that_is_no_grid_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "torn.tif"
    path.write_bytes(b"II*\0" + bytes(50))
    with pytest.raises(GridError, match=r"torn\.tif"):
        kind_of_grid(path)
