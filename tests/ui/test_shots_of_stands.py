"""Pictures of stands and sits on the sample, in build/shots: to be looked at."""

from __future__ import annotations

import json
import shutil
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from PyQt5.QtWidgets import QApplication

from funnelfinder.analysis import run
from funnelfinder.defaults import with_setting
from funnelfinder.files import property_file
from funnelfinder.marks import Pick
from funnelfinder.scrapes import middle_m
from tests.ui.conftest import Mouse
from tests.ui.test_shots import Quiet, at, opened, shoot
from ui.main_window import MainWindow
from ui.sample import make_sample
from ui.stops import Stop

pytestmark = pytest.mark.shots

SIZES = [(1440, 900), (1280, 720), (640, 360)]


@pytest.fixture(scope="module")
def found(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return the sample on cells of 10 m with findings and three picked spots, made once."""
    path = make_sample(tmp_path_factory.mktemp("found"), Quiet())
    kept = property_file.load(path)
    settings = kept.place.settings
    for name, text in (("travel-cell", "10"), ("n-redraws", "0"), ("n-drawn", "1000")):
        settings = with_setting(settings, name, text)
    place = replace(kept.place, settings=settings, time_zone="America/New_York")
    findings = run(place, kept.grids)
    middles = [middle_m(one) for one in findings.clusters[:3]]
    place = replace(place, picks=tuple(Pick(x_m=x, y_m=y) for x, y in middles))
    property_file.save_place(path, place)
    property_file.save_findings(path, findings)
    return path


def at_later(window: MainWindow, qtbot, path: Path, page: str) -> MainWindow:
    opened(window, qtbot, path)
    qtbot.waitUntil(lambda: window.runs.is_up_to_date, timeout=30_000)
    window.desk.hour.set(on=date(2026, 11, 3))
    window.go_to(Stop.LATER)
    shoot(window, "later")
    window.panel.show_page(page)
    sits = window.panel.pages["Stands"].sits
    qtbot.waitUntil(lambda: sits.table is not None and sits.sits is not None, timeout=90_000)
    return window


@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
def test_stands(make_window, found: Path, tmp_path: Path, qtbot, size) -> None:
    own = tmp_path / found.name
    shutil.copy(found, own)
    window = at_later(make_window(*size), qtbot, own, "Stands")
    sits = window.panel.pages["Stands"].sits
    shoot(window, "stands")
    bar = window.column.pages.verticalScrollBar()
    bar.setValue(bar.maximum())
    shoot(window, "stands-wind")
    bar.setValue(0)
    sits.hold(sits.stands[0].name)
    qtbot.waitUntil(lambda: sits.scent is not None, timeout=30_000)
    shoot(window, "stand-in-hand")
    bar.setValue(bar.maximum())
    shoot(window, "stand-in-hand-below")
    bar.setValue(0)
    window.panel.pages["Stands"]._map.put()
    mouse = Mouse(window.map.view.viewport(), QApplication.processEvents)
    stand = sits.stands[-1]
    with qtbot.waitSignal(sits.judged, timeout=20_000):
        mouse.move(at(window, stand.x_m + 6, stand.y_m + 3))
    shoot(window, "stand-placing")


@pytest.mark.parametrize("size", SIZES[:2], ids=lambda size: f"{size[0]}x{size[1]}")
def test_legal_light(make_window, found: Path, tmp_path: Path, qtbot, size) -> None:
    own = tmp_path / found.name
    shutil.copy(found, own)
    window = opened(make_window(*size), qtbot, own)
    qtbot.waitUntil(lambda: window.runs.is_up_to_date, timeout=30_000)
    window.go_to(Stop.TRIPS)
    window.desk.hour.set(on=date(2026, 11, 3), is_in_light=True)
    qtbot.waitUntil(lambda: bool(window.ground_work.light_words), timeout=60_000)
    qtbot.waitUntil(lambda: window.desk.work is None, timeout=60_000)
    shoot(window, "trips-in-light")
    window.go_to(Stop.SPOTS)
    window.spot_work.hold(1)
    shoot(window, "spot-in-light")
    window.go_to(Stop.TAKE_ALONG)
    window.panel.sits.tick.click()
    qtbot.waitUntil(lambda: window.panel.sits.pack() is not None, timeout=90_000)
    qtbot.waitUntil(lambda: window.desk.work is None, timeout=90_000)
    shoot(window, "take-along-stands")


@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
def test_tonight(make_window, found: Path, tmp_path: Path, qtbot, size) -> None:
    own = tmp_path / found.name
    shutil.copy(found, own)
    window = at_later(make_window(*size), qtbot, own, "Tonight")
    sits = window.panel.pages["Stands"].sits
    shoot(window, "tonight")
    window.column.press()
    qtbot.waitUntil(lambda: sits.scent is not None, timeout=30_000)
    shoot(window, "tonight-best")
    hour = {"startTime": "2026-11-03T17:00:00-05:00", "windSpeed": "2 mph", "windDirection": "SW"}
    path = tmp_path / "hourly.json"
    path.write_text(json.dumps({"properties": {"periods": [hour | {"shortForecast": "Clear"}]}}))
    window.panel.page.open_forecast(path)
    qtbot.waitUntil(lambda: bool(window.panel.page.forecasts.words), timeout=10_000)
    qtbot.waitUntil(lambda: sits.table is not None and sits.sits is not None, timeout=90_000)
    shoot(window, "tonight-forecast")
