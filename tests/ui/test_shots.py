"""Pictures of every screen, at two sizes, in build/shots: to be looked at."""

from __future__ import annotations

from pathlib import Path

import pytest
from PyQt5.QtCore import QPoint
from PyQt5.QtWidgets import QApplication

from funnelfinder.files import property_file
from funnelfinder.marks import MarkKind
from tests.scenes import EAST_0, NORTH_0
from tests.ui.conftest import Mouse
from tests.ui.hollow import hollow, write_boundary
from ui.main_window import MainWindow
from ui.opening import CANNOT
from ui.sample import make_sample
from ui.stops import STOPS, Stop

pytestmark = pytest.mark.shots

SHOTS = Path(__file__).parents[2] / "build" / "shots"
SIZES = [(1440, 900), (1280, 720)]


class Quiet:
    def step(self, share: float, words: str) -> None:
        """Do nothing."""


@pytest.fixture(scope="session")
def sample(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a copy of the sample property for all pictures."""
    return make_sample(tmp_path_factory.mktemp("sample"), Quiet())


def shoot(window: MainWindow, name: str) -> None:
    """Write a picture of the window; it must show something."""
    for _ in range(3):
        # Layouts inside scroll areas settle in turns.
        QApplication.processEvents()
    SHOTS.mkdir(parents=True, exist_ok=True)
    picture = window.grab()
    assert picture.toImage().width() >= window.width()
    path = SHOTS / f"{name}-{window.width()}x{window.height()}.png"
    assert picture.save(str(path))
    # Plain paper of this size is a file of a few kilobytes.
    assert path.stat().st_size > 10_000


def opened(window: MainWindow, qtbot, path: Path) -> MainWindow:
    window.opening.open_property(path)
    qtbot.waitUntil(lambda: window.desk.open is not None, timeout=20_000)
    if window.desk.open.grids is not None:
        qtbot.waitUntil(lambda: window.ground_work.forms is not None, timeout=30_000)
        qtbot.waitUntil(lambda: not window.ground_work.is_drawing, timeout=30_000)
    return window


def at(window: MainWindow, x_m: float, y_m: float) -> QPoint:
    px, py = window.map.view.outlook.to_px(x_m, y_m)
    return QPoint(round(px), round(py))


@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
def test_start_and_a_boundary_without_grids(make_window, tmp_path: Path, qtbot, size) -> None:
    window = make_window(*size)
    shoot(window, "start")
    window.opening.open_files([tmp_path / "missing.geojson"])
    qtbot.waitUntil(window.start.trouble.isVisible, timeout=10_000)
    shoot(window, "start-trouble")
    window.drop_frame.show_for([tmp_path / "hollow.kml"], can_read=True)
    shoot(window, "start-file-held")
    window.drop_frame.show_for([tmp_path / "letter.docx"], can_read=False)
    assert window.drop_frame.words == CANNOT
    shoot(window, "start-file-refused")
    window.drop_frame.hide()
    window.opening.open_files([write_boundary(tmp_path)])
    qtbot.waitUntil(lambda: window.desk.open is not None, timeout=10_000)
    shoot(window, "ground-needs-grids")
    window.go_to(Stop.MARKS)
    shoot(window, "marks-none")


@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
def test_every_step_of_the_sample(make_window, sample: Path, qtbot, size) -> None:
    window = opened(make_window(*size), qtbot, sample)
    mouse = Mouse(window.map.view.viewport(), QApplication.processEvents)
    place = window.desk.open.place
    middle = place.boundary.centroid
    mouse.move(at(window, middle.x, middle.y))
    for stop in STOPS:
        window.go_to(stop)
        shoot(window, stop.value.lower().replace(" ", "-"))
    window.go_to(Stop.MARKS)
    for kind in (MarkKind.BED, MarkKind.FOOD, MarkKind.FENCE, MarkKind.WAY_IN):
        mark = next(iter(place.of_kind(kind)))
        window.desk.open.take_in_hand(mark.key)
        shoot(window, f"in-hand-{kind.value}")
    bed = next(iter(place.of_kind(MarkKind.BED)))
    window.desk.open.take_in_hand(bed.key)
    view = window.map.view
    view.look(view.outlook.fitted(bed.geometry.buffer(120).bounds, window.map.free_margins()))
    shoot(window, "in-hand-close")
    window.map_work.put_down()
    window.map_work.whole()
    window.marks_panel.show_more("more")
    shoot(window, "marks-more")
    window.show_layers()
    shoot(window, "show")
    window.map.close_slip()
    window.map_work.measure()
    west, south, east, north = place.boundary.bounds
    for x, y in ((0.3, 0.4), (0.6, 0.5), (0.5, 0.7)):
        mouse.click(at(window, west + x * (east - west), south + y * (north - south)))
    shoot(window, "measure")


@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
def test_drawing_and_what_goes_wrong(make_window, tmp_path: Path, qtbot, size) -> None:
    path = tmp_path / "hollow.gpkg"
    property_file.create(path, hollow())
    window = opened(make_window(*size), qtbot, path)
    mouse = Mouse(window.map.view.viewport(), QApplication.processEvents)
    window.start_drawing(MarkKind.BED)
    for x, y in ((200, 200), (320, 220), (340, 330)):
        mouse.click(at(window, EAST_0 + x, NORTH_0 + y))
    mouse.move(at(window, EAST_0 + 230, NORTH_0 + 360))
    shoot(window, "drawing")
    mouse.click(at(window, EAST_0 + 260, NORTH_0 + 140))
    assert window.map.slip is not None
    shoot(window, "crosses-itself")
    window.map.close_slip()
    torn = tmp_path / "north.tif"
    torn.write_bytes(b"II*\0" + bytes(300))
    window.opening.open_files([torn])
    qtbot.waitUntil(lambda: window.map.slip is not None, timeout=10_000)
    shoot(window, "torn-grid")


def test_very_small_windows(make_window, sample: Path, qtbot) -> None:
    window = opened(make_window(640, 360), qtbot, sample)
    for stop in (Stop.GROUND, Stop.MARKS):
        window.go_to(stop)
        shoot(window, f"small-{stop.value.lower()}")
    window.start_drawing(MarkKind.BED)
    shoot(window, "small-drawing")
    window.resize(860, 600)
    shoot(window, "drawer")


def test_pages_and_the_last_resort(make_window, qtbot) -> None:
    from ui.dialogs.keys import KeysPage
    from ui.dialogs.last_resort import LastResort, report_of

    window = make_window()
    page = KeysPage(window)
    page.show()
    QApplication.processEvents()
    SHOTS.mkdir(parents=True, exist_ok=True)
    page.grab().save(str(SHOTS / "keys.png"))
    try:
        float("at 40.1 N 83.2 W")
    except ValueError as error:
        report = report_of(type(error), error, error.__traceback__)
    assert "ValueError" in report
    assert "40.1" not in report
    last = LastResort(report, "move Alder knob", window)
    last._show()
    last.show()
    QApplication.processEvents()
    last.grab().save(str(SHOTS / "last-resort.png"))
    page.close()
    last.close()
