"""How fast the window answers while the date is dragged and work is ticked off; measured alone."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path
from time import perf_counter

import pytest
from PyQt5.QtCore import QPoint, Qt
from PyQt5.QtTest import QTest
from PyQt5.QtWidgets import QApplication

from tests.ui.conftest import Mouse
from tests.ui.with_season import almanac_of, season_of
from tests.whole_job.keeps_up.measured import STALL_S, Heart, best_of, wait_idle
from ui import edits
from ui.main_window import MainWindow
from ui.stops import Stop

pytestmark = pytest.mark.alone

TODAY = date(2026, 8, 24)
#: How soon the band shows another date [s].
BAND_S = 0.1


@pytest.fixture
def season(large: MainWindow, qtbot) -> MainWindow:
    """The same property with spots, a peak of 15 November and an opening day."""
    with qtbot.waitSignal(large.desk.findings_changed, timeout=120_000):
        large.runs.run()
    wait_idle(large, qtbot)
    almanac_of(large).today = lambda: TODAY
    season_of(large).today = lambda: TODAY
    large.desk.hour.set(on=TODAY)
    season_of(large).choose_peak("11-15")
    large.desk.do(edits.choose_for_season("the opening day", opening="09-26"))
    large.go_to(Stop.LATER)
    wait_idle(large, qtbot)
    return large


def test_the_date_is_dragged_through_the_season_without_a_stall(
    season: MainWindow,
    qtbot,
    say,
) -> None:
    """Through four phases, then the trips of the last are walked."""
    line = almanac_of(season).band.line
    last = {0: date(2026, 11, 16), 1: date(2026, 12, 20), 2: date(2026, 11, 1)}

    def once(number: int) -> dict[str, float]:
        heart = Heart(qtbot)
        mouse = Mouse(line, QApplication.processEvents)
        end = last[number]
        days = (end - TODAY).days
        with heart.listening():
            places = [TODAY + timedelta(days=k) for k in (*range(0, days, 3), days)]
            mouse.drag(*(QPoint(round(line.x_of(day)), 20) for day in places))
            shown = perf_counter()
            assert season.desk.hour.on == end
            phase = almanac_of(season).phase_of(season.desk.open.place, end).value
            qtbot.waitUntil(lambda: season.desk.open.place.season.phase == phase, timeout=10_000)
            qtbot.waitUntil(lambda: season.following.is_current, timeout=60_000)
            walked = perf_counter()
            wait_idle(season, qtbot)
        return {"stall": heart.longest_s, "trips of the phase": walked - shown}

    measured = best_of(once, {"stall": STALL_S})
    say(measured)
    assert measured["stall"] < STALL_S


def test_a_key_moves_the_date_and_a_tick_the_plan_at_once(season: MainWindow, qtbot, say) -> None:
    panel = season.panel
    panel.show_page("Season")
    page = panel.page

    def once(number: int) -> dict[str, float]:
        heart = Heart(qtbot)
        with heart.listening():
            almanac_of(season).band.line.setFocus()
            begun = perf_counter()
            QTest.keyClick(almanac_of(season).band.line, Qt.Key_Right)
            band = perf_counter() - begun
            # The key made the list anew; a hand clicks what is laid out.
            QApplication.processEvents()
            box = page.list.ticks[0][1]
            begun = perf_counter()
            QTest.mouseClick(box, Qt.LeftButton)
            QApplication.processEvents()
            tick = perf_counter() - begun
        assert season.desk.open.log
        return {"stall": heart.longest_s, "band": band, "tick": tick}

    limits = {"stall": STALL_S, "band": BAND_S, "tick": STALL_S}
    measured = best_of(once, limits)
    say(measured)
    assert all(measured[name] < limit for name, limit in limits.items()), measured


def test_the_window_lives_while_the_sheet_is_drawn_and_the_pages_open(
    season: MainWindow,
    qtbot,
    tmp_path: Path,
    say,
) -> None:
    work = season_of(season)

    def once(number: int) -> dict[str, float]:
        heart = Heart(qtbot)
        with heart.listening():
            for name in ("Season", "Log", "Cameras", "Season"):
                season.panel.show_page(name)
                QApplication.processEvents()
            work.write_sheet(tmp_path / f"{number}.pdf", paper="a4", with_winds=False)
            qtbot.waitUntil(lambda: not work.is_writing, timeout=120_000)
        assert (tmp_path / f"{number}.pdf").stat().st_size > 10_000
        return {"stall": heart.longest_s}

    measured = best_of(once, {"stall": STALL_S})
    say(measured)
    assert measured["stall"] < STALL_S
