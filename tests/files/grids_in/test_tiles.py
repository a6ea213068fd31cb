"""Several tiles, and tiles that miss."""

from __future__ import annotations

import numpy as np
import pytest
import rasterio
import shapely
from affine import Affine
from pyproj import CRS
from rasterio.transform import from_origin

from funnelfinder.errors import GridError
from funnelfinder.ground import cells_of
from tests.files.grids_in.written import (
    UTM,
    X_0,
    Y_0,
    errors_m,
    read,
    stripes,
    written,
)

# Tiles --------------------------------------------------------------------------------------


def test_tiles_of_different_cell_join_without_a_seam(tmp_path, cover):
    west = written(tmp_path / "west.tif", centre=(X_0 - 150, Y_0), half=160.0, cell=(2.0, 2.0))
    east = written(
        tmp_path / "east.tif",
        centre=(X_0 + 150, Y_0),
        half=170.0,
        cell=(1e-4, 1e-4),
        crs="EPSG:4269",
    )
    wide = written(tmp_path / "wide.tif", half=330.0, cell=(10.0, 10.0))
    grids, _ = read([west, east, wide], cover)
    assert np.isfinite(grids.elevation.values).all()
    # Half an edge cell of the 10 m tile has nothing beyond it to interpolate with: 5 m x 0.2.
    assert np.nanmax(errors_m(grids)) < 1.0
    assert grids.elevation.source_cell_m == pytest.approx(2.0, abs=0.01)
    assert grids.elevation.source == "west.tif, east.tif, wide.tif"
    assert not any("differ" in note for note in grids.notes)


@pytest.mark.parametrize(
    ("crs", "cell"), [("EPSG:4269", 1 / 10_800), ("EPSG:26917", 10.0), ("EPSG:5070", 30.0)]
)
def test_tiles_cut_from_one_grid_give_what_the_whole_gives(tmp_path, cover, crs, cell):
    whole = written(tmp_path / "whole.tif", crs=crs, cell=(cell, cell), half=420.0)
    with rasterio.open(whole) as dataset:
        profile, values = dataset.profile, dataset.read(1)
    # The north-west tile reaches two cells into its neighbours, as public tiles do.
    places = [(0, 0, 14, 13), (0, 11, 12, None), (12, 0, None, 11), (12, 11, None, None)]
    tiles = []
    for n, (row, col, last_row, last_col) in enumerate(places):
        part = values[row:last_row, col:last_col]
        own = {
            "height": part.shape[0],
            "width": part.shape[1],
            "transform": profile["transform"] @ Affine.translation(col, row),
        }
        tiles.append(tmp_path / f"tile{n}.tif")
        with rasterio.open(tiles[-1], "w", **{**profile, **own}) as out:
            out.write(part, 1)
    expected, _ = read(whole, cover)
    grids, _ = read(tiles, cover)
    assert np.array_equal(grids.elevation.values, expected.elevation.values)
    assert not any("differ" in note for note in grids.notes)


@pytest.mark.parametrize("cell", [5.0, 7.0])
def test_earlier_files_win_and_disagreement_is_noted(tmp_path, cover, cell):
    # Cells of 5 m lie on those of the first file, cells of 7 m do not.
    first = written(tmp_path / "first.tif", half=150.0)
    second = written(
        tmp_path / "second.tif", cell=(cell, cell), change=lambda values: values + 3.0, half=315.0
    )
    grids, _ = read([first, second], cover)
    inside = cells_of(shapely.box(X_0 - 140, Y_0 - 140, X_0 + 140, Y_0 + 140), grids.elevation.grid)
    errors = errors_m(grids)
    assert errors[inside].max() < 0.01
    assert np.nanmedian(errors[~inside]) == pytest.approx(3.0, abs=0.02)
    assert any("second.tif and the files before it differ by 3.0 m" in note for note in grids.notes)


