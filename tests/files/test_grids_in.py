"""Grid files as people have them: map systems, units, holes, tiles, sizes, and what is no grid.

The grids are made here from one smooth hill, so that what must come out is known; the real ones
(public lidar and radar grids) lie outside the repository and are skipped where absent.
"""

from __future__ import annotations

import contextlib
import random
import tracemalloc
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
import rasterio
import shapely
from affine import Affine
from pyproj import CRS, Transformer
from rasterio.enums import Resampling
from rasterio.transform import from_origin
from rasterio.warp import reproject

from funnelfinder.defaults import Settings, with_setting
from funnelfinder.errors import GridError, SettingError
from funnelfinder.files.grids_in import read_grids
from funnelfinder.files.grids_in.grid_file import read_window
from funnelfinder.ground import cells_of, prepare_ground, travel_grid
from funnelfinder.land_cover import CoverClass, CoverTable, shipped_table
from funnelfinder.marks import Property
from funnelfinder.progress import Told
from funnelfinder.units import FOOT_M, US_SURVEY_FOOT_M

REAL = Path(__file__).parents[2].parent / "shared" / "real"
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


@pytest.fixture
def cover(tmp_path: Path) -> Path:
    """A plain cover grid over the whole extent."""
    return written(tmp_path / "cover.tif", stripes, dtype="uint8", half=400.0)


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


def test_a_grid_on_the_same_cells_comes_in_unchanged(tmp_path, cover):
    # The centre is moved by 0 m: edges of file and property both lie on multiples of 5 m.
    file = written(tmp_path / "hill.tif")
    grids, table = read(file, cover)
    assert grids.elevation.values.dtype == np.float32
    assert np.nanmax(errors_m(grids)) < 1e-3
    assert grids.cover.grid == travel_grid(PLACE)
    assert grids.cover.values.dtype == np.uint8
    assert table.legend == "nlcd"
    assert grids.elevation.source_cell_m == pytest.approx(5.0)
    with pytest.raises(ValueError, match="read-only"):
        grids.elevation.values[0, 0] = 0.0


# Map systems and cell shapes ----------------------------------------------------------------


@pytest.mark.parametrize(
    ("crs", "cell"),
    [
        ("EPSG:4326", (5 / 85_000, 5 / 111_000)),  # degrees, square on the ground
        ("EPSG:4269", (1 / 10_800 / 2, 1 / 10_800 / 3)),  # degrees, not square either way
        ("EPSG:5070", (5.0, 5.0)),  # Albers, turned by 8 degrees here
        ("EPSG:26917", (2.5, 5.0)),
        ("EPSG:3857", (6.0, 6.0)),
        ("EPSG:32616", (5.0, 5.0)),  # the neighbouring zone
    ],
)
def test_any_map_system_gives_the_same_heights(tmp_path, cover, crs, cell):
    file = written(tmp_path / "hill.tif", crs=crs, cell=cell, half=320.0)
    grids, _ = read(file, cover)
    # NAD 83 and WGS 84 count as one; the hill's steepest slope is 0.2, cells are about 5 m.
    assert np.nanpercentile(errors_m(grids), 99) < 0.15
    assert np.isfinite(grids.elevation.values).all()


def test_a_south_up_grid_is_read_right_side_up(tmp_path, cover):
    file = written(tmp_path / "up.tif", south_up=True)
    with rasterio.open(file) as dataset:
        assert dataset.transform.e > 0
    grids, _ = read(file, cover)
    assert np.nanmax(errors_m(grids)) < 1e-3


def test_south_up_cover_and_coarsening_agree_with_north_up(tmp_path, cover):
    up = written(tmp_path / "up.tif", stripes, dtype="uint8", cell=(2.0, 2.0), south_up=True)
    down = written(tmp_path / "down.tif", stripes, dtype="uint8", cell=(2.0, 2.0))
    hills = written(tmp_path / "hill.tif", cell=(1.7, 1.7), south_up=True)
    first, _ = read(hills, up)
    second, _ = read(hills, down)
    assert np.array_equal(first.cover.values, second.cover.values)
    assert np.nanmax(errors_m(first)) < 0.2


