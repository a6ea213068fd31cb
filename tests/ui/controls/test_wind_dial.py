"""The wind dial: its three petals differ by shape, its arrow is moved by mouse and keys."""

from __future__ import annotations

import math

import numpy as np
import pytest
from PyQt5.QtCore import QPoint, QPointF, Qt
from PyQt5.QtGui import QImage, QPainter
from PyQt5.QtTest import QTest
from PyQt5.QtWidgets import QApplication

from tests.ui.conftest import Mouse
from ui.controls.wind_dial import N_PETALS, STEP_DEG, Petal, WindDial
from ui.look import colours

# Luma of ITU-R BT.601, as a grey print mixes the colours.
LUMA = np.array([0.299, 0.587, 0.114])


@pytest.fixture
def dial(qtbot) -> WindDial:
    made = WindDial()
    qtbot.addWidget(made)
    made.resize(236, 236)
    made.show()
    qtbot.waitExposed(made)
    return made


def grey_of(dial: WindDial) -> np.ndarray:
    """Return the dial as a grey print, (rows, cols)."""
    image = QImage(dial.size(), QImage.Format_RGB32)
    image.fill(colours.colour(colours.PAPER))
    painter = QPainter(image)
    dial.render(painter)
    painter.end()
    pointer = image.bits()
    pointer.setsize(image.byteCount())
    bgra = np.frombuffer(pointer, dtype=np.uint8).reshape(image.height(), image.width(), 4)
    return bgra[:, :, 2::-1] @ LUMA


def ink_share(dial: WindDial, number: int, part: str) -> float:
    """Return which share of a petal's half is darker than middle grey, its edge left out."""
    grey = grey_of(dial)
    path = dial.petal_path(number, from_share=0.5)
    if part == "inner":
        path = dial.petal_path(number).subtracted(path)
    box = path.boundingRect()
    dark = [
        grey[y, x] < 128
        for y in range(int(box.top()), int(box.bottom()) + 1)
        for x in range(int(box.left()), int(box.right()) + 1)
        if all(
            path.contains(QPointF(x + 0.5 + dx, y + 0.5 + dy))
            for dx, dy in ((-2, 0), (2, 0), (0, -2), (0, 2))
        )
    ]
    assert len(dark) > 40
    return float(np.mean(dark))


@pytest.mark.parametrize("number", [1, 5, 9, 13])
def test_three_states_differ_in_a_grey_print(dial: WindDial, number: int) -> None:
    """Solid is ink throughout, half-hatched in its outer half only, hollow holds a ×."""
    dial.show_wind(math.nan, "All over", "7 mph")
    shares = {}
    for petal in Petal:
        dial.show_petals([petal] * N_PETALS, [""] * N_PETALS)
        shares[petal] = (ink_share(dial, number, "outer"), ink_share(dial, number, "inner"))
    assert shares[Petal.FEW][0] > 0.97
    assert shares[Petal.FEW][1] > 0.97
    assert 0.2 < shares[Petal.SOME][0] < 0.75
    assert shares[Petal.SOME][1] < 0.05
    hollow = shares[Petal.MANY]
    assert 0.02 < sum(hollow) < 0.5
    assert sum(shares[Petal.UNKNOWN]) < 0.02


def test_no_petal_is_told_by_colour(dial: WindDial) -> None:
    """Petals hold paper, ink and what lies between them, and no colour of their own."""
    dial.show_wind(math.nan, "", "")
    petals = [(Petal.FEW, Petal.SOME, Petal.MANY)[k % 3] for k in range(N_PETALS)]
    dial.show_petals(petals, [""] * N_PETALS)
    picture = dial.grab().toImage()
    for number in range(N_PETALS):
        at = dial.place(number * STEP_DEG, 0.7)
        red, green, blue, _ = picture.pixelColor(at.toPoint()).getRgb()
        assert max(red, green, blue) - min(red, green, blue) < 24


def test_the_arrow_is_dragged_round(dial: WindDial) -> None:
    turned: list[float] = []
    dial.turned.connect(turned.append)
    mouse = Mouse(dial, QApplication.processEvents)
    places = [dial.place(deg, 0.9).toPoint() for deg in (315, 0, 45, 90)]
    mouse.drag(*places)
    assert turned[0] == 315.0
    assert turned[-1] == 90.0
    assert set(turned) >= {0.0, 45.0}


def test_keys_turn_by_petals_and_change_the_speed(dial: WindDial) -> None:
    turned: list[float] = []
    sped: list[int] = []
    dial.turned.connect(turned.append)
    dial.sped.connect(sped.append)
    dial.show_wind(315.0, "NW", "7 mph")
    QTest.keyClick(dial, Qt.Key_Right)
    QTest.keyClick(dial, Qt.Key_Left)
    QTest.keyClick(dial, Qt.Key_Right, Qt.ShiftModifier)
    QTest.keyClick(dial, Qt.Key_Up)
    QTest.keyClick(dial, Qt.Key_Down)
    assert turned == [337.5, 292.5, 320.0]
    assert sped == [1, -1]


def test_numbers_stand_behind_every_petal(dial: WindDial) -> None:
    tips = [f"wind {k}: {k} of 100" for k in range(N_PETALS)]
    dial.show_petals([Petal.FEW] * N_PETALS, tips)
    dial.show_wind(90.0, "E", "7 mph")
    assert "wind 4: 4 of 100" in dial.accessibleDescription()
    pointed: list[int] = []
    dial.pointed.connect(pointed.append)
    mouse = Mouse(dial, QApplication.processEvents)
    for number in (0, 4, 11):
        mouse.move(dial.place(number * STEP_DEG, 0.6).toPoint())
    mouse.move(QPoint(2, 2))
    assert pointed == [0, 4, 11, -1]
    assert dial.tip_of(11) == "wind 11: 11 of 100"
