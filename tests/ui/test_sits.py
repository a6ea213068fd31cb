"""Stands, winds and sits are asked one at a time, and the newest wish wins."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from funnelfinder.daylight import Half
from funnelfinder.wind import Sense, Sky
from tests.ui.found import found_file, opened
from ui.main_window import MainWindow
from ui.sits import SitWork
from ui.stand_words import said_smell, said_way
from ui.stops import Stop
from ui.wind_set import MPH


@pytest.fixture
def window(make_window, tmp_path: Path, qtbot) -> MainWindow:
    window = opened(make_window(1280, 720), qtbot, found_file(tmp_path))
    window.tending.take_best(2)
    window.desk.hour.set(on=date(2026, 11, 3))
    window.go_to(Stop.LATER)
    window.panel.show_page("Stands")
    known(window, qtbot)
    return window


def sits_of(window: MainWindow) -> SitWork:
    return window.panels[Stop.LATER].pages["Stands"].sits


def known(window: MainWindow, qtbot) -> None:
    sits = sits_of(window)
    qtbot.waitUntil(
        lambda: sits.table is not None and sits.sits is not None and not sits.is_busy,
        timeout=120_000,
    )


def test_many_winds_in_a_row_are_asked_once_and_the_last_is_answered(
    window: MainWindow, qtbot
) -> None:
    sits, asked = sits_of(window), []
    ask = window.runs.worker.ask
    window.runs.worker.ask = lambda task, *rest: asked.append(task.__name__) or ask(task, *rest)
    for deg in range(0, 200, 5):
        sits.set_wind(replace(sits.wind, from_deg=float(deg)))
    assert asked == ["rank_sits"]
    known(window, qtbot)
    assert asked == ["rank_sits", "rank_sits"]
    assert sits.sits[0].air.from_deg == 195.0


def test_another_direction_keeps_the_table_another_speed_does_not(
    window: MainWindow, qtbot
) -> None:
    sits = sits_of(window)
    table = sits.table
    sits.set_wind(replace(sits.wind, from_deg=10.0))
    assert sits.table is table
    sits.set_wind(replace(sits.wind, speed_m_s=2 * MPH))
    assert sits.table is None
    assert sits.stands
    known(window, qtbot)


def test_old_sits_never_look_new(window: MainWindow, qtbot) -> None:
    sits = sits_of(window)
    assert sits.sits is not None
    window.desk.hour.set(half=Half.MORNING)
    assert sits.sits is None
    known(window, qtbot)
    assert sits.trees is not None
    assert sits.sits is not None


def test_a_clear_still_evening_drains_and_says_so(window: MainWindow, qtbot) -> None:
    sits = sits_of(window)
    sits.set_wind(replace(sits.wind, speed_m_s=2 * MPH, sky=Sky.CLEAR))
    known(window, qtbot)
    best = sits.sits[0]
    assert best.air.sense is Sense.DOWN
    assert "cold air draining downhill" in said_smell(best, "NW at 2 mph")
    sits.set_wind(replace(sits.wind, speed_m_s=2 * MPH, sky=Sky.LOW))
    known(window, qtbot)
    assert sits.sits[0].air.sense is Sense.NONE


def test_without_a_gate_the_words_ask_for_one(window: MainWindow) -> None:
    best = sits_of(window).sits[0]
    assert said_way(best, has_gate=True).startswith("<b>In.</b>")
    gone = replace(best, way=None)
    assert said_way(gone, has_gate=False).startswith("Mark a way in")
    assert said_way(gone, has_gate=True).startswith("No way leads there")


def test_nothing_is_asked_while_no_page_shows_stands(window: MainWindow, qtbot) -> None:
    sits = sits_of(window)
    window.go_to(Stop.TRIPS)
    sits.set_wind(replace(sits.wind, from_deg=33.0))
    assert not sits.is_busy
    assert sits.sits is None
