"""Stands in the window: found, taken, moved and put by hand, with their winds and ways."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest
from PyQt5.QtCore import QPoint, Qt
from PyQt5.QtTest import QTest
from PyQt5.QtWidgets import QApplication

from funnelfinder.analysis.sitting import property_day, sitting_base
from funnelfinder.files import property_file
from funnelfinder.stands import stands_for, wind_table
from tests.ui.conftest import Mouse
from tests.ui.found import found_file, found_once, opened
from tests.ui.with_sits import ON, at_page, known, sits_of
from ui.canvas.stand_slip import StandSlip
from ui.controls.wind_dial import Petal
from ui.gestures import Place
from ui.main_window import MainWindow
from ui.panels.stands import StandsPage
from ui.stops import Sign, Stop
from ui.wind_set import Swing


@pytest.fixture
def window(make_window, tmp_path: Path, qtbot) -> MainWindow:
    return at_page("Stands", make_window(1280, 800), tmp_path, qtbot)


def page_of(window: MainWindow) -> StandsPage:
    page = window.panel.page
    assert isinstance(page, StandsPage)
    return page


def pixel(window: MainWindow, x_m: float, y_m: float) -> QPoint:
    px, py = window.map.view.outlook.to_px(x_m, y_m)
    return QPoint(round(px), round(py))


def test_the_list_and_the_dial_are_those_of_the_core(window: MainWindow) -> None:
    place, grids, findings = found_once()
    sits = sits_of(window)
    base = sitting_base(place, grids, findings, property_day(place, ON)[0])
    stands = stands_for(base, sits.spots, ())
    assert [one.name for one in sits.stands] == [one.name for one in stands]
    assert set(page_of(window).rows) == {one.name for one in stands}
    table = wind_table(base, stands, speed_m_s=sits.wind.speed_m_s, sky=sits.wind.sky)
    assert np.allclose(sits.table.alerted, table.alerted, atol=1e-9)
    page_of(window).rows[stands[0].name].click()
    own = place.settings.stands
    for number, share in enumerate(table.alerted_part[0, :, 0]):
        petal = page_of(window).wind.dial.petals[number]
        few, many = own.alerted_few_share, own.alerted_many_share
        expected = Petal.FEW if share < few else Petal.SOME if share <= many else Petal.MANY
        assert petal is expected
        assert f"{100 * share:.0f} of 100" in page_of(window).wind.dial.tip_of(number)


def test_a_stand_in_hand_says_its_caution_and_is_taken_and_undone(
    window: MainWindow, qtbot
) -> None:
    page, sits = page_of(window), sits_of(window)
    name = sits.stands[0].name
    QTest.mouseClick(page.rows[name], Qt.LeftButton)
    assert window.panel.heading.text() == name
    content = window.map.slip.words.content
    assert isinstance(content, StandSlip)
    assert content.caution.text().startswith("Harness from ground to ground, haul line, tell")
    assert "Shots toward:" in content.caution.text()
    assert window.column.button.text() == f"Take {name}"
    QTest.mouseClick(content.tick, Qt.LeftButton)
    known(window, qtbot)
    own = window.desk.open
    assert [one.name for one in own.place.stands] == [name]
    assert sits.stand(name).is_chosen
    assert [one.name for one in sits.stands if one.cluster == sits.stand(name).cluster] == [name]
    state = window.header.footpath.buttons[Stop.LATER].state
    assert (state.words, state.sign) == ("1 stand", Sign.DONE)
    own.keeper.finish()
    assert property_file.load(own.path).place.stands == own.place.stands
    own.undo()
    known(window, qtbot)
    assert own.place.stands == ()
    assert not sits.stand(name).is_chosen


def test_keys_walk_take_and_leave_the_list(window: MainWindow, qtbot) -> None:
    sits = sits_of(window)
    names = [one.name for one in sits.stands]
    window.map.focus_map()
    QTest.keyClick(window.map.view, Qt.Key_PageDown)
    assert sits.in_hand == names[0]
    QTest.keyClick(window.map.view, Qt.Key_PageUp)
    assert sits.in_hand == names[-1]
    QTest.keyClick(window.map.view, Qt.Key_Space)
    known(window, qtbot)
    assert sits.stand(names[-1]).is_chosen
    QTest.keyClick(window.map.view, Qt.Key_Escape)
    assert window.map.slip is None
    QTest.keyClick(window.map.view, Qt.Key_Escape)
    assert sits.in_hand == ""
    assert window.panel.page is not None
    QTest.keyClick(window.map.view, Qt.Key_Escape)
    assert window.panel.page is None


def test_a_click_on_the_map_takes_a_stand_in_hand(window: MainWindow) -> None:
    sits = sits_of(window)
    stand = sits.stands[-1]
    mouse = Mouse(window.map.view.viewport(), QApplication.processEvents)
    mouse.click(pixel(window, stand.x_m, stand.y_m))
    assert sits.stand(sits.in_hand).cluster == stand.cluster


def test_a_stand_is_put_by_hand_with_words_at_the_pointer(window: MainWindow, qtbot) -> None:
    sits, stand_map = sits_of(window), page_of(window)._map
    stand = sits.stands[0]
    page_of(window)._map.put(stand.cluster)
    assert isinstance(window.map.view.gesture, Place)
    mouse = Mouse(window.map.view.viewport(), QApplication.processEvents)
    with qtbot.waitSignal(sits.judged, timeout=30_000):
        mouse.move(pixel(window, *stand.scrapes_m[0]))
    words, is_forbidden = stand_map.scene.pointing[1:]
    assert is_forbidden
    assert "from a scrape" in words
    at = pixel(window, stand.x_m, stand.y_m)
    with qtbot.waitSignal(sits.judged, timeout=30_000):
        mouse.move(at)
    qtbot.waitUntil(lambda: not stand_map.scene.pointing[2], timeout=30_000)
    assert "to the nearest scrape" in stand_map.scene.pointing[1]
    mouse.click(at)
    qtbot.waitUntil(lambda: bool(sits.in_hand), timeout=60_000)
    own = sits.stand(sits.in_hand)
    assert own.is_by_hand
    assert math.dist((own.x_m, own.y_m), (stand.x_m, stand.y_m)) < 2.0
    known(window, qtbot)
    window.desk.open.undo()
    known(window, qtbot)
    assert not any(one.is_by_hand for one in sits.stands)


def test_a_stand_is_moved_and_left_out_in_steps_that_undo_takes_back(
    window: MainWindow, qtbot
) -> None:
    sits, page = sits_of(window), page_of(window)
    first, other = sits.stands[0], sits.stands[1]
    sits.hold(first.name)
    content = window.map.slip.words.content
    content.moved.emit()
    mouse = Mouse(window.map.view.viewport(), QApplication.processEvents)
    mouse.click(pixel(window, other.x_m, other.y_m))
    qtbot.waitUntil(lambda: sits.in_hand == first.name and sits.trees is not None, timeout=60_000)
    moved = sits.stand(first.name)
    assert math.dist((moved.x_m, moved.y_m), (other.x_m, other.y_m)) < 2.0
    assert window.desk.open.history.next_undo.name == f"move {first.name}"
    known(window, qtbot)
    window.desk.open.undo()
    known(window, qtbot)
    sits.hold(first.name)
    page._map.leave()
    known(window, qtbot)
    left = window.desk.open.place.stands
    assert [one.is_taken for one in left] == [False]
    assert all(math.dist((one.x_m, one.y_m), (first.x_m, first.y_m)) > 2 for one in sits.stands)


def test_the_arrow_sets_the_wind_and_ways_and_scent_follow(window: MainWindow, qtbot) -> None:
    sits, page = sits_of(window), page_of(window)
    stand = sits.stands[0]
    sits.hold(stand.name)
    qtbot.waitUntil(lambda: sits.scent is not None, timeout=60_000)
    dial = page.wind.dial

    def mean_dot() -> np.ndarray:
        return page._map.scene.scent.begin_m.mean(axis=0) - (stand.x_m, stand.y_m)

    # Words that come late move the dial: the hand takes it once all is laid out.
    known(window, qtbot)
    QApplication.processEvents()
    mouse = Mouse(dial, QApplication.processEvents)
    mouse.drag(dial.place(315, 0.9).toPoint(), dial.place(90, 0.9).toPoint())
    assert sits.wind.from_deg == 90.0
    known(window, qtbot)
    qtbot.waitUntil(lambda: sits.scent is not None, timeout=60_000)
    east, north = mean_dot()
    assert east < -20  # a wind from the east carries scent west
    assert abs(north) < abs(east)
    QTest.keyClick(dial, Qt.Key_Right)
    assert sits.wind.from_deg == 112.5
    QTest.keyClick(dial, Qt.Key_Up)
    assert page.wind.said_speed.text() == "8 mph"
    known(window, qtbot)


def test_variable_and_calm_are_said_to_be_what_they_are(window: MainWindow, qtbot) -> None:
    sits, page = sits_of(window), page_of(window)
    QTest.mouseClick(page.wind.swing._group.button(2), Qt.LeftButton)
    assert sits.wind.swing is Swing.ALL_OVER
    assert math.isnan(page.wind.dial.from_deg)
    assert page.wind.unsure.text().startswith("Variable: every direction is as likely")
    page.wind.speed.setValue(0)
    assert page.wind.unsure.text().startswith("Calm: no petal tells")
    assert page.wind.said_speed.text() == "calm"
    known(window, qtbot)


def test_the_few_that_serve_most_winds_are_named(window: MainWindow) -> None:
    """The greedy few of the core cover what the words say, counted here wind by wind."""
    sits = sits_of(window)
    own = found_once()[0].settings.stands
    said = page_of(window)._together.text()
    named = [one.name for one in sits.stands if f" {one.name}" in said]
    assert 1 <= len(named) <= own.n_stands
    rows = [k for k, one in enumerate(sits.table.stands) if one.name in named]
    covered = sits.table.is_huntable(own)[rows].any(axis=0).mean()
    assert f"{100 * covered:.0f} of 100" in said


def test_the_map_says_what_the_hand_can_do(window: MainWindow) -> None:
    assert "a stand to see its winds" in window.map._hint_text


def test_no_slip_lies_over_its_stand_in_a_small_window(make_window, tmp_path: Path, qtbot) -> None:
    window = opened(make_window(640, 360), qtbot, found_file(tmp_path))
    window.tending.take_best(2)
    window.go_to(Stop.LATER)
    window.panel.show_page("Stands")
    known(window, qtbot)
    for stand in sits_of(window).stands:
        sits_of(window).hold(stand.name)
        assert not window.map.slip.geometry().contains(pixel(window, stand.x_m, stand.y_m))


def test_the_numbers_stand_in_a_table(window: MainWindow) -> None:
    sits, page = sits_of(window), page_of(window)
    sits.hold(sits.stands[0].name)
    QTest.mouseClick(page.numbers, Qt.LeftButton)
    assert page.table.isVisible()
    part = sits.table.alerted_part[0]
    for row in (0, 7, 15):
        for column in (0, 1):
            assert page.table.item(row, column).text() == f"{100 * part[row, column]:.0f} of 100"


def test_stop_ends_the_work_and_it_is_taken_up_again(make_window, tmp_path: Path, qtbot) -> None:
    window = opened(make_window(1280, 800), qtbot, found_file(tmp_path))
    window.tending.take_best(2)
    window.go_to(Stop.LATER)
    window.panel.show_page("Stands")
    assert window.column.button.text() == "Stop"
    assert window.desk.work is not None
    window.column.press()
    qtbot.waitUntil(lambda: window.desk.work is None, timeout=20_000)
    assert window.column.button.text() == "Go on"
    window.column.press()
    known(window, qtbot)
    assert sits_of(window).stands


def test_findings_that_are_out_of_date_lead_back_to_the_spots(window: MainWindow, qtbot) -> None:
    from ui import edits

    window.desk.do(edits.set_setting("reach", "25yd"))
    assert not sits_of(window).can_ask
    assert window.column.button.text() == "Bring the spots up to date"
