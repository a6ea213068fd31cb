"""What the map shows: colours of the printed map, ink and lashes."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
from PyQt5.QtWidgets import QApplication

from funnelfinder.files import property_file
from funnelfinder.shading import passage_of_100
from tests.scenes import EAST_0, NORTH_0
from tests.ui.hand import Make, at, open_kept
from ui.main_window import MainWindow


def colours_of(window: MainWindow, x: float, y: float, half: int = 3) -> np.ndarray:
    """Return the mean colour of a small square of the screen at scene coordinates."""
    image = window.map.view.viewport().grab().toImage()
    spot = at(window, x, y)
    ratio = image.devicePixelRatio()
    values = [
        image.pixelColor(round((spot.x() + i) * ratio), round((spot.y() + j) * ratio)).getRgb()[:3]
        for i in range(-half, half + 1)
        for j in range(-half, half + 1)
    ]
    return np.mean(values, axis=0)


def test_level_woods_and_passage_have_the_colours_of_the_printed_map(
    make_window: Make, tmp_path: Path, qtbot
) -> None:
    from tests.scenes import scene
    from ui.remembered import Layer

    place, grids = scene(cell_m=5.0, marks=[])
    path = tmp_path / "level.gpkg"
    property_file.create(path, place)
    property_file.save_grids(path, grids)
    window = make_window()
    for name in ("contours", "names"):
        window.desk.show_layer(name, Layer(is_shown=False))
    open_kept(window, qtbot, path)
    qtbot.waitUntil(lambda: window.ground_work.forms is not None, timeout=20_000)
    qtbot.waitUntil(lambda: not window.ground_work.is_drawing, timeout=20_000)
    # Level ground in the woods is #D8DACD; passage over it at 2, 5, 10, 20 and 40 of 100 gives
    # the colours below (the project's own ramp, computed once by hand from its blend).
    assert colours_of(window, 400, 500) == pytest.approx((0xD8, 0xDA, 0xCD), abs=3)
    reach_m = place.settings.scrapes.reach_m
    per_m = np.zeros(grids.cover.grid.shape, dtype=np.float32)
    expected = {
        2: (0xDF, 0xCD, 0xB7),
        5: (0xD4, 0x9D, 0x83),
        10: (0xB7, 0x6C, 0x5D),
        20: (0x93, 0x49, 0x4D),
        40: (0x64, 0x31, 0x3F),
    }
    grid = grids.cover.grid
    for number, of_100 in enumerate(expected):
        west = EAST_0 + 120.0 * number + 80
        cols = slice(*(round((x - grid.west_m) / grid.cell_m) for x in (west, west + 80)))
        rows = slice(*(round((grid.north_m - NORTH_0 - y) / grid.cell_m) for y in (340, 260)))
        per_m[rows, cols] = of_100 / 200.0 / reach_m
    assert passage_of_100(per_m, reach_m).max() == pytest.approx(40)
    window.ground_work.is_up_to_date = True
    window.ground_work.show_passage(per_m, grid)
    fade = window.ground_work._fade
    qtbot.waitUntil(lambda: fade.state() == fade.Stopped, timeout=3_000)
    for number, wanted in enumerate(expected.values()):
        got = colours_of(window, 120.0 * number + 120, 300)
        assert got == pytest.approx(wanted, abs=3), list(expected)[number]
    window.map.view.hold_passage_back(True)
    assert colours_of(window, 120, 300) == pytest.approx((0xD8, 0xDA, 0xCD), abs=3)
    window.map.view.hold_passage_back(False)
    edge = darkest_row(window, 120.0 * 4 + 80, 300)
    window.desk.show_layer("strong lines", Layer(is_shown=True))
    assert darkest_row(window, 120.0 * 4 + 80, 300) < edge - 20
    window.desk.show_layer("strong lines", Layer(is_shown=False))
    assert darkest_row(window, 120.0 * 4 + 80, 300) == pytest.approx(edge, abs=2)


def darkest_row(window: MainWindow, x: float, y: float) -> int:
    """How dark the darkest pixel is within 8 m west and east of a place."""
    image = window.map.view.viewport().grab().toImage()
    west, east = at(window, x - 8, y), at(window, x + 8, y)
    return min(
        image.pixelColor(column, west.y()).lightness() for column in range(west.x(), east.x())
    )


def test_a_bed_is_drawn_in_ink_with_lashes_inside(with_bed: MainWindow) -> None:
    window = with_bed
    window.map_work.put_down()
    view = window.map.view
    view.closer(6)
    view.look(
        view.outlook.__class__(
            x_m=EAST_0 + 200,
            y_m=NORTH_0 + 300,
            px_m=0.4,
            width_px=view.outlook.width_px,
            height_px=view.outlook.height_px,
        )
    )
    QApplication.processEvents()
    image = view.viewport().grab().toImage()

    def darkest(x: float, y: float) -> int:
        spot = at(window, x, y)
        return min(
            image.pixelColor(spot.x() + i, spot.y() + j).lightness()
            for i in range(-2, 3)
            for j in range(-2, 3)
        )

    assert darkest(160, 300) < 60
    assert darkest(240, 310) < 60
    row = at(window, 200, 340 - 1.0)
    dark = [image.pixelColor(row.x() + dx, row.y() + 1).lightness() < 110 for dx in range(-80, 80)]
    lashes = sum(b and not a for a, b in pairwise(dark))
    # A side of 200 px at a lash every 11 px: about 14 in the 160 px looked at.
    assert 9 <= lashes <= 18