def test_what_holds_of_many_tiles_is_said_once(tmp_path, cover):
    tiles = [
        written(tmp_path / f"t{n}.tif", centre=(X_0 - 200 + 100 * n, Y_0), half=260.0)
        for n in range(5)
    ]
    grids, _ = read(tiles, cover)
    note = (
        "t0.tif, t1.tif, t2.tif and 2 more: the unit of heights is not stated; metres were taken."
    )
    assert [note for note in grids.notes if "unit of heights" in note] == [note]


def test_an_ascii_grid_with_its_projection_beside_it(tmp_path, cover):
    file = tmp_path / "county.asc"
    rows = [" ".join(["250.25"] * 120)] * 120
    rows[50] = " ".join(["-9999"] * 120)
    head = (
        f"ncols 120\nnrows 120\nxllcorner {X_0 - 300}\nyllcorner {Y_0 - 300}\n"
        "cellsize 5\nNODATA_value -9999\n"
    )
    file.write_text(head + "\n".join(rows))
    with pytest.raises(GridError, match="does not say where on earth"):
        read(file, cover)
    file.with_suffix(".prj").write_text(CRS.from_epsg(UTM).to_wkt("WKT1_ESRI"))
    grids, _ = read(file, cover)
    assert np.nanmax(np.abs(grids.elevation.values - 250.25)) < 1e-3
    assert np.isnan(grids.elevation.values).any(axis=1).sum() == 1


def test_a_fill_value_that_the_cells_cannot_hold_does_no_harm(tmp_path, cover):
    inner = written(tmp_path / "c.tif", stripes, dtype="uint8", half=400.0)
    with rasterio.open(inner) as dataset:
        rows, transform = dataset.height, dataset.transform
    band = (
        '<VRTRasterBand dataType="Byte" band="1"><NoDataValue>-9999</NoDataValue><SimpleSource>'
        '<SourceFilename relativeToVRT="1">c.tif</SourceFilename><SourceBand>1</SourceBand>'
        "</SimpleSource></VRTRasterBand>"
    )
    (tmp_path / "c.vrt").write_text(
        f'<VRTDataset rasterXSize="{rows}" rasterYSize="{rows}"><SRS>EPSG:{UTM}</SRS>'
        f"<GeoTransform>{', '.join(map(str, transform.to_gdal()))}</GeoTransform>"
        f"{band}</VRTDataset>"
    )
    grids, _ = read(written(tmp_path / "hill.tif"), tmp_path / "c.vrt")
    assert set(np.unique(grids.cover.values)) == {41, 81, 82}


def test_a_tile_that_misses_is_named_and_left_out(tmp_path, cover):
    near = written(tmp_path / "near.tif")
    far = written(tmp_path / "far.tif", centre=(X_0 + 20_000, Y_0))
    grids, _ = read([far, near], cover)
    assert any("far.tif: it lies 12." in note and "east of" in note for note in grids.notes)


@pytest.mark.parametrize(
    ("east", "north", "way"),
    [(-64_674, 0, "40.0 miles west"), (0, 50_000, "30.9 miles north"), (9e3, -9e3, "south-east")],
)
def test_a_grid_that_misses_says_how_far_and_where(tmp_path, cover, east, north, way):
    # The nearest edge lies 300 m nearer than the centre: 64.4 km are 40 miles.
    file = written(tmp_path / "off.tif", centre=(X_0 + east, Y_0 + north))
    with pytest.raises(GridError, match=rf"off\.tif: It lies .*{way} of your boundary"):
        read(file, cover)


def test_a_grid_on_another_continent_misses(tmp_path, cover):
    file = tmp_path / "away.tif"
    with rasterio.open(
        file, "w", driver="GTiff", height=10, width=10, count=1, dtype="float32",
        crs="EPSG:32755", transform=from_origin(350_000, 5_900_000, 5, 5),
    ) as out:  # fmt: skip
        out.write(np.ones((10, 10), dtype="float32"), 1)
    with pytest.raises(GridError, match=r"miles .* of your boundary"):
        read(file, cover)
