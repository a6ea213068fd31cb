"""Vector files dropped on an open property: marks, another boundary, or a question."""

from __future__ import annotations

import json
from collections.abc import Sequence
from pathlib import Path

import geopandas
import pytest
import shapely
from PyQt5.QtCore import QMimeData, QPointF, Qt, QUrl
from PyQt5.QtGui import QDropEvent

from funnelfinder.files import property_file
from funnelfinder.files.suggestions_out import write_suggestions
from funnelfinder.marks import MarkKind
from funnelfinder.suggestions import Suggestion
from tests.files.test_own_picture import halves, web_halves
from tests.scenes import EAST_0, EPSG, NORTH_0
from tests.ui.hollow import hollow, write_boundary
from tests.ui.public_world import button, click, opened_bare
from ui.main_window import MainWindow
from ui.stops import Stop


@pytest.fixture
def window(make_window, tmp_path: Path, qtbot) -> MainWindow:
    """The property without marks."""
    path = tmp_path / "kept.gpkg"
    property_file.create(path, hollow())
    return opened_bare(make_window(), qtbot, path)


def drop(window: MainWindow, path: Path) -> None:
    """Let a file go over the window, as a person does."""
    mime = QMimeData()
    mime.setUrls([QUrl.fromLocalFile(str(path))])
    event = QDropEvent(QPointF(400, 300), Qt.CopyAction, mime, Qt.LeftButton, Qt.NoModifier)
    window.dropEvent(event)


def square(x: float, y: float) -> shapely.Polygon:
    """A square of 80 m at scene coordinates."""
    east, north = EAST_0 + x, NORTH_0 + y
    return shapely.box(east - 40, north - 40, east + 40, north + 40)


def write(path: Path, kinds: Sequence[str | None], column: str = "kind") -> Path:
    """Write one square for each kind, beside each other."""
    shapes = [square(100.0 + 120.0 * n, 200.0) for n in range(len(kinds))]
    frame = geopandas.GeoDataFrame({column: list(kinds)}, geometry=shapes, crs=EPSG)
    frame.to_crs(4326).to_file(path, driver="GeoJSON")
    return path


def test_a_column_kind_makes_marks_in_one_step(window: MainWindow, tmp_path, qtbot) -> None:
    one = window.desk.open
    drop(window, write(tmp_path / "shapes.geojson", ["bed", "food", "boundary"]))
    qtbot.waitUntil(lambda: len(one.place.marks) == 2, timeout=10_000)
    assert window.desk.open is one
    assert [mark.kind for mark in one.place.marks] == [MarkKind.BED, MarkKind.FOOD]
    assert window.desk.here is Stop.MARKS
    assert "2 marks: bed 1, food 1" in window.map.slip.words.body
    assert one.history.next_undo.name == "add the marks of shapes.geojson"
    window.undo()
    assert one.place.marks == ()


def test_the_file_of_suggestions_comes_back_as_marks(window: MainWindow, tmp_path, qtbot) -> None:
    found = Suggestion(
        kind=MarkKind.FOOD, geometry=square(300, 300), name="Corn, east", why="Corn.", crop="corn"
    )
    path = tmp_path / "likely.geojson"
    write_suggestions(path, [found], epsg=EPSG)
    one = window.desk.open
    drop(window, path)
    qtbot.waitUntil(lambda: len(one.place.marks) == 1, timeout=10_000)
    (mark,) = one.place.marks
    assert (mark.name, mark.crop, mark.note) == ("Corn, east", "corn", "Corn.")
    # Seven decimals of a degree are about a centimetre.
    assert mark.geometry.symmetric_difference(found.geometry).area < 10.0


def test_a_file_without_kinds_is_a_boundary_as_before(window: MainWindow, tmp_path, qtbot) -> None:
    one = window.desk.open
    drop(window, write_boundary(tmp_path, "other.geojson"))
    qtbot.waitUntil(lambda: window.desk.open is not one, timeout=10_000)
    assert window.desk.open.place.name == "Hollow"


def test_a_file_where_some_shapes_say_nothing_is_asked_about(
    window: MainWindow, tmp_path, qtbot
) -> None:
    one = window.desk.open
    path = write(tmp_path / "mixed.geojson", ["bed", None])
    drop(window, path)
    qtbot.waitUntil(lambda: window.map.slip is not None, timeout=10_000)
    assert window.map.slip.words.title == "What is mixed.geojson?"
    assert "1 of its 2 shapes say" in window.map.slip.words.body
    assert window.desk.open is one
    assert one.place.marks == ()
    click(button(window.map.slip, "Add its marks"))
    qtbot.waitUntil(lambda: window.map.slip is not None, timeout=10_000)
    assert "does not say what it is" in window.map.slip.words.body
    assert one.place.marks == ()


def test_points_of_a_gps_become_marks_by_their_words(window: MainWindow, tmp_path, qtbot) -> None:
    frame = geopandas.GeoSeries([shapely.Point(EAST_0 + 200, NORTH_0 + 200)], crs=EPSG)
    lon, lat = frame.to_crs(4326).iloc[0].coords[0]
    path = tmp_path / "walk.gpx"
    path.write_text(
        '<?xml version="1.0"?><gpx version="1.1" creator="test" '
        'xmlns="http://www.topografix.com/GPX/1/1">'
        f'<wpt lat="{lat:.7f}" lon="{lon:.7f}"><name>Rub 3</name></wpt></gpx>'
    )
    one = window.desk.open
    drop(window, path)
    qtbot.waitUntil(lambda: len(one.place.marks) == 1, timeout=10_000)
    assert one.place.marks[0].kind is MarkKind.RUB


def test_a_torn_file_is_told_and_nothing_changes(window: MainWindow, tmp_path, qtbot) -> None:
    path = write(tmp_path / "torn.geojson", ["bed", "food"])
    path.write_text(path.read_text()[:150])
    one = window.desk.open
    drop(window, path)
    qtbot.waitUntil(lambda: window.map.slip is not None, timeout=10_000)
    assert window.map.slip.words.is_trouble
    assert window.desk.open is one
    assert one.place.marks == ()


def test_a_column_of_another_meaning_is_no_kind(window: MainWindow, tmp_path, qtbot) -> None:
    one = window.desk.open
    path = write(tmp_path / "county.geojson", ["zoned residential"])
    assert json.loads(path.read_text())["features"]
    drop(window, path)
    qtbot.waitUntil(lambda: window.desk.open is not one, timeout=10_000)


@pytest.mark.parametrize(
    ("name", "make"),
    [
        ("air.gpkg", lambda path: halves(path, driver="GPKG", TILE_FORMAT="PNG")),
        ("air.mbtiles", web_halves),
    ],
)
def test_pictures_of_other_forms_are_kept(
    window: MainWindow, tmp_path, qtbot, name: str, make
) -> None:
    one = window.desk.open
    drop(window, make(tmp_path / name))
    qtbot.waitUntil(lambda: window.backdrop_work._kept is not None, timeout=20_000)
    assert window.map.view._picture.has_picture
    assert window.desk.open is one
    (origin,) = property_file.load_origins(one.path)
    assert (origin.kind, origin.file) == ("picture", name)
