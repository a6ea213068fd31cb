"""The program's own icons: 24 × 24, line 1.8, round ends.

Each is written as a few strokes: ``M x y`` moves, ``L`` draws to points, ``C`` bends (two handles
and an end), ``O x y across down`` is an oval, ``Z`` closes. The second text is filled.
"""

from __future__ import annotations

import re
from functools import lru_cache
from typing import Final

from PyQt5.QtCore import QPointF, QRectF, QSize, Qt
from PyQt5.QtGui import QColor, QIcon, QPainter, QPainterPath, QPen, QPixmap

from . import colours

SIDE: Final = 24.0
LINE: Final = 1.8

_WAVES: Final = "M 3 {0} C 6 {1} 9 {1} 12 {0} C 15 {2} 18 {2} 21 {0}"


def _wave(y: float) -> str:
    """Return one wavy line across the icon."""
    return _WAVES.format(y, y - 3, y + 3)


def _dots(points: list[tuple[float, float]], radius: float = 1.2) -> str:
    """Return small filled discs."""
    return " ".join(f"O {x} {y} {2 * radius} {2 * radius}" for x, y in points)


#: Name: what is drawn as lines, what is filled.
DRAWINGS: Final[dict[str, tuple[str, str]]] = {
    "season": (
        "M 3 6 L 21 6 L 21 21 L 3 21 Z M 3 11 L 21 11 M 8 3 L 8 8 M 16 3 L 16 8",
        _dots([(8, 15.5), (12, 15.5), (16, 15.5)], 1.4),
    ),
    "log": (
        "M 6 3 L 20 3 L 20 21 L 6 21 Z M 10 8 L 16.5 8 M 10 12 L 16.5 12 M 10 16 L 14 16 "
        "M 3.5 7 L 8 7 M 3.5 12 L 8 12 M 3.5 17 L 8 17",
        "",
    ),
    "bed": (
        "O 12 12.5 20 12 M 4.4 8.6 L 6.6 11 M 7.2 7.3 L 8.6 10.2 M 9.6 6.7 L 10.3 9.8 "
        "M 12 6.5 L 12 9.8 M 14.4 6.7 L 13.7 9.8 M 16.8 7.3 L 15.4 10.2 M 19.6 8.6 L 17.4 11",
        "",
    ),
    "food": (
        "M 4 6 L 21 4 L 20 19 L 3 20 Z",
        _dots([(8, 10), (12, 9.6), (16, 9.2), (7.6, 15), (11.8, 14.7), (16, 14.4)]),
    ),
    "fence": (
        "M 2 18 L 22 6 M 4.6 13.2 L 8 18 M 4 17.2 L 8.6 14 M 10.3 9.6 L 13.7 14.4 "
        "M 9.7 13.6 L 14.3 10.4 M 16 6 L 19.4 10.8 M 15.4 10 L 20 6.8",
        "",
    ),
    "gap": (
        "M 2 12 L 6 12 M 5 6.5 C 8.6 8.5 8.6 15.5 5 17.5 M 22 12 L 18 12 "
        "M 19 6.5 C 15.4 8.5 15.4 15.5 19 17.5",
        "",
    ),
    "crossing": (f"{_wave(8)} {_wave(16)} M 10 3 L 10 21 M 14.5 3 L 14.5 21", ""),
    "way-in": (
        "M 4 4 L 4 21 M 20 4 L 20 21 M 4 8 L 20 8 M 4 16.5 L 20 16.5 M 4 16.5 L 20 8",
        "",
    ),
    "keep-off": (
        "M 4 4 L 20 4 L 20 20 L 4 20 Z M 4 10 L 10 4 M 4 16 L 16 4 M 8 20 L 20 8 M 14 20 L 20 14",
        "",
    ),
    "house": ("", "M 12 3.5 L 21 11 L 19 11 L 19 20.5 L 5 20.5 L 5 11 L 3 11 Z"),
    "sign": (
        "M 8.5 3 L 8.5 20 M 15.5 3 L 15.5 20 M 4 20.5 L 20 20.5",
        "M 12 7 C 14.6 9.5 14.6 13.5 12 16 C 9.4 13.5 9.4 9.5 12 7 Z",
    ),
    "rub": (
        "M 8.5 3 L 8.5 20 M 15.5 3 L 15.5 20 M 4 20.5 L 20 20.5",
        "M 12 7 C 14.6 9.5 14.6 13.5 12 16 C 9.4 13.5 9.4 9.5 12 7 Z",
    ),
    "scrape": ("O 12 17 16 6 M 4 4 C 9 3 14 5 19 9 M 10 4 L 13 9 M 14 5.5 L 17 11", ""),
    "tracks": (
        "",
        "M 9 4 C 5 7 4.6 11 7.6 13 C 9.6 11 10 7.6 9 4 Z "
        "M 13 4 C 12 7.6 12.4 11 14.4 13 C 17.4 11 17 7 13 4 Z " + _dots([(8, 18), (14, 18)], 1.7),
    ),
    "trail": (
        "M 5 20 C 5 13 13 15 12 10 M 13 6.5 C 14 5 16 4 19 4",
        _dots([(5, 20), (12.4, 8.4), (19, 4)], 1.6),
    ),
    "core": ("O 12 12 18 18 O 12 12 9 9", _dots([(12, 12)], 1.6)),
    "cover": (
        "M 12 21 L 12 15 M 12 15 C 4 16 3 9 7.4 8 C 7.4 2.4 16.6 2.4 16.6 8 C 21 9 20 16 12 15 Z",
        "",
    ),
    "water": (f"{_wave(7)} {_wave(12.5)} {_wave(18)}", ""),
    "road": ("M 8 21 L 10.5 3 M 16 21 L 13.5 3 M 12 20 L 12 17 M 12 12.5 L 12 9.5", ""),
    "ditch": (
        "M 3 7 L 9 7 L 11 17 L 13 17 L 15 7 L 21 7",
        "",
    ),
    "creek": ("M 4 21 C 4 15 12 16 11 11 C 10.4 7 18 8 18 3 M 9 21 C 9 18.5 16.4 17 15.6 12", ""),
    "pinch": ("", "M 4 4 L 20 4 L 12 12 Z M 4 20 L 20 20 L 12 12 Z"),
    "edge": ("M 2 17 L 22 17", _dots([(6, 10), (12, 10), (18, 10)], 1.8)),
    "staging": ("M 2 19 L 22 19", "M 4 16 C 4 5 20 5 20 16 Z"),
    "show": (
        "M 2 19 C 7 17 8 5 12 5 C 16 5 17 17 22 19 Z M 12.6 8 L 12.6 18.6 M 15 9.4 L 15 18.6 "
        "M 17.3 14.6 L 17.3 18.6",
        "",
    ),
    "closer": ("M 12 5 L 12 19 M 5 12 L 19 12", ""),
    "farther": ("M 5 12 L 19 12", ""),
    "whole": (
        "M 3.5 8.5 L 3.5 3.5 L 8.5 3.5 M 15.5 3.5 L 20.5 3.5 L 20.5 8.5 "
        "M 20.5 15.5 L 20.5 20.5 L 15.5 20.5 M 8.5 20.5 L 3.5 20.5 L 3.5 15.5",
        _dots([(12, 12)], 2.4),
    ),
    "measure": (
        "M 2.5 16 L 16 2.5 L 21.5 8 L 8 21.5 Z M 7 11.5 L 9.6 14.1 M 10.5 8 L 13.1 10.6 "
        "M 14 4.5 L 16.6 7.1",
        "",
    ),
    "undo": ("M 8.5 4 L 4 8.5 L 8.5 13 M 4 8.5 L 14 8.5 C 21.5 8.5 21.5 19 14 19 L 9 19", ""),
    "redo": ("M 15.5 4 L 20 8.5 L 15.5 13 M 20 8.5 L 10 8.5 C 2.5 8.5 2.5 19 10 19 L 15 19", ""),
    "help": (
        "O 12 12 19 19 M 9.2 9.6 C 9.2 5.6 15 5.8 15 9.4 C 15 11.6 12 11.6 12 14.2",
        _dots([(12, 17.2)], 1.2),
    ),
    "caution": ("M 12 3.5 L 22 20.5 L 2 20.5 Z M 12 9.5 L 12 14.5", _dots([(12, 17.4)], 1.1)),
    "error": ("O 12 12 19 19 M 7.5 12 L 16.5 12", ""),
    "tick": ("M 5 12.5 L 10 17.5 L 19 7", ""),
    "down": ("M 6 9 L 12 15 L 18 9", ""),
    "card": (
        "M 5 2.5 L 15 2.5 L 19.5 7 L 19.5 21.5 L 5 21.5 Z M 8.5 6 L 8.5 9.5 M 11.5 6 L 11.5 9.5 "
        "M 14.5 6 L 14.5 9.5",
        "",
    ),
    "folder": ("M 2.5 19.5 L 2.5 5 L 9 5 L 11 8 L 21.5 8 L 21.5 19.5 Z", ""),
    "stand": (
        "M 15 2 L 15 22 M 19 2 L 19 22 M 5 22 L 9 6 M 10 22 L 13 8 M 6 18 L 10.8 18 "
        "M 7 14 L 11.6 14 M 8 10 L 12.4 10 M 7 6 L 15 6",
        "",
    ),
    "camera": ("M 4 4 L 20 4 L 20 20 L 4 20 Z O 12 12 8 8", ""),
    "wind": (
        "M 3 8 L 14 8 C 18.5 8 18 3 14.5 4 M 3 12.5 L 18 12.5 C 22.5 12.5 22 18 18.5 17 "
        "M 3 17 L 11 17 C 15 17 14.6 21.6 11.5 20.6",
        "",
    ),
    "plus": ("M 12 6 L 12 18 M 6 12 L 18 12", ""),
    "funnel": ("M 1 16 C 6 12 9 20 23 15", "M 6 3 L 18 3 L 12 10 Z M 7 21.5 L 17 21.5 L 12 12.5 Z"),
}


