"""Taking along: what goes, where to, what the small screen shows, and what goes wrong."""

from __future__ import annotations

from pathlib import Path

import gpxpy
import pytest
from PyQt5.QtCore import Qt

from funnelfinder.waypoints import NAME_LENGTH, WaypointKind
from tests.ui.found import found_file, opened
from ui.cards import Card
from ui.main_window import MainWindow
from ui.stops import Stop


@pytest.fixture
def window(make_window, tmp_path: Path, qtbot) -> MainWindow:
    window = opened(make_window(1440, 900), qtbot, found_file(tmp_path))
    window.go_to(Stop.SPOTS)
    qtbot.waitUntil(lambda: window.tending.is_counted, timeout=30_000)
    window.column.press()
    window.go_to(Stop.TAKE_ALONG)
    return window


def write(window: MainWindow, qtbot) -> None:
    window.column.press()
    qtbot.waitUntil(lambda: window.desk.work is None, timeout=30_000)


def gpx_names(path: Path) -> set[str]:
    return {point.name for point in gpxpy.parse(path.read_text(encoding="utf-8")).waypoints}


def test_nothing_picked_leads_back_to_the_spots(make_window, tmp_path: Path, qtbot) -> None:
    window = opened(make_window(), qtbot, found_file(tmp_path))
    window.go_to(Stop.TAKE_ALONG)
    assert window.column.button.text() == "Back to the spots"
    assert not window.bench.isVisible()
    assert window.column.caution.isHidden()


def test_what_is_ticked_is_written_and_read_back(window: MainWindow, tmp_path: Path, qtbot) -> None:
    folder = tmp_path / "card"
    folder.mkdir()
    panel = window.panel
    panel.set_folder(folder)
    panel.what[WaypointKind.CAMERA].click()
    shown = {point.name for point in panel.load().points}
    assert not any(name.endswith("CAM") for name in shown)
    assert any(name.startswith("W01") for name in shown)
    assert all(len(name) <= NAME_LENGTH for name in shown)
    assert window.column.button.text() == f"Write {len(shown)} points to the folder"
    assert "A model proposed these" in window.column._caution_words.text()
    write(window, qtbot)
    assert {path.name for path in folder.iterdir()} == {"brome-hollow.gpx", "brome-hollow.kml"}
    assert gpx_names(folder / "brome-hollow.gpx") == shown
    assert "read back and equal" in window.map.slip.words.body


def test_a_file_that_is_there_stays(window: MainWindow, tmp_path: Path, qtbot) -> None:
    folder = tmp_path / "card"
    folder.mkdir()
    (folder / "brome-hollow.gpx").write_text("an old one", encoding="utf-8")
    window.panel.set_folder(folder)
    window.panel.formats["kml"].click()
    write(window, qtbot)
    assert (folder / "brome-hollow.gpx").read_text(encoding="utf-8") == "an old one"
    write(window, qtbot)
    names = sorted(path.name for path in folder.iterdir())
    assert names == ["brome-hollow-2.gpx", "brome-hollow-3.gpx", "brome-hollow.gpx"]


def test_a_folder_that_cannot_be_written_is_told(window: MainWindow, tmp_path, qtbot) -> None:
    file = tmp_path / "not-a-folder"
    file.write_text("a file", encoding="utf-8")
    window.panel.set_folder(file / "inside")
    write(window, qtbot)
    assert window.map.slip.words.is_trouble
    assert "could not be written" in window.map.slip.words.body
    assert "could not be written" in window.column.line.text()
    assert file.read_text(encoding="utf-8") == "a file"


CARDS = {
    "pulled": (None, "The card was taken out. Nothing was written."),
    "full": ((10_000, False), "10 KB free"),
    "locked": ((10**9, True), "lock switch is on"),
}


