"""What a hand does in tests of the window."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from PyQt5.QtCore import QMimeData, QPoint, QPointF, Qt, QUrl
from PyQt5.QtGui import QDragEnterEvent, QDropEvent
from PyQt5.QtTest import QTest
from PyQt5.QtWidgets import QApplication

from tests.scenes import EAST_0, NORTH_0
from tests.ui.conftest import Mouse
from ui.main_window import MainWindow

Make = Callable[..., MainWindow]


def at(window: MainWindow, x: float, y: float) -> QPoint:
    """Return the pixel of a place at scene coordinates."""
    px, py = window.map.view.outlook.to_px(EAST_0 + x, NORTH_0 + y)
    return QPoint(round(px), round(py))


def mouse_on(window: MainWindow) -> Mouse:
    return Mouse(window.map.view.viewport(), QApplication.processEvents)


def press(window: MainWindow, key: int, keys: int = Qt.NoModifier, times: int = 1) -> None:
    for _ in range(times):
        QTest.keyClick(window.map.view, key, Qt.KeyboardModifiers(keys))


def drop(window: MainWindow, *paths: Path) -> None:
    """Drop files on the window, with the events that Qt sends."""
    mime = QMimeData()
    mime.setUrls([QUrl.fromLocalFile(str(path)) for path in paths])
    spot = QPoint(300, 300)
    enter = QDragEnterEvent(spot, Qt.CopyAction, mime, Qt.LeftButton, Qt.NoModifier)
    QApplication.sendEvent(window, enter)
    assert window.drop_frame.isVisible()
    let_go = QDropEvent(QPointF(spot), Qt.CopyAction, mime, Qt.LeftButton, Qt.NoModifier)
    QApplication.sendEvent(window, let_go)
    assert not window.drop_frame.isVisible()


def open_kept(window: MainWindow, qtbot, path: Path) -> None:
    window.opening.open_property(path)
    qtbot.waitUntil(lambda: window.desk.open is not None, timeout=10_000)
