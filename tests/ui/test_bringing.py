"""Bringing in grids and pictures through the window, against a server of our own."""

from __future__ import annotations

import hashlib
from pathlib import Path

import numpy as np
import pytest
import rasterio
from PyQt5.QtCore import Qt
from PyQt5.QtGui import QColor
from PyQt5.QtTest import QTest
from rasterio.transform import from_origin

from funnelfinder.files import property_file
from funnelfinder.files.sources import Bring
from funnelfinder.marks import MarkKind
from tests.files.sources.world import World, heights
from tests.ui.found import opened
from tests.ui.public_world import (
    asked,
    bare,
    button,
    click,
    ended,
    fill,
    opened_bare,
)
from ui.stops import Sign, Stop
from ui.suggesting import Suggesting


def fingerprint(path: Path) -> str:
    return hashlib.sha256(path.read_bytes()).hexdigest()


def settled(window, qtbot, path: Path) -> str:
    """Wait until opening wrote all that it writes, and return the file's fingerprint."""
    assert window.desk.open.keeper.finish(10.0)
    return fingerprint(path)


def test_from_a_boundary_alone_to_its_grids(make_window, public: World, tmp_path, qtbot) -> None:
    fill(public, has_metre=True)
    path = bare(public, tmp_path)
    window = opened_bare(make_window(), qtbot, path)
    one = window.desk.open
    assert window.column.button.text() == "Bring in the grids"
    card = asked(window, qtbot)
    assert {kind for kind, tick in card.ticks.items() if tick.isChecked()} == {
        Bring.ELEVATION,
        Bring.COVER,
    }
    assert "127.0.0.1" in card.words[Bring.ELEVATION].text()
    assert "3DEP 1 m, seamless" in card.words[Bring.ELEVATION].text()
    assert window.column.line.text().startswith("About ")
    assert public.asked() == []
    click(window.column.button)
    ended(window, qtbot)
    assert one.grids is not None
    known = one.grids.elevation.values
    assert np.isfinite(known).all()
    lon, lat = public.lon, public.lat
    # The middle of the place, by the world's formula; the grid's cells are 1 m and more.
    grid = one.grids.elevation.grid
    middle = one.place.boundary.centroid
    row = int((grid.north_m - middle.y) / grid.cell_m)
    col = int((middle.x - grid.west_m) / grid.cell_m)
    assert known[row, col] == pytest.approx(heights(lon, lat), abs=0.6)
    assert window.header.footpath.buttons[Stop.GROUND].state.sign is Sign.DONE
    assert "in the west, is from 3DEP 1 m, seamless" in window.map.slip.words.body
    panel = window.panels[Stop.GROUND]
    said = " ".join(one.text() for one in panel.findChildren(type(panel.words)))
    assert "Elevation: 3DEP 1 m, seamless, " in said
    assert "US public domain" in said
    assert "USGS 3DEP" in window.map.credit.text
    assert window.map.credit.isVisible()
    # Kept: it opens without the server.
    public.close()
    kept = property_file.load(path)
    assert np.array_equal(kept.grids.elevation.values, known)
    window.undo()
    assert one.grids is None
    window.redo()
    assert one.grids is not None


def test_nothing_is_asked_without_a_yes(make_window, public: World, tmp_path, qtbot) -> None:
    fill(public)
    path = bare(public, tmp_path)
    window = opened_bare(make_window(), qtbot, path)
    before = settled(window, qtbot, path)
    card = asked(window, qtbot)
    click(card.no)
    panel = window.panels[Stop.GROUND]
    assert not panel.bringing.is_asking
    assert panel.card is None
    assert window.column.button.text() == "Bring in the grids"
    assert public.asked() == []
    assert window.desk.open.grids is None
    assert fingerprint(path) == before


def test_one_half_alone_is_not_asked_for_the_first_time(
    make_window, public: World, tmp_path, qtbot
) -> None:
    window = opened_bare(make_window(), qtbot, bare(public, tmp_path))
    card = asked(window, qtbot)
    click(card.ticks[Bring.COVER])
    assert not window.column.button.isEnabled()
    assert "come together" in window.column.line.text()
    click(card.ticks[Bring.COVER])
    assert window.column.button.isEnabled()