def test_longitudes_from_0_to_360_are_turned(tmp_path, cover):
    file = written(tmp_path / "plain.tif", crs="EPSG:4326", cell=(5e-5, 5e-5))
    with rasterio.open(file) as dataset:
        profile, values = dataset.profile, dataset.read(1)
    profile["transform"] = Affine.translation(360, 0) @ profile["transform"]
    with rasterio.open(tmp_path / "turned.tif", "w", **profile) as out:
        out.write(values, 1)
    grids, _ = read(tmp_path / "turned.tif", cover)
    assert np.nanpercentile(errors_m(grids), 99) < 0.15


def test_a_compound_system_is_used_by_its_two_parts(tmp_path, cover):
    to_feet = lambda values: values / US_SURVEY_FOOT_M  # noqa: E731
    file = written(tmp_path / "hill.tif", crs="EPSG:26917+6360", change=to_feet)
    grids, _ = read(file, cover)
    assert np.nanmax(errors_m(grids)) < 0.01
    assert not any("unit" in note for note in grids.notes)


def test_an_old_datum_is_said_to_be_rough(tmp_path, cover):
    # NAD 27 / UTM 17N (EPSG:26717): without shift grids its positions are known to tens of metres.
    file = written(tmp_path / "old.tif", crs="EPSG:26717", half=330.0)
    grids, _ = read(file, cover)
    assert any("old.tif: positions on its old datum" in note for note in grids.notes)
    assert np.nanmedian(errors_m(grids)) < 2.5


def test_south_of_the_equator(tmp_path):
    x, y = 350_000.0, 5_900_000.0
    place = property_at(x, y, epsg=32755)
    square = {"driver": "GTiff", "height": 140, "width": 140, "count": 1, "crs": "EPSG:32755"}
    for name, value, dtype in (("hill.tif", 77.0, "float32"), ("cover.tif", 41, "uint8")):
        transform = from_origin(x - 350, y + 350, 5, 5)
        with rasterio.open(tmp_path / name, "w", dtype=dtype, transform=transform, **square) as out:
            out.write(np.full((140, 140), value, dtype=dtype), 1)
    grids, _ = read(tmp_path / "hill.tif", tmp_path / "cover.tif", place=place, legend="nlcd")
    assert np.allclose(grids.elevation.values, 77.0)


def test_a_property_across_a_zone_edge_reads_tiles_of_both_zones(tmp_path):
    x, y = Transformer.from_crs(4326, UTM, always_xy=True).transform(-84.0, 40.1)
    place = property_at(x, y)
    files = {}
    for zone in (16, 17):
        files[zone] = written(
            tmp_path / f"zone{zone}.tif",
            lambda x, y: np.full(x.shape, 200.0),
            crs=f"EPSG:326{zone}",
            centre=(x + (zone - 16.5) * 400, y),
            half=320.0,
        )
    cover = written(
        tmp_path / "cover.tif", stripes, dtype="uint8", centre=(x, y), crs="EPSG:5070", half=400.0
    )
    grids, _ = read([files[16], files[17]], cover, place=place)
    assert np.allclose(grids.elevation.values, 200.0, atol=1e-3)


def test_no_map_system_is_an_error_that_asks(tmp_path, cover):
    file = written(tmp_path / "hill.tif")
    with rasterio.open(file) as dataset:
        values, profile = dataset.read(1), dataset.profile
    profile.pop("crs")
    with rasterio.open(tmp_path / "lost.tif", "w", **profile) as out:
        out.write(values, 1)
    with pytest.raises(GridError, match=r"lost\.tif: It does not say where on earth"):
        read(tmp_path / "lost.tif", cover)