@pytest.mark.parametrize("case", CARDS)
def test_a_card_that_is_pulled_full_or_locked_is_told(
    window: MainWindow, tmp_path: Path, qtbot, monkeypatch, case: str
) -> None:
    now, words = CARDS[case]
    field = tmp_path / "FIELD"
    field.mkdir()
    card = Card(name="FIELD", path=field, free_bytes=7_100_000_000, is_locked=False)
    panel = window.panel
    panel.find_cards = lambda: (card,)
    panel.look_for_cards()
    panel._to(card)
    assert window.column.button.text().endswith("to the card")
    at = (
        None if now is None else Card(name="FIELD", path=field, free_bytes=now[0], is_locked=now[1])
    )
    monkeypatch.setattr("ui.taking.card_at", lambda path: at)
    write(window, qtbot)
    assert words in window.map.slip.words.body
    assert words in window.column.line.text()
    assert list(field.iterdir()) == []


def test_a_typed_name_reaches_the_unit_and_is_undone(window: MainWindow, qtbot) -> None:
    screens = window.panel.screens
    first = window.tending.taken[0]
    edit = screens.names[first.number]
    edit.setFocus()
    edit.selectAll()
    qtbot.keyClicks(edit, "Old oak")
    qtbot.keyClick(edit, Qt.Key_Return)
    names = {point.name for point in window.panel.load().points}
    assert f"C{first.number}A-OLDOAK" in names
    assert window.tending.taken[0].name == "Old oak"
    window.desk.open.undo()
    assert window.tending.taken[0].name == first.name


def test_the_small_screen_shows_ink_only_where_something_is_written(window: MainWindow) -> None:
    screens = window.panel.screens
    full = screens.map_screen.image
    assert (full.width(), full.height()) == (240, 320)
    dark = _dark(full)
    for kind in (WaypointKind.SCRAPE, WaypointKind.CAMERA):
        window.panel.what[kind].click()
    assert 0 < _dark(screens.map_screen.image) < dark
    for kind in (WaypointKind.WAY_IN,):
        window.panel.what[kind].click()
    assert "Nothing is ticked" in screens.said.text()
    assert not window.column.button.isEnabled()


def _dark(image) -> int:
    return sum(
        image.pixelColor(x, y).lightness() < 60
        for x in range(0, image.width())
        for y in range(0, image.height() - 20)
    )


def test_a_map_to_print_is_drawn(window: MainWindow, tmp_path: Path, qtbot) -> None:
    path = tmp_path / "wall.pdf"
    window.panel.print_to(path)
    qtbot.waitUntil(lambda: window.desk.work is None, timeout=60_000)
    assert path.read_bytes().startswith(b"%PDF")
    assert window.map.slip.words.title == "Drawn"


def test_the_bench_takes_the_map_in_small_windows_and_gives_it_back(
    make_window, tmp_path: Path, qtbot
) -> None:
    window = opened(make_window(1280, 720), qtbot, found_file(tmp_path))
    window.go_to(Stop.SPOTS)
    qtbot.waitUntil(lambda: window.tending.is_counted, timeout=30_000)
    window.column.press()
    window.go_to(Stop.TAKE_ALONG)
    assert window.bench.isVisible()
    assert not window.map.isVisible()
    qtbot.mouseClick(window.bench.show_map, Qt.LeftButton)
    assert window.map.isVisible()
    assert not window.bench.isVisible()
    window.go_to(Stop.SPOTS)
    assert window.map.isVisible()


def test_stands_and_ways_go_along_in_a_file_of_their_own(
    window: MainWindow, tmp_path: Path, qtbot
) -> None:
    folder = tmp_path / "card"
    folder.mkdir()
    panel = window.panel
    panel.set_folder(folder)
    assert panel.sits.count.text() == "as GPX"
    qtbot.mouseClick(panel.sits.tick, Qt.LeftButton)
    qtbot.waitUntil(lambda: panel.sits.pack() is not None, timeout=90_000)
    qtbot.waitUntil(lambda: window.desk.work is None, timeout=90_000)
    pack = panel.sits.pack()
    assert panel.sits.count.text().startswith(f"{len(pack.stands)}, ")
    write(window, qtbot)
    own = folder / "brome-hollow-stands.gpx"
    written = gpxpy.parse(own.read_text(encoding="utf-8"))
    assert [point.name for point in written.waypoints] == [one.name for one in pack.stands]
    assert len(written.tracks) == pack.n_ways
    assert all("harness" in point.description.lower() for point in written.waypoints)
    write(window, qtbot)
    assert (folder / "brome-hollow-stands-2.gpx").exists()
    panel.sits.tick.click()
    assert panel.sits.pack() is None
