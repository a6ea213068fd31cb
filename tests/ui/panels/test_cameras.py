"""The cameras by a real drop, real clicks and keys."""

from collections.abc import Callable
from pathlib import Path

import pytest
from PyQt5.QtCore import QMimeData, QPointF, Qt, QUrl
from PyQt5.QtGui import QDragEnterEvent, QDropEvent
from PyQt5.QtTest import QTest
from PyQt5.QtWidgets import QApplication

from funnelfinder.files import property_file
from tests.ui.found import found_file
from tests.ui.with_season import on_page, with_season
from ui.main_window import MainWindow
from ui.panels.cameras import CamerasPage
from ui.stops import Stop

HEAD = "camera,cluster,latitude,longitude,from,to,seen,deer,count,note\n"


def table(folder: Path, name: str = "cards.csv") -> Path:
    """Write three weeks of a camera at the first spot: ten visits of does, four of them by day."""
    lines = [HEAD]
    for k in range(10):
        hour = "17:40" if k < 4 else "23:10"
        lines.append(f"Cedar,1,,,2026-10-03,2026-10-24,2026-10-{5 + k:02d} {hour},doe,2,\n")
    path = folder / name
    path.write_text("".join(lines))
    return path


def page_of(window: MainWindow) -> CamerasPage:
    page = window.panel.page
    assert isinstance(page, CamerasPage)
    return page


@pytest.fixture
def window(make_window: Callable[..., MainWindow], qtbot, tmp_path: Path) -> MainWindow:
    return on_page(make_window(1280, 720), qtbot, with_season(found_file(tmp_path)), "Cameras")


def drop(window: MainWindow, *paths: Path) -> None:
    """Drop files on the window."""
    data = QMimeData()
    data.setUrls([QUrl.fromLocalFile(str(path)) for path in paths])
    at = QPointF(500, 300)
    enter = QDragEnterEvent(at.toPoint(), Qt.CopyAction, data, Qt.LeftButton, Qt.NoModifier)
    QApplication.sendEvent(window, enter)
    assert window.drop_frame.words.startswith("Let go to open")
    event = QDropEvent(at, Qt.CopyAction, data, Qt.LeftButton, Qt.NoModifier)
    QApplication.sendEvent(window, event)


def test_a_dropped_table_is_kept_weighed_and_shown(window: MainWindow, qtbot, tmp_path) -> None:
    page = page_of(window)
    assert not page.cameras
    window.go_to(Stop.SPOTS)
    drop(window, table(tmp_path))
    assert window.desk.here is Stop.LATER
    page = page_of(window)
    qtbot.waitUntil(lambda: len(page.cameras) == 1, timeout=60_000)
    one = page.cameras[0].one
    assert (one.cluster, len(one.visits.visits), round(one.visits.nights)) == (1, 10, 21)
    # Four of ten visits fell into legal light; Beta(1 + 4, 1 + 6) has the mean 5/12.
    assert one.visits.n_light == 4
    assert one.visits.light.mean == pytest.approx(5 / 12)
    assert len(page.spots) == len(window.desk.open.findings.clusters)
    assert page.pairs
    assert page.next
    assert "dashed" in window.panel.hint()
    path = window.desk.open.path
    assert window.desk.open.keeper.finish()
    assert len(property_file.load_cameras(path).sightings) == 10
    n_steps = window.desk.open.history.n_done
    drop(window, table(tmp_path, "again.csv"))
    qtbot.waitUntil(lambda: window.desk.work is None, timeout=60_000)
    assert len(window.desk.open.cameras.sightings) == 10
    window.desk.open.go_to(n_steps)
    window.undo()
    assert not window.desk.open.cameras or not window.desk.open.cameras.stays
    qtbot.waitUntil(lambda: not page.cameras, timeout=5000)
    assert window.desk.open.keeper.finish()
    assert property_file.load_cameras(path).stays == ()
    window.redo()
    qtbot.waitUntil(lambda: len(page.cameras) == 1, timeout=60_000)


def test_a_camera_is_taken_out_and_the_next_place_is_shown_on_the_map(
    window: MainWindow, qtbot, tmp_path, monkeypatch
) -> None:
    page = page_of(window)
    monkeypatch.setattr("ui.panels.cameras.choose_camera_tables", lambda _: [table(tmp_path)])
    assert window.column.button.text() == "Add a camera table"
    QTest.mouseClick(window.column.button, Qt.LeftButton)
    qtbot.waitUntil(lambda: len(page.cameras) == 1, timeout=60_000)
    place = page._work.newest.next_places[0]
    QTest.mouseClick(page.next[0], Qt.LeftButton)
    outlook = window.map.view.outlook
    assert (outlook.x_m, outlook.y_m) == pytest.approx((place.x_m, place.y_m))
    QTest.mouseClick(page.outs["Cedar"], Qt.LeftButton)
    assert not page.cameras
    assert window.desk.open.cameras.stays == ()


def test_a_table_that_is_none_is_told_and_nothing_changes(window, qtbot, tmp_path) -> None:
    bad = tmp_path / "letter.csv"
    bad.write_text("dear,sir\n1,2\n")
    drop(window, bad)
    qtbot.waitUntil(lambda: window.map.slip is not None, timeout=20_000)
    assert "letter.csv" in window.map.slip.words.body + window.map.slip.words.title
    assert window.desk.open.cameras is None or not window.desk.open.cameras.stays
    assert not window.desk.open.history.n_done


def test_a_table_without_a_property_is_told(make_window, tmp_path: Path) -> None:
    window = make_window(1280, 720)
    drop(window, table(tmp_path))
    assert "Open the property first" in window.start.trouble.text()