@lru_cache(maxsize=256)
def _path(text: str) -> QPainterPath:
    """Return the painter path of a drawing."""
    path = QPainterPath()
    for verb, body in re.findall(r"([A-Z])([^A-Z]*)", text):
        numbers = [float(number) for number in body.split()]
        if verb == "M":
            path.moveTo(*numbers)
        elif verb == "L":
            for x, y in zip(numbers[::2], numbers[1::2], strict=True):
                path.lineTo(x, y)
        elif verb == "C":
            path.cubicTo(*numbers)
        elif verb == "O":
            path.addEllipse(QPointF(*numbers[:2]), numbers[2] / 2, numbers[3] / 2)
        else:
            path.closeSubpath()
    return path


def draw_icon(
    painter: QPainter, name: str, box: QRectF, colour: QColor, *, line: float = LINE
) -> None:
    """Draw an icon of `DRAWINGS` into a square box."""
    lines, solid = DRAWINGS[name]
    painter.save()
    try:
        painter.setRenderHint(QPainter.Antialiasing)
        painter.translate(box.topLeft())
        painter.scale(box.width() / SIDE, box.height() / SIDE)
        painter.setPen(QPen(colour, line, Qt.SolidLine, Qt.RoundCap, Qt.RoundJoin))
        painter.setBrush(Qt.NoBrush)
        painter.drawPath(_path(lines))
        painter.setPen(Qt.NoPen)
        painter.setBrush(colour)
        painter.drawPath(_path(solid))
    finally:
        painter.restore()