def test_local_coordinates_are_an_error(tmp_path, cover):
    local = 'LOCAL_CS["site grid",UNIT["metre",1]]'
    file = tmp_path / "site.tif"
    with rasterio.open(
        file, "w", driver="GTiff", height=10, width=10, count=1, dtype="float32",
        crs=rasterio.crs.CRS.from_wkt(local), transform=from_origin(X_0, Y_0, 5, 5),
    ) as out:  # fmt: skip
        out.write(np.ones((10, 10), dtype="float32"), 1)
    with pytest.raises(GridError, match=r"site\.tif"):
        read(file, cover)


# Units of heights ---------------------------------------------------------------------------
# Codes of vertical systems: EPSG registry, 5703 NAVD88 height (m), 8228 NAVD88 height (ft),
# 6360 NAVD88 height (ftUS). EPSG:3735 is NAD83 / Ohio South (ftUS), 3753 its HARN kin.


@pytest.mark.parametrize(
    ("vertical", "unit_m"), [("5703", 1.0), ("8228", FOOT_M), ("6360", US_SURVEY_FOOT_M)]
)
def test_state_plane_feet_with_a_vertical_system(tmp_path, cover, vertical, unit_m):
    file = written(
        tmp_path / "hill.tif",
        crs=f"EPSG:3735+{vertical}",
        cell=(16.0, 16.0),
        half=320.0,
        change=lambda values: values / unit_m,
    )
    grids, _ = read(file, cover)
    assert np.nanpercentile(errors_m(grids), 99) < 0.15
    assert grids.elevation.source_cell_m == pytest.approx(16.0 * US_SURVEY_FOOT_M, abs=0.01)


def test_state_plane_feet_without_a_height_unit_are_asked_for(tmp_path, cover):
    file = written(tmp_path / "hill.tif", crs="EPSG:3735", cell=(16.0, 16.0), half=320.0)
    with pytest.raises(GridError, match=r"hill\.tif: Its map is in feet.*Pass the height unit"):
        read(file, cover)
    grids, _ = read(file, cover, height_unit="m")
    assert np.nanpercentile(errors_m(grids), 99) < 0.15


@pytest.mark.parametrize("word", ["us-ft", "ft", "feet"])
def test_the_unit_told_is_used(tmp_path, cover, word):
    file = written(
        tmp_path / "hill.tif",
        crs="EPSG:3735",
        cell=(16.0, 16.0),
        half=320.0,
        change=lambda values: values / FOOT_M,
    )
    grids, _ = read(file, cover, height_unit=word)
    assert np.nanpercentile(errors_m(grids), 99) < 0.15


def test_a_band_says_its_unit(tmp_path, cover):
    file = written(
        tmp_path / "hill.tif", units="us-ft", change=lambda values: values / US_SURVEY_FOOT_M
    )
    grids, _ = read(file, cover)
    assert np.nanmax(errors_m(grids)) < 0.01


def test_metres_are_taken_with_a_note_on_a_metric_map(tmp_path, cover):
    grids, _ = read(written(tmp_path / "hill.tif"), cover)
    assert "hill.tif: the unit of heights is not stated; metres were taken." in grids.notes


def test_the_word_of_the_person_overrules_the_file_and_is_noted(tmp_path, cover):
    file = written(
        tmp_path / "hill.tif", crs=f"EPSG:{UTM}+5703", change=lambda values: values / FOOT_M
    )
    grids, _ = read(file, cover, height_unit="ft")
    assert np.nanmax(errors_m(grids)) < 0.01
    assert any("it says metres" in note for note in grids.notes)


def test_a_file_that_contradicts_itself_is_asked_about(tmp_path, cover):
    file = written(tmp_path / "hill.tif", crs=f"EPSG:{UTM}+5703", units="us-ft")
    with pytest.raises(GridError, match="Its vertical system says metres, its band feet"):
        read(file, cover)
    assert read(file, cover, height_unit="m")


