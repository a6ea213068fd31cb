"""What the command line refuses, the window refuses in the same words, and nothing changes.

Each case is given to the command line first; what it prints must stand in the window.
"""

from __future__ import annotations

import shutil
import zipfile
from collections.abc import Callable
from pathlib import Path

import geopandas
import numpy as np
import pytest
import rasterio
import shapely
from PyQt5.QtCore import Qt
from PyQt5.QtWidgets import QApplication, QLineEdit, QTableWidget
from rasterio.transform import from_origin

from funnelfinder.files import property_file
from tests.scenes import EPSG
from tests.ui.found import found_file, opened
from tests.ui.hollow import BOUNDARY, bed, food, hollow, write_grids
from tests.ui.refusals import refused, said
from ui.main_window import MainWindow
from ui.stops import Stop

Make = Callable[..., MainWindow]


def names_in(folder: Path) -> set[str]:
    """Return what lies in a folder, what keeps two windows apart aside."""
    return {path.name for path in folder.iterdir() if not path.name.endswith(".lock")}


# Boundaries ---------------------------------------------------------------------------------


def _frame(*shapes: shapely.Geometry, **columns: list[object]) -> geopandas.GeoDataFrame:
    return geopandas.GeoDataFrame(columns, geometry=list(shapes), crs=EPSG)


def _points_only(path: Path) -> None:
    _frame(shapely.Point(400_100, 4_300_100)).to_crs(4326).to_file(path, driver="GeoJSON")


def _open_line(path: Path) -> None:
    line = shapely.LineString(list(BOUNDARY.exterior.coords)[:4])
    _frame(line).to_crs(4326).to_file(path, driver="GeoJSON")


def _marks_only(path: Path) -> None:
    square = BOUNDARY.centroid.buffer(50)
    _frame(square, kind=["bed"]).to_crs(4326).to_file(path, driver="GeoJSON")


def _two_layers(path: Path) -> None:
    _frame(BOUNDARY).to_file(path, layer="north")
    _frame(BOUNDARY.buffer(50)).to_file(path, layer="south")


def _archive_that_reaches_out(path: Path) -> None:
    with zipfile.ZipFile(path, "w") as archive:
        archive.writestr("../../parcel.shp", b"x")


def _text(content: str) -> Callable[[Path], None]:
    return lambda path: path.write_text(content) and None


_HOURGLASS = (
    '{"type": "Polygon", "coordinates": '
    "[[[-82.1, 38.8], [-82.09, 38.81], [-82.09, 38.8], [-82.1, 38.81], [-82.1, 38.8]]]}"
)
_ENTITIES = (
    '<?xml version="1.0"?><!DOCTYPE kml [<!ENTITY a "aaaa">]>'
    '<kml xmlns="http://www.opengis.net/kml/2.2"><Document><name>&a;</name></Document></kml>'
)
BOUNDARIES: dict[str, tuple[str, Callable[[Path], object]]] = {
    "missing": ("gone.geojson", lambda path: None),
    "empty": ("empty.kml", lambda path: path.write_bytes(b"")),
    "a text": ("corners.kml", _text("These are the corners of my land: ...")),
    "half a GeoJSON": ("half.geojson", _text('{"type": "Polygon", "coordinates": [[[1, 2], [')),
    "half a KML": ("half.kml", _text("<kml><Document>")),
    "no shapes": ("none.geojson", _text('{"type": "FeatureCollection", "features": []}')),
    "only points": ("points.geojson", _points_only),
    "an open line": ("line.geojson", _open_line),
    "only marks": ("beds.geojson", _marks_only),
    "crosses itself": ("hourglass.geojson", _text(_HOURGLASS)),
    "entities": ("harm.kml", _text(_ENTITIES)),
    "half a shapefile": ("alone.shp", lambda path: path.write_bytes(bytes(60))),
    "not an archive": ("land.zip", lambda path: path.write_bytes(b"PK\x05\x06")),
    "archive that reaches out": ("slip.zip", _archive_that_reaches_out),
    "two layers that could be it": ("two.gpkg", _two_layers),
}