def test_stop_in_the_middle_leaves_all_as_it_was(
    make_window, public: World, tmp_path, qtbot
) -> None:
    fill(public)
    public.faults({"path": "wcs", "fault": "stall"})
    path = bare(public, tmp_path)
    window = opened_bare(make_window(), qtbot, path)
    before = settled(window, qtbot, path)
    asked(window, qtbot)
    click(window.column.button)
    qtbot.waitUntil(lambda: any("wcs" in line for line in public.asked()), timeout=30_000)
    assert window.column.button.text() == "Stop"
    assert " of about " in window.column.line.text()
    click(window.column.button)
    ended(window, qtbot)
    assert window.map.slip.words.title == "Stopped"
    assert window.desk.open.grids is None
    assert fingerprint(path) == before


@pytest.mark.parametrize("fault", ["404", "sign in"])
def test_a_fault_of_the_server_is_told_and_nothing_changes(
    make_window, public: World, tmp_path, qtbot, fault: str
) -> None:
    fill(public)
    public.faults({"path": "/", "fault": fault})
    path = bare(public, tmp_path)
    window = opened_bare(make_window(), qtbot, path)
    before = settled(window, qtbot, path)
    asked(window, qtbot)
    click(window.column.button)
    ended(window, qtbot)
    slip = window.map.slip.words
    assert slip.is_trouble
    assert "could be brought in" in slip.body
    assert "Your property is as before." in slip.body
    if fault == "sign in":
        assert "Welcome to our network" in slip.body
    assert fingerprint(path) == before
    # It can be tried again from the slip.
    public.faults()
    click(button(window.map.slip, "Try again"))
    qtbot.waitUntil(lambda: window.panel.bringing.requests is not None, timeout=10_000)
    click(window.column.button)
    ended(window, qtbot)
    assert window.desk.open.grids is not None


def test_the_window_stays_alive_while_it_waits(make_window, public: World, tmp_path, qtbot) -> None:
    fill(public)
    public.faults({"path": "wcs", "fault": "stall"})
    window = opened_bare(make_window(), qtbot, bare(public, tmp_path))
    asked(window, qtbot)
    click(window.column.button)
    qtbot.waitUntil(lambda: any("wcs" in line for line in public.asked()), timeout=30_000)
    before = window.map.view.outlook
    QTest.keyClick(window.map.view, Qt.Key_Right)
    assert window.map.view.outlook != before
    window.desk.stop_work()
    ended(window, qtbot)