def test_a_surface_model_is_named_as_one(tmp_path, cover):
    # Copernicus GLO-30 is one, by its file names (Copernicus_DSM_COG_10_N40_00_W084_00_DEM.tif).
    grids, _ = read(written(tmp_path / "World_DSM_10_N40.tif"), cover)
    assert any("World_DSM_10_N40.tif: by its name it is a surface" in note for note in grids.notes)
    grids, _ = read(written(tmp_path / "windsmill.tif"), cover)
    assert not any("surface model" in note for note in grids.notes)


def test_an_unknown_unit_is_an_error(tmp_path, cover):
    with pytest.raises(GridError, match="'fathoms' is no unit of heights"):
        read(written(tmp_path / "hill.tif"), cover, height_unit="fathoms")


def test_scaled_integers_are_unscaled(tmp_path, cover):
    file = written(tmp_path / "hill.tif", dtype="int16", change=lambda values: values * 10)
    with rasterio.open(file, "r+") as dataset:
        dataset.scales, dataset.offsets = (0.1,), (0.0,)
    grids, _ = read(file, cover)
    assert np.nanmax(errors_m(grids)) < 0.11


# Holes --------------------------------------------------------------------------------------


def with_pit(value: float) -> Callable[[np.ndarray], np.ndarray]:
    """Return a change that puts a value into a block of 20 x 20 cells off the centre."""

    def change(values: np.ndarray) -> np.ndarray:
        changed = np.array(values)
        changed[30:50, 30:50] = value
        return changed

    return change


@pytest.mark.parametrize(
    ("dtype", "fill", "nodata"),
    [
        ("int16", -32768, -32768),
        ("int16", -32768, None),
        ("int32", -999999, -999999),
        ("float32", -999999, None),
        ("float32", -9999, None),
        ("float32", 1e38, 1e38),
        ("float32", 1e38, None),
        ("float32", -3.4028234663852886e38, -3.4028234663852886e38),
        ("float32", np.nan, None),
        ("float32", np.nan, np.nan),
        ("uint16", 65535, None),
        ("float32", 0.0, None),
        ("int16", 0, 0),
    ],
)
@pytest.mark.parametrize("cell", [5.0, 2.5, 10.0])
def test_fill_values_become_holes_and_never_bleed(tmp_path, cover, *, dtype, fill, nodata, cell):
    place = property_at(side=100.0)
    file = written(
        tmp_path / "hill.tif",
        cell=(cell, cell),
        half=cell * 60,
        dtype=dtype,
        nodata=nodata,
        change=with_pit(fill),
    )
    grids, _ = read(file, cover, place=property_at(side=300.0) if cell == 5.0 else place)
    heights = grids.elevation.values
    known = np.isfinite(heights)
    # Whole metres lose half of one; nothing else may move a height beside the hole.
    assert np.nanmax(errors_m(grids)) < 0.6 + 0.05 * cell
    hole_m2 = (~known).sum() * grids.elevation.grid.cell_m**2
    if cell == 5.0:
        assert hole_m2 == pytest.approx((20 * cell) ** 2, rel=0.05)
        assert any("covers 9" in note for note in grids.notes)


def test_untagged_fill_is_named_in_a_note(tmp_path, cover):
    file = written(tmp_path / "hill.tif", dtype="int16", change=with_pit(-32768))
    grids, _ = read(file, cover)
    assert any("-32768 are no heights" in note for note in grids.notes)


def test_a_lake_at_0_m_beside_low_ground_is_no_hole(tmp_path, cover):
    file = written(
        tmp_path / "coast.tif", lambda x, y: np.maximum(hill(x, y) - 260.0, 0.0), half=300.0
    )
    grids, _ = read(file, cover)
    assert np.isfinite(grids.elevation.values).all()


