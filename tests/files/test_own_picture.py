"""A picture of one's own: GeoTIFF, GeoPackage, MBTiles; kept in the property, there without it."""

from __future__ import annotations

from pathlib import Path

import mercantile
import numpy as np
import pytest
import rasterio
from pyproj import Transformer
from rasterio.transform import from_origin

from funnelfinder.errors import GridError
from funnelfinder.files.own_picture import MOST_SIDE, keep_picture, own_picture
from funnelfinder.files.property_file import create, load, load_origins, load_picture, save_grids
from funnelfinder.ground import travel_grid
from tests import scenes

WEST, EAST = (200, 60, 40), (30, 90, 180)


@pytest.fixture
def kept(tmp_path):
    """A property with grids, and where it is kept."""
    place, grids = scenes.scene()
    path = tmp_path / "scene.gpkg"
    create(path, place)
    save_grids(path, grids)
    return path, place


def halves(path: Path, *, crs: str = f"EPSG:{scenes.EPSG}", cell: float = 5.0, **more) -> Path:
    """A picture that is red west of the scene's middle and blue east of it."""
    wide, high = round(1200 / cell), round(1000 / cell)
    bands = np.empty((3, high, wide), dtype=np.uint8)
    bands[:, :, : wide // 2] = np.array(WEST)[:, None, None]
    bands[:, :, wide // 2 :] = np.array(EAST)[:, None, None]
    with rasterio.open(
        path, "w", height=high, width=wide, count=3, dtype="uint8", crs=crs,
        transform=from_origin(scenes.EAST_0 - 200, scenes.NORTH_0 + 800, cell, cell), **more,
    ) as file:  # fmt: skip
        file.write(bands)
    return path


def web_halves(path: Path) -> Path:
    """The same as MBTiles: square tiles of the web map (MBTiles 1.3)."""
    to_degrees = Transformer.from_crs(scenes.EPSG, 4326, always_xy=True)
    lon, lat = to_degrees.transform(scenes.EAST_0 + 400, scenes.NORTH_0 + 300)
    corner = mercantile.xy_bounds(mercantile.tile(lon, lat, 14))
    cell = (corner.right - corner.left) / 256
    bands = np.empty((3, 768, 768), dtype=np.uint8)
    west = corner.left - 256 * cell
    middle = round((mercantile.xy(lon, lat)[0] - west) / cell)
    bands[:, :, :middle] = np.array(WEST)[:, None, None]
    bands[:, :, middle:] = np.array(EAST)[:, None, None]
    with rasterio.open(
        path, "w", driver="MBTiles", height=768, width=768, count=3, dtype="uint8",
        crs="EPSG:3857", transform=from_origin(west, corner.top + 256 * cell, cell, cell),
        TILE_FORMAT="PNG",
    ) as file:  # fmt: skip
        file.write(bands)
    return path


def check_halves(colours, grid):
    """Red in the west and blue in the east, after packing as JPEG."""
    row = grid.n_rows // 2
    for x, wanted in ((100.0, WEST), (700.0, EAST)):
        col = int((scenes.EAST_0 + x - grid.west_m) / grid.cell_m)
        assert np.abs(colours[row, col].astype(int) - wanted).max() <= 8


@pytest.mark.parametrize(
    ("name", "make"),
    [
        ("air.tif", lambda path: halves(path, driver="GTiff")),
        ("air.gpkg", lambda path: halves(path, driver="GPKG", TILE_FORMAT="PNG")),
        ("air.mbtiles", web_halves),
    ],
)
def test_it_is_kept_and_needs_its_file_no_longer(kept, tmp_path, name, make):
    path, place = kept
    own = make(tmp_path / name)
    before = load(path)
    keep_picture(path, place, own)
    own.unlink()
    grid = travel_grid(place)
    check_halves(load_picture(path, grid), grid)
    after = load(path)
    assert after.place == before.place
    assert np.array_equal(after.grids.elevation.values, before.grids.elevation.values)
    (origin,) = load_origins(path)
    assert (origin.kind, origin.file, origin.source) == ("picture", name, "your own picture")


def test_a_later_one_takes_its_place(kept, tmp_path):
    path, place = kept
    keep_picture(path, place, halves(tmp_path / "a.tif", driver="GTiff"))
    keep_picture(path, place, halves(tmp_path / "b.tif", driver="GTiff"))
    assert [one.file for one in load_origins(path)] == ["b.tif"]


def test_a_very_fine_one_is_kept_no_finer_than_needed(tmp_path):
    place, _ = scenes.scene()
    picture, _ = own_picture(halves(tmp_path / "fine.tif", cell=0.25, driver="GTiff"), place)
    assert max(picture.colours.shape) <= MOST_SIDE + 2


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (lambda path: halves(path, crs=None, driver="GTiff"), "where on earth"),
        (lambda path: halves(path, crs="EPSG:32610", driver="GTiff"), "does not reach"),
        (lambda path: path, "no such file"),
        (lambda path: path.write_bytes(b"II*\0" + bytes(40)) and path, "cannot be read"),
    ],
)
def test_what_is_no_picture_of_the_place_is_refused(kept, tmp_path, make, words):
    path, place = kept
    before = path.read_bytes()
    with pytest.raises(GridError, match=words):
        keep_picture(path, place, make(tmp_path / "air.tif"))
    assert path.read_bytes() == before


def test_a_grid_is_no_picture(kept, tmp_path):
    path, place = kept
    file = tmp_path / "heights.tif"
    with rasterio.open(
        file, "w", driver="GTiff", height=50, width=50, count=1, dtype="float32",
        crs=f"EPSG:{scenes.EPSG}",
        transform=from_origin(scenes.EAST_0, scenes.NORTH_0 + 500, 10, 10),
    ) as out:  # fmt: skip
        out.write(np.zeros((1, 50, 50), dtype=np.float32))
    with pytest.raises(GridError, match="three bands"):
        keep_picture(path, place, file)


def test_a_picture_that_ends_halfway_is_refused(kept, tmp_path):
    path, place = kept
    own = halves(tmp_path / "air.tif", driver="GTiff", compress="deflate", tiled=True)
    content = own.read_bytes()
    own.write_bytes(content[: len(content) // 2])
    before = path.read_bytes()
    with pytest.raises(GridError):
        keep_picture(path, place, own)
    assert path.read_bytes() == before
