"""How fast the window answers while stands, winds and sits are worked out; measured alone."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from time import perf_counter

import pytest
from PyQt5.QtWidgets import QApplication

from tests.ui.conftest import Mouse
from tests.whole_job.keeps_up.measured import STALL_S, Heart, best_of, wait_idle
from ui.main_window import MainWindow
from ui.stops import Stop

pytestmark = pytest.mark.alone

ON = date(2026, 11, 3)
#: Tonight's list is there so soon once the wind table is [s].
LIST_S = 1.0


@pytest.fixture
def sitting(large: MainWindow, qtbot) -> MainWindow:
    """The same property with its spots picked, its stands and wind table known."""
    with qtbot.waitSignal(large.desk.findings_changed, timeout=120_000):
        large.runs.run()
    wait_idle(large, qtbot)
    large.tending.take_best(5)
    large.desk.hour.set(on=ON)
    large.go_to(Stop.LATER)
    large.panel.show_page("Tonight")
    known(large, qtbot)
    return large


def known(window: MainWindow, qtbot) -> None:
    sits = window.panel.pages["Stands"].sits
    qtbot.waitUntil(
        lambda: sits.table is not None and sits.sits is not None and not sits.is_busy,
        timeout=120_000,
    )
    wait_idle(window, qtbot)


def test_the_window_lives_while_stands_are_looked_for(sitting: MainWindow, qtbot, say) -> None:
    """Trees, ways, ranking and a whole wind table, for another date each time."""
    sits = sitting.panel.pages["Stands"].sits
    assert len(sits.stands) >= 8

    def once(number: int) -> dict[str, float]:
        heart = Heart(qtbot)
        with heart.listening():
            sitting.desk.hour.set(on=ON + timedelta(days=number + 1))
            known(sitting, qtbot)
        return {"stall": heart.longest_s}

    measured = best_of(once, {"stall": STALL_S})
    say(measured)
    assert measured["stall"] < STALL_S


def test_the_arrow_is_dragged_without_a_stall_and_the_list_follows(
    sitting: MainWindow,
    qtbot,
    say,
) -> None:
    sits = sitting.panel.pages["Stands"].sits
    sits.hold(sits.sits[0].stand.name)
    page = sitting.panel.page
    page.wind.show()
    known(sitting, qtbot)

    def once(number: int) -> dict[str, float]:
        heart = Heart(qtbot)
        dial = page.wind.dial
        mouse = Mouse(dial, QApplication.processEvents)
        with heart.listening():
            mouse.drag(*[dial.place(deg, 0.9).toPoint() for deg in range(0, 361, 20)])
            known(sitting, qtbot)
        sits.set_wind(replace(sits.wind, from_deg=200.0 + number))
        known(sitting, qtbot)
        begun = perf_counter()
        sits.set_wind(replace(sits.wind, from_deg=90.0 + number))
        qtbot.waitUntil(lambda: sits.sits is not None, timeout=30_000)
        return {"stall": heart.longest_s, "list": perf_counter() - begun}

    limits = {"stall": STALL_S, "list": LIST_S}
    measured = best_of(once, limits)
    say(measured)
    assert all(measured[name] < limit for name, limit in limits.items()), measured


def test_the_window_lives_while_legal_light_is_counted(sitting: MainWindow, qtbot, say) -> None:
    sitting.go_to(Stop.TRIPS)

    def once(number: int) -> dict[str, float]:
        heart = Heart(qtbot)
        with heart.listening():
            sitting.desk.hour.set(on=ON + timedelta(days=number), is_in_light=True)
            words = f"{3 + number} November"
            qtbot.waitUntil(lambda: words in sitting.ground_work.light_words, timeout=60_000)
        sitting.desk.hour.set(is_in_light=False)
        return {"stall": heart.longest_s}

    measured = best_of(once, {"stall": STALL_S})
    say(measured)
    assert measured["stall"] < STALL_S