def test_a_lake_stays_level_when_cells_become_smaller(tmp_path, cover):
    def lake(x: np.ndarray, y: np.ndarray) -> np.ndarray:
        return np.where(np.hypot(x - X_0, y - Y_0) < 120.0, 240.0, hill(x, y))

    grids, _ = read(written(tmp_path / "lake.tif", lake, cell=(10.0, 10.0), half=320.0), cover)
    grid = grids.elevation.grid
    points = grid.points_m(*np.indices(grid.shape))
    inner = (np.hypot(points[:, 0] - X_0, points[:, 1] - Y_0) < 90.0).reshape(grid.shape)
    assert np.abs(grids.elevation.values[inner] - 240.0).max() < 1e-3


def test_integer_heights_refine_smoothly(tmp_path, cover):
    file = written(tmp_path / "hill.tif", dtype="int16", cell=(30.0, 30.0), half=330.0)
    grids, _ = read(file, cover)
    assert grids.elevation.grid.cell_m == 5.0
    assert np.nanmax(errors_m(grids)) < 1.5


def test_only_holes_is_an_error(tmp_path, cover):
    file = written(tmp_path / "none.tif", nodata=-9999, change=lambda values: 0 * values - 9999)
    with pytest.raises(GridError, match=r"only holes on Hickory Run"):
        read(file, cover)


@pytest.mark.parametrize("fill", [-9999.0, np.nan])
def test_a_tile_that_is_all_untagged_fill_leaves_the_others(tmp_path, cover, fill):
    empty = written(tmp_path / "empty.tif", change=lambda values: 0 * values + fill)
    grids, _ = read([empty, written(tmp_path / "hill.tif")], cover)
    assert np.nanmax(errors_m(grids)) < 1e-3
    assert grids.elevation.source == "hill.tif"


def test_no_height_at_all_is_an_error(tmp_path, cover):
    file = written(tmp_path / "far.tif", change=lambda values: values + 20_000)
    with pytest.raises(GridError, match=r"far\.tif: Its cells, such as .* are no heights"):
        read(file, cover)


def test_partial_cover_is_a_note_with_its_share(tmp_path, cover):
    file = written(tmp_path / "part.tif", half=125.0)
    grids, _ = read(file, cover)
    share = np.isfinite(grids.elevation.values).mean()
    assert 0.2 < share < 0.3
    note = f"The elevation covers {100 * share:.0f} % of the extent; the rest counts as a hole."
    assert note in grids.notes


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


# Land cover ---------------------------------------------------------------------------------


def expected_stripes(grids) -> np.ndarray:
    """The stripes at the centres of the travel cells."""
    grid = grids.cover.grid
    points = grid.points_m(*np.indices(grid.shape))
    return stripes(points[:, 0], points[:, 1]).reshape(grid.shape)


@pytest.mark.parametrize("cell", [1.0, 2.5, 5.0])
def test_classes_are_never_interpolated(tmp_path, cell):
    hills = written(tmp_path / "hill.tif")
    codes = written(tmp_path / "c.tif", stripes, dtype="uint8", cell=(cell, cell), half=330.0)
    grids, _ = read(hills, codes)
    assert set(np.unique(grids.cover.values)) <= {41, 81, 82}
    assert (grids.cover.values == expected_stripes(grids)).mean() > 0.95


def test_cover_ten_times_coarser_than_elevation(tmp_path):
    hills = written(tmp_path / "hill.tif", cell=(1.0, 1.0), half=260.0)
    codes = written(
        tmp_path / "c.tif", stripes, dtype="uint8", cell=(30.0, 30.0), half=450.0, crs="EPSG:5070"
    )
    grids, _ = read(hills, codes)
    assert grids.cover.source_cell_m == pytest.approx(30.0, abs=0.05)
    assert grids.elevation.grid.cell_m == 1.0
    assert set(np.unique(grids.cover.values)) == {41, 81, 82}
    assert (grids.cover.values == expected_stripes(grids)).mean() > 0.7