def test_a_brought_picture_is_there_again_after_reopening(
    make_window, public: World, tmp_path, qtbot
) -> None:
    fill(public)
    path = bare(public, tmp_path)
    window = opened_bare(make_window(), qtbot, path)
    card = asked(window, qtbot)
    click(card.ticks[Bring.PICTURE])
    click(window.column.button)
    ended(window, qtbot)
    view = window.map.view
    qtbot.waitUntil(lambda: view._picture.has_picture, timeout=20_000)
    assert window.desk.preferences.layers["picture"].is_shown
    assert "National Map" in window.map.credit.text
    shown = window.backdrop_work._kept.levels[0]
    public.close()
    window.desk.open.close()
    again = opened(make_window(), qtbot, path, has_findings=False)
    qtbot.waitUntil(lambda: again.map.view._picture.has_picture, timeout=20_000)
    assert again.backdrop_work._kept.levels[0] == shown
    # Blue is 90 in every tile of the world.
    middle = QColor(shown.pixel(shown.width() // 2, shown.height() // 2))
    assert abs(middle.blue() - 90) <= 8


def test_crops_name_the_food_that_is_suggested(make_window, public: World, tmp_path, qtbot) -> None:
    fill(public)
    public.crops()
    path = bare(public, tmp_path)
    window = opened_bare(make_window(), qtbot, path)
    card = asked(window, qtbot)
    click(card.ticks[Bring.CROPS])
    click(window.column.button)
    ended(window, qtbot)
    assert set(np.unique(property_file.load_crops(path).values)) == {1, 36}
    panel = window.panels[Stop.GROUND]
    qtbot.waitUntil(lambda: panel.bringing.origins != (), timeout=10_000)
    assert panel.bringing.origins[0].source == "Cropland Data Layer 2024"
    window.go_to(Stop.MARKS)
    work = window.findChild(Suggesting)
    click(window.marks_panel.suggested.ask)
    qtbot.waitUntil(lambda: work.is_open, timeout=30_000)
    # Codes 1 and 36 of the national crop cover are corn and alfalfa (USDA NASS).
    foods = [one for one in work.shown.values() if one.kind is MarkKind.FOOD]
    assert {one.name.split(",")[0] for one in foods} == {"Corn", "Alfalfa"}


def test_escape_says_no(make_window, public: World, tmp_path, qtbot) -> None:
    window = opened_bare(make_window(), qtbot, bare(public, tmp_path))
    asked(window, qtbot)
    window.map.focus_map()
    QTest.keyClick(window.map.view, Qt.Key_Escape)
    assert not window.panel.bringing.is_asking
    assert public.asked() == []


def test_a_picture_of_ones_own_is_kept(make_window, public: World, tmp_path, qtbot) -> None:
    path = bare(public, tmp_path)
    window = opened_bare(make_window(), qtbot, path)
    window.open_files([own_picture(public, tmp_path / "photo.tif")])
    qtbot.waitUntil(lambda: property_file.load_origins(path) != (), timeout=20_000)
    assert window.desk.open.keeper.finish(10.0)
    (origin,) = property_file.load_origins(path)
    assert (origin.kind, origin.file) == ("picture", "photo.tif")
    window.desk.open.close()
    again = opened_bare(make_window(), qtbot, path)
    qtbot.waitUntil(lambda: again.map.view._picture.has_picture, timeout=20_000)
    image = again.backdrop_work._kept.levels[0]
    middle = QColor(image.pixel(image.width() // 2, image.height() // 2))
    assert (middle.red(), middle.green()) == (pytest.approx(200, abs=8), pytest.approx(60, abs=8))
    assert public.asked() == []


def own_picture(world: World, path: Path) -> Path:
    """A plain red picture over the boundary, in the zone of the property."""
    west, _, _, north = world.place.boundary.bounds
    values = np.zeros((3, 200, 250), np.uint8)
    values[0], values[1], values[2] = 200, 60, 40
    with rasterio.open(
        path,
        "w",
        driver="GTiff",
        width=250,
        height=200,
        count=3,
        dtype="uint8",
        crs=f"EPSG:{world.place.epsg}",
        transform=from_origin(west - 50, north + 50, 2.0, 2.0),
    ) as file:
        file.write(values)
    return path


def test_a_table_that_cannot_be_read_is_told(make_window, public: World, tmp_path, qtbot) -> None:
    window = opened_bare(make_window(), qtbot, bare(public, tmp_path))
    Path(window.desk.preferences.source_table).write_text("name,kind\nx,y\n")
    click(window.column.button)
    qtbot.waitUntil(lambda: window.map.slip is not None, timeout=10_000)
    assert "lacks the column 'address'" in window.map.slip.words.body
    assert window.desk.preferences.source_table == ""


def test_the_question_is_reached_by_keys(make_window, public: World, tmp_path, qtbot) -> None:
    fill(public)
    window = opened_bare(make_window(), qtbot, bare(public, tmp_path))
    window.map.focus_map()
    QTest.keyClick(window.map.view, Qt.Key_Return, Qt.ControlModifier)
    panel = window.panels[Stop.GROUND]
    qtbot.waitUntil(lambda: panel.bringing.requests is not None, timeout=10_000)
    QTest.keyClick(window.map.view, Qt.Key_Return, Qt.ControlModifier)
    ended(window, qtbot)
    assert window.desk.open.grids is not None