@pytest.mark.parametrize("case", BOUNDARIES)
def test_a_boundary_that_cannot_be_used(
    make_window: Make, tmp_path: Path, qtbot, case: str
) -> None:
    name, write = BOUNDARIES[case]
    path = tmp_path / name
    write(path)
    before = names_in(tmp_path)
    words = refused("new", tmp_path / "new.gpkg", path)
    window = make_window()
    window.open_files([path])
    qtbot.waitUntil(window.start.trouble.isVisible, timeout=20_000)
    assert words in said(window)
    assert window.desk.open is None
    assert names_in(tmp_path) == before


# Grids --------------------------------------------------------------------------------------


def _rewritten(path: Path, values: np.ndarray | None = None, **changes: object) -> None:
    """Write a grid again, otherwise."""
    with rasterio.open(path) as file:
        profile, old = {**file.profile, **changes}, file.read()
    with rasterio.open(path, "w", **profile) as file:
        file.write(old if values is None else values)


def _halved(path: Path) -> None:
    path.write_bytes(path.read_bytes()[: path.stat().st_size // 2])


def _moved_west(path: Path) -> None:
    with rasterio.open(path, "r+") as file:
        place = file.transform
        file.transform = from_origin(place.c - 60_000.0, place.f, place.a, -place.e)


def _no_heights(path: Path) -> None:
    with rasterio.open(path) as file:
        heights = file.read()
    _rewritten(path, heights * 1000.0)


def _only_holes(path: Path) -> None:
    with rasterio.open(path) as file:
        shape = (1, *file.shape)
    values = np.linspace(300, 330, np.prod(shape), dtype=np.float32).reshape(shape)
    values[:, 50:-50, 50:-50] = np.nan
    _rewritten(path, values)


def _unknown_codes(path: Path) -> None:
    with rasterio.open(path) as file:
        codes = file.read()
    _rewritten(path, np.full_like(codes, 7))


def _in_feet(path: Path) -> None:
    """Laid on a map in feet (Ohio South), which says nothing of its heights."""
    from rasterio.warp import Resampling, calculate_default_transform, reproject

    with rasterio.open(path) as file:
        transform, cols, rows = calculate_default_transform(
            file.crs, "EPSG:3735", file.width, file.height, *file.bounds
        )
        values = np.full((1, rows, cols), np.nan, dtype=np.float32)
        reproject(
            file.read(),
            values,
            src_transform=file.transform,
            src_crs=file.crs,
            dst_transform=transform,
            dst_crs="EPSG:3735",
            dst_nodata=np.nan,
            resampling=Resampling.bilinear,
        )
    _rewritten(path, values, crs="EPSG:3735", transform=transform, width=cols, height=rows)


GRIDS: dict[str, tuple[str, Callable[[Path], object]]] = {
    "no elevation file": ("north.tif", lambda path: path.unlink()),
    "no cover file": ("cover.tif", lambda path: path.unlink()),
    "empty": ("north.tif", lambda path: path.write_bytes(b"")),
    "a text": ("north.tif", _text("not a grid")),
    "only a head": ("north.tif", lambda path: path.write_bytes(b"II*\0" + bytes(200))),
    "elevation cut short": ("north.tif", _halved),
    "cover cut short": ("cover.tif", _halved),
    "elevation elsewhere": ("north.tif", _moved_west),
    "cover elsewhere": ("cover.tif", _moved_west),
    "without a map system": ("north.tif", lambda path: _rewritten(path, crs=None)),
    "no heights": ("north.tif", _no_heights),
    "only holes": ("north.tif", _only_holes),
    "codes of no legend": ("cover.tif", _unknown_codes),
    "a map in feet": ("north.tif", _in_feet),
}


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """A property without grids."""
    made_here = tmp_path / "hollow.gpkg"
    property_file.create(made_here, hollow(bed(), food()))
    return made_here


@pytest.fixture
def window(make_window: Make, path: Path, qtbot) -> MainWindow:
    """The window with that property open; the command line has had its turn with a copy."""
    return opened(make_window(), qtbot, path, has_findings=False, has_grids=False)


@pytest.mark.parametrize("case", GRIDS)
def test_a_grid_that_cannot_be_used(window: MainWindow, tmp_path: Path, qtbot, case: str) -> None:
    name, spoil = GRIDS[case]
    elevation, cover = write_grids(tmp_path)
    spoil(tmp_path / name)
    copy = shutil.copy(window.desk.open.path, tmp_path / "copy.gpkg")
    words = refused("grids", copy, "--elevation", elevation, "--cover", cover)
    before = window.desk.open.place
    window.open_files([elevation, cover])
    qtbot.waitUntil(lambda: window.map.slip is not None, timeout=20_000)
    assert words in said(window)
    assert window.desk.open.place is before
    assert window.desk.open.grids is None
    assert window.desk.open.history.n_done == 0
    assert window.column.button.isEnabled()


def test_two_grids_of_one_kind_leave_the_other_asked_for(
    window: MainWindow, tmp_path: Path, qtbot
) -> None:
    """The command line calls land cover given as elevation by name; the window sorts by kind."""
    _, cover = write_grids(tmp_path)
    second = Path(shutil.copy(cover, tmp_path / "second.tif"))
    window.open_files([cover, second])
    qtbot.waitUntil(lambda: window.opening.cover == (cover, second), timeout=10_000)
    assert window.desk.open.grids is None
    assert "elevation" in window.panels[Stop.GROUND].foot().line


# Marks --------------------------------------------------------------------------------------

MARKS: dict[str, dict[str, list[object]]] = {
    "weight in words": {"kind": ["bed"], "weight": ["lots"]},
    "weight below nought": {"kind": ["bed"], "weight": [-1.0]},
    "who": {"kind": ["bed"], "who": ["fawn"]},
    "a bed that is a point": {"kind": ["bed"], "is_point": [True]},
}


@pytest.mark.parametrize("case", MARKS)
def test_marks_that_cannot_be_used(window: MainWindow, tmp_path: Path, qtbot, case: str) -> None:
    columns = {name: cells for name, cells in MARKS[case].items() if name != "is_point"}
    shape = BOUNDARY.centroid.buffer(50)
    if "is_point" in MARKS[case]:
        shape = shape.centroid
    file = tmp_path / "marks.geojson"
    _frame(shape, name=["Knob"], **columns).to_crs(4326).to_file(file, driver="GeoJSON")
    copy = shutil.copy(window.desk.open.path, tmp_path / "copy.gpkg")
    words = refused("marks", copy, file)
    before = window.desk.open.place
    window.open_files([file])
    qtbot.waitUntil(lambda: window.map.slip is not None, timeout=20_000)
    assert words in said(window)
    assert window.desk.open.place is before


# Settings and tables ------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("name", "text"), [("reach", "9000"), ("standoff", "far"), ("per-cluster", "-3")]
)
def test_a_setting_that_cannot_be(make_window: Make, tmp_path: Path, qtbot, name, text) -> None:
    window = opened(make_window(), qtbot, found_file(tmp_path))
    copy = shutil.copy(window.desk.open.path, tmp_path / "copy.gpkg")
    words = refused("settings", copy, f"{name}={text}")
    window.go_to(Stop.SPOTS)
    window.panel.show_page("chosen")
    line = window.panel.chosen.rows[name].box
    before, old = window.desk.open.place, line.text()
    line.setFocus()
    line.selectAll()
    qtbot.keyClicks(line, text)
    qtbot.keyClick(line, Qt.Key_Return)
    assert words in said(window)
    assert window.desk.open.place is before
    line.clearFocus()
    assert line.text() == old


@pytest.mark.parametrize("text", ["soft", "0", "-2", "nan", "inf"])
def test_a_cost_that_cannot_be_goes_back(make_window: Make, tmp_path: Path, qtbot, text) -> None:
    window = opened(make_window(), qtbot, found_file(tmp_path))
    window.go_to(Stop.TRIPS)
    window.open_table()
    table = window.bench.findChild(QTableWidget)
    before, old = window.desk.open.place, table.item(3, 1).text()
    table.setFocus()
    table.setCurrentCell(3, 1)
    editor = table.findChild(QLineEdit)
    editor.selectAll()
    qtbot.keyClicks(editor, text)
    qtbot.keyClick(editor, Qt.Key_Return)
    # The table takes the place of the map here, so the words stand above it.
    qtbot.waitUntil(window.bench.trouble.isVisible, timeout=10_000)
    assert window.bench.trouble.text()
    assert window.desk.open.place is before
    assert table.item(3, 1).text() == old
    QApplication.processEvents()
    table.setCurrentCell(4, 1)
    right = table.findChild(QLineEdit)
    right.selectAll()
    qtbot.keyClicks(right, "3.5")
    qtbot.keyClick(right, Qt.Key_Return)
    qtbot.waitUntil(lambda: window.desk.open.place is not before, timeout=10_000)
    assert not window.bench.trouble.isVisible()