def test_a_palette_is_read_by_its_codes(tmp_path):
    codes = written(
        tmp_path / "c.tif", stripes, dtype="uint8", palette={41: (9, 99, 9, 255)}, half=400.0
    )
    grids, _ = read(written(tmp_path / "hill.tif"), codes)
    assert set(np.unique(grids.cover.values)) == {41, 81, 82}


def test_unknown_codes_are_named_and_become_holes(tmp_path):
    odd = lambda x, y: np.where(x > X_0 + 150, 99, stripes(x, y))  # noqa: E731
    codes = written(tmp_path / "c.tif", odd, dtype="uint8", half=400.0)
    grids, table = read(written(tmp_path / "hill.tif"), codes, legend="nlcd")
    assert any("20 % of the extent has unknown codes (99)" in note for note in grids.notes)
    assert (grids.cover.values == table.hole_code).mean() == pytest.approx(0.2, abs=0.01)


def test_mostly_unknown_codes_are_an_error(tmp_path):
    crops = lambda x, y: np.where(x > X_0, 141, 5)  # noqa: E731
    codes = written(tmp_path / "c.tif", crops, dtype="uint8", half=400.0)
    with pytest.raises(GridError, match=r"c\.tif: Most of its codes \(5, 141\)"):
        read(written(tmp_path / "hill.tif"), codes, legend="nlcd")


def test_the_legend_is_recognised_when_only_one_fits(tmp_path):
    hills = written(tmp_path / "hill.tif")
    world = lambda x, y: np.where(x > X_0, 10, 40)  # noqa: E731
    codes = written(tmp_path / "c.tif", world, dtype="uint8", half=400.0)
    grids, table = read(hills, codes)
    assert table.legend == "worldcover"
    assert "c.tif: the class codes are those of worldcover, which was taken." in grids.notes


@pytest.mark.parametrize(("code", "why"), [(90, "more than one legend"), (7, "no legend")])
def test_an_ambiguous_legend_is_asked_for(tmp_path, code, why):
    codes = written(
        tmp_path / "c.tif", lambda x, y: np.full(x.shape, code), dtype="uint8", half=400.0
    )
    with pytest.raises(GridError, match=rf"{why}.*Pass the legend"):
        read(written(tmp_path / "hill.tif"), codes)


def test_a_table_of_ones_own_gets_a_class_for_holes(tmp_path):
    own = CoverTable(
        legend="mine",
        classes=(
            CoverClass(code=0, name="woods", resistance=1.0, low=1.0, high=1.2, is_woody=True),
            CoverClass(code=1, name="field", resistance=1.2, low=1.0, high=2.0, is_open=True),
        ),
    )
    codes = written(
        tmp_path / "c.tif", lambda x, y: (x > X_0).astype(int), dtype="int16", half=150.0
    )
    grids, table = read(written(tmp_path / "hill.tif"), codes, legend=own)
    assert table.hole_code == 255
    assert set(np.unique(grids.cover.values)) == {0, 1, 255}


def test_the_table_that_the_property_has_is_recognised_too(tmp_path):
    classes = tuple(
        CoverClass(code=code, name=f"c{code}", resistance=1.0, low=1.0, high=1.2)
        for code in (1, 2, 3)
    )
    place = replace(PLACE, cover_table=CoverTable(legend="mine", classes=classes))
    codes = written(tmp_path / "c.tif", lambda x, y: 1 + (x > X_0), dtype="float32", half=400.0)
    grids, table = read(written(tmp_path / "hill.tif"), codes, place=place)
    assert table.legend == "mine"
    assert set(np.unique(grids.cover.values)) == {1, 2}


def test_codes_beyond_255_are_unknown_and_named(tmp_path):
    odd = lambda x, y: np.where(x > X_0 + 150, 4100, stripes(x, y))  # noqa: E731
    codes = written(tmp_path / "c.tif", odd, dtype="int32", half=400.0)
    grids, _ = read(written(tmp_path / "hill.tif"), codes, legend="nlcd")
    assert any("unknown codes (4100)" in note for note in grids.notes)