def icon_pixmap(name: str, side: int, ratio: float, colour: QColor) -> QPixmap:
    """Return an icon as a pixmap of ``side`` logical pixels."""
    pixmap = QPixmap(QSize(round(side * ratio), round(side * ratio)))
    pixmap.setDevicePixelRatio(ratio)
    pixmap.fill(Qt.transparent)
    painter = QPainter(pixmap)
    try:
        draw_icon(painter, name, QRectF(0, 0, side, side), colour)
    finally:
        painter.end()
    return pixmap


def icon(name: str, value: str = colours.INK, *, side: int = 24) -> QIcon:
    """Return an icon for a button, with a paler one for when it is off."""
    made = QIcon()
    for ratio in (1.0, 2.0):
        made.addPixmap(icon_pixmap(name, side, ratio, QColor(value)))
        off = icon_pixmap(name, side, ratio, QColor(colours.PALE_INK))
        made.addPixmap(off, QIcon.Disabled)
    return made


def program_icon() -> QIcon:
    """Return the icon of the program: the hourglass over a profile line, on paper."""
    made = QIcon()
    for side in (16, 32, 64, 128):
        pixmap = QPixmap(side, side)
        pixmap.fill(QColor(colours.PAPER))
        painter = QPainter(pixmap)
        try:
            box = QRectF(side * 0.08, side * 0.08, side * 0.84, side * 0.84)
            draw_icon(painter, "funnel", box, QColor(colours.PETROL))
        finally:
            painter.end()
        made.addPixmap(pixmap)
    return made
