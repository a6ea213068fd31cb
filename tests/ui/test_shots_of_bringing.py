"""Pictures of bringing in, of suggestions and of dropped marks, in build/shots: to be looked at."""

from __future__ import annotations

from pathlib import Path

import pytest
from PyQt5.QtWidgets import QApplication

from funnelfinder.files.sources import Bring
from funnelfinder.marks import MarkKind
from tests.files.sources.world import World
from tests.ui.hollow import write_boundary
from tests.ui.public_world import asked, bare, button, click, ended, fill, opened_bare
from tests.ui.test_dropped_marks import write
from tests.ui.test_shots import SIZES, Quiet, opened, shoot
from ui.main_window import MainWindow
from ui.sample import make_sample
from ui.stops import Stop
from ui.suggesting import Suggesting

pytestmark = pytest.mark.shots

ALL_SIZES = [*SIZES, (640, 360)]


def drawer(window: MainWindow, *, is_open: bool) -> None:
    """Open or close the drawer of a narrow window."""
    if window.fitting.is_narrow():
        window.fitting.is_drawer_open = is_open
        window.fitting.lay_drawer()
        QApplication.processEvents()


@pytest.mark.parametrize("size", ALL_SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
def test_bringing_in(make_window, public: World, tmp_path: Path, qtbot, size) -> None:
    fill(public, has_metre=True)
    window = opened_bare(make_window(*size), qtbot, bare(public, tmp_path))
    shoot(window, "bring-boundary-alone")
    card = asked(window, qtbot)
    card.ticks[Bring.PICTURE].setChecked(True)
    shoot(window, "bring-question")
    window.column.pages.verticalScrollBar().setValue(10_000)
    shoot(window, "bring-question-end")
    card.ticks[Bring.COVER].setChecked(False)
    shoot(window, "bring-half")
    card.ticks[Bring.COVER].setChecked(True)
    public.faults({"path": "wcs", "fault": "stall"})
    window.column.press()
    qtbot.waitUntil(lambda: any("wcs" in line for line in public.asked()), timeout=30_000)
    shoot(window, "bring-working")
    window.column.press()
    ended(window, qtbot)
    shoot(window, "bring-stopped")
    public.faults({"path": "wcs", "fault": "sign in"})
    window.panel.bringing.begin()
    qtbot.waitUntil(lambda: window.panel.bringing.requests is not None, timeout=10_000)
    window.column.press()
    ended(window, qtbot)
    shoot(window, "bring-fault")
    public.faults()
    window.panel.bringing.begin()
    qtbot.waitUntil(lambda: window.panel.bringing.requests is not None, timeout=10_000)
    window.panel.card.ticks[Bring.PICTURE].setChecked(True)
    window.column.press()
    ended(window, qtbot)
    qtbot.waitUntil(lambda: window.map.view._picture.has_picture, timeout=30_000)
    qtbot.waitUntil(lambda: not window.ground_work.is_drawing, timeout=30_000)
    shoot(window, "bring-here")
    window.map.close_slip()
    drawer(window, is_open=False)
    shoot(window, "bring-picture")
    drawer(window, is_open=True)
    window.column.pages.verticalScrollBar().setValue(10_000)
    shoot(window, "bring-sources")
    window.panel.bringing.begin()
    qtbot.waitUntil(lambda: window.panel.bringing.requests is not None, timeout=10_000)
    window.column.pages.verticalScrollBar().setValue(0)
    shoot(window, "bring-again")


@pytest.fixture(scope="module")
def sample(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a copy of the sample property."""
    return make_sample(tmp_path_factory.mktemp("sample"), Quiet())


@pytest.mark.parametrize("size", ALL_SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
def test_suggestions(make_window, sample: Path, qtbot, size) -> None:
    window = opened(make_window(*size), qtbot, sample)
    window.desk.go_to(Stop.MARKS)
    drawer(window, is_open=True)
    window.column.pages.verticalScrollBar().setValue(120)
    shoot(window, "suggest-line")
    work = window.findChild(Suggesting)
    work.ask()
    shoot(window, "suggest-working")
    qtbot.waitUntil(lambda: work.is_open, timeout=60_000)
    shoot(window, "suggest-shown")
    drawer(window, is_open=False)
    boundary = window.desk.open.place.boundary
    inside = {n: one for n, one in work.shown.items() if one.geometry.within(boundary)}
    food = next(n for n, one in inside.items() if one.kind is MarkKind.FOOD)
    bed = next(n for n, one in inside.items() if one.kind is MarkKind.BED)
    for number, name in ((food, "food"), (bed, "bed")):
        work.open_slip(number)
        shoot(window, f"suggest-slip-{name}")
    view = window.map.view
    around = inside[bed].geometry.buffer(200).bounds
    view.look(view.outlook.fitted(around, window.map.free_margins()))
    work.change(bed)
    shoot(window, "suggest-changing")
    window.map_work.put_down()
    work.open_slip(bed)
    shoot(window, "suggest-close")
    work.throw(bed)
    window.map_work.whole()
    shoot(window, "suggest-thrown")


@pytest.mark.parametrize("size", ALL_SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
def test_dropped_marks(make_window, tmp_path: Path, qtbot, size) -> None:
    window = make_window(*size)
    window.open_files([write_boundary(tmp_path)])
    qtbot.waitUntil(lambda: window.desk.open is not None, timeout=10_000)
    qtbot.waitUntil(lambda: window.desk.work is None, timeout=10_000)
    window.open_files([write(tmp_path / "mixed.geojson", ["bed", None, "food"])])
    qtbot.waitUntil(lambda: window.map.slip is not None, timeout=10_000)
    shoot(window, "dropped-question")
    click(button(window.map.slip, "Close"))
    window.open_files([write(tmp_path / "marks.geojson", ["bed", "food", "food"])])
    qtbot.waitUntil(lambda: window.map.slip is not None, timeout=10_000)
    shoot(window, "dropped-marks")