def test_costs_that_the_person_edited_stay(tmp_path, cover):
    edited = shipped_table("nlcd").with_resistances({41: 1.15})
    place = replace(PLACE, cover_table=edited)
    _, table = read(written(tmp_path / "hill.tif"), cover, place=place)
    assert table == edited


def test_an_unknown_legend_is_an_error(tmp_path, cover):
    with pytest.raises(SettingError, match="No land-cover legend"):
        read(written(tmp_path / "hill.tif"), cover, legend="bogus")


def test_elevation_and_cover_mixed_up_are_caught(tmp_path, cover):
    hills = written(tmp_path / "hill.tif")
    with pytest.raises(GridError, match=r"cover\.tif: It looks like land cover"):
        read(cover, hills)
    with pytest.raises(GridError, match=r"hill\.tif: Its cells hold fractions"):
        read(hills, hills)
    tall = written(tmp_path / "tall.tif", dtype="int16", change=lambda values: values * 20)
    with pytest.raises(GridError, match=r"tall\.tif: Its cells hold \d+ different values"):
        read(hills, tall)
    whole = written(tmp_path / "whole.tif", dtype="int16")
    with pytest.raises(GridError, match=r"whole\.tif"):
        read(hills, whole)


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


# Real grids ---------------------------------------------------------------------------------


@needs_real
def test_the_lidar_grid_comes_in_with_most_of_the_surround_missing():
    x, y = Transformer.from_crs(3358, UTM, always_xy=True).transform(597_420, 150_805)
    place = replace(property_at(x, y), settings=Settings())
    lidar = REAL / "lidar_1m"
    grids, table = read(lidar / "elevation_2016.tif", lidar / "landcover.tif", place=place)
    assert table.legend == "nlcd"
    assert any("covers 6 % of the extent" in note for note in grids.notes)
    with rasterio.open(lidar / "elevation_2016.tif") as dataset:
        there = Transformer.from_crs(UTM, 3358, always_xy=True)
        rows, cols = np.nonzero(np.isfinite(grids.elevation.values))
        points = grids.elevation.grid.points_m(rows[::997], cols[::997])
        samples = np.array(list(dataset.sample(np.column_stack(there.transform(*points.T)))))
    known = grids.elevation.values[rows[::997], cols[::997]]
    # The nearest cell lies within 0.7 m; the ground is gentle.
    assert np.median(np.abs(known - samples[:, 0])) < 0.1
    assert prepare_ground(replace(place, cover_table=table), grids).is_inside.any()


@needs_real
def test_the_canyon_comes_in_from_degrees_and_an_odd_system():
    x, y = Transformer.from_crs(4326, 32612, always_xy=True).transform(-113.0, 37.3)
    place = property_at(x, y, side=1500.0, epsg=32612)
    canyon = REAL / "canyon_30m"
    grids, table = read(canyon / "srtm.tif", canyon / "nlcd2011.tif", place=place)
    assert table.legend == "nlcd"
    assert np.isfinite(grids.elevation.values).all()
    with rasterio.open(canyon / "srtm.tif") as dataset:
        near = next(dataset.sample([(-113.0, 37.3)]))[0]
    row, col = grids.elevation.grid.nearest_cells(np.array([[x, y]]))
    assert grids.elevation.values[row[0], col[0]] == pytest.approx(near, abs=40)
    assert grids.cover.source_cell_m == pytest.approx(31.5, abs=0.1)


@needs_real
@pytest.mark.parametrize(("unit", "unit_m"), [("us-ft", US_SURVEY_FOOT_M), ("m", 1.0)])
def test_the_lidar_grid_in_state_plane_feet(tmp_path, unit, unit_m):
    """EPSG:2264 is NAD83 / North Carolina (ftUS); the same ground as in metres must come out."""
    x, y = Transformer.from_crs(3358, UTM, always_xy=True).transform(597_420, 150_805)
    place = property_at(x, y, side=150.0)
    lidar = REAL / "lidar_1m"
    with rasterio.open(lidar / "elevation_2016.tif") as dataset:
        feet, transform = reproject(
            dataset.read(1) / unit_m,
            src_transform=dataset.transform,
            src_crs=dataset.crs,
            dst_crs="EPSG:2264",
            dst_nodata=-9999,
            src_nodata=-9999,
            resampling=Resampling.cubic,
        )
    for name, crs in (("bare.tif", "EPSG:2264"), ("stated.tif", "EPSG:2264+6360")):
        with rasterio.open(
            tmp_path / name, "w", driver="GTiff", count=1, dtype="float32", crs=crs,
            height=feet.shape[-2], width=feet.shape[-1], transform=transform,
        ) as out:  # fmt: skip
            out.write(feet.reshape(feet.shape[-2:]), 1)
    cover = lidar / "landcover.tif"
    expected, _ = read(lidar / "elevation_2016.tif", cover, place=place)
    with pytest.raises(GridError, match="Its map is in feet"):
        read(tmp_path / "bare.tif", cover, place=place)
    grids, _ = read(tmp_path / "bare.tif", cover, place=place, height_unit=unit)
    off = np.abs(grids.elevation.values - expected.elevation.values)
    # Resampled twice; NAD83 and NAD83(HARN) differ by under a metre in North Carolina.
    assert np.nanmedian(off) < 0.05
    if unit == "us-ft":
        stated, _ = read(tmp_path / "stated.tif", cover, place=place)
        assert np.array_equal(stated.elevation.values, grids.elevation.values, equal_nan=True)


@needs_real
def test_the_canyon_turned_south_up_is_the_same(tmp_path):
    x, y = Transformer.from_crs(4326, 32612, always_xy=True).transform(-113.0, 37.3)
    place = property_at(x, y, side=1500.0, epsg=32612)
    for name in ("srtm.tif", "nlcd2011.tif"):
        with rasterio.open(REAL / "canyon_30m" / name) as dataset:
            profile, values = dataset.profile, dataset.read(1)
        turn = Affine.translation(0, dataset.height) @ Affine.scale(1, -1)
        profile["transform"] = profile["transform"] @ turn
        with rasterio.open(tmp_path / name, "w", **profile) as out:
            out.write(values[::-1], 1)
    north, _ = read(
        REAL / "canyon_30m" / "srtm.tif", REAL / "canyon_30m" / "nlcd2011.tif", place=place
    )
    south, _ = read(tmp_path / "srtm.tif", tmp_path / "nlcd2011.tif", place=place)
    assert np.abs(south.elevation.values - north.elevation.values).max() < 0.01
    assert (south.cover.values == north.cover.values).mean() > 0.999


@needs_real
@pytest.mark.parametrize("fill", [-32768, None])
def test_real_heights_as_integers_with_holes(tmp_path, fill):
    x, y = Transformer.from_crs(4326, 32612, always_xy=True).transform(-113.0, 37.3)
    place = property_at(x, y, side=1500.0, epsg=32612)
    with rasterio.open(REAL / "canyon_30m" / "srtm.tif") as dataset:
        profile, values = dataset.profile, dataset.read(1).astype("int16")
        row, col = dataset.index(-113.0, 37.3)
    values[row - 2 : row + 3, col - 2 : col + 3] = -32768
    profile.update(dtype="int16", nodata=fill)
    with rasterio.open(tmp_path / "holes.tif", "w", **profile) as out:
        out.write(values, 1)
    cover = REAL / "canyon_30m" / "nlcd2011.tif"
    grids, _ = read(tmp_path / "holes.tif", cover, place=place)
    assert np.isnan(grids.elevation.values).any()
    assert np.nanmin(grids.elevation.values) > 1000
