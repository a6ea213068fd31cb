"""Windows for tests: a folder of their own for what is remembered, and real mouse events."""

from __future__ import annotations

import os
import shutil
import tempfile
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest
from PyQt5.QtCore import QEvent, QPoint, QPointF, Qt
from PyQt5.QtGui import QMouseEvent
from PyQt5.QtWidgets import QApplication, QWidget

if "XDG_RUNTIME_DIR" not in os.environ:
    os.environ["XDG_RUNTIME_DIR"] = tempfile.mkdtemp(prefix="funnelfinder-tests-")
    Path(os.environ["XDG_RUNTIME_DIR"]).chmod(0o700)


def pytest_configure(config: pytest.Config) -> None:
    """Stop with a clear word where no window can be shown; Qt would end all of pytest."""
    has_screen = (
        shutil.which("Xvfb") or os.environ.get("DISPLAY") or os.environ.get("QT_QPA_PLATFORM")
    )
    if not has_screen:
        pytest.exit("Window tests need Xvfb, a display, or QT_QPA_PLATFORM=offscreen.", 2)


@pytest.fixture(scope="session")
def qapp_args() -> list[str]:
    return ["funnelfinder"]


@pytest.fixture(scope="session")
def qapp(qapp_args: list[str]) -> QApplication:
    from PyQt5.QtCore import QCoreApplication

    from ui.look import dress

    if QApplication.instance() is None:
        QCoreApplication.setAttribute(Qt.AA_EnableHighDpiScaling)
        QCoreApplication.setAttribute(Qt.AA_UseHighDpiPixmaps)
    app = QApplication.instance() or QApplication(qapp_args)
    dress(app)
    return app


@pytest.fixture(autouse=True)
def own_folders(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Let nothing be remembered outside the test."""
    home = tmp_path / "home"
    documents = home / "Documents"
    documents.mkdir(parents=True)
    for name in ("XDG_DATA_HOME", "XDG_CONFIG_HOME", "XDG_STATE_HOME"):
        monkeypatch.setenv(name, str(home / name.lower()))
    monkeypatch.setenv("XDG_DOCUMENTS_DIR", str(documents))
    return home


@dataclass
class Mouse:
    """A real mouse on one widget: presses, moves with the button down, releases."""

    widget: QWidget
    wait: Callable[[], None]

    def _send(self, kind: QEvent.Type, at: QPoint, button: int, buttons: int, keys: int) -> None:
        event = QMouseEvent(
            kind,
            QPointF(at),
            QPointF(self.widget.mapToGlobal(at)),
            Qt.MouseButton(button),
            Qt.MouseButtons(buttons),
            Qt.KeyboardModifiers(keys),
        )
        QApplication.sendEvent(self.widget, event)
        self.wait()

    def move(self, at: QPoint, keys: int = Qt.NoModifier) -> None:
        self._send(QEvent.MouseMove, at, Qt.NoButton, Qt.NoButton, keys)

    def click(self, at: QPoint, keys: int = Qt.NoModifier) -> None:
        self.move(at, keys)
        self._send(QEvent.MouseButtonPress, at, Qt.LeftButton, Qt.LeftButton, keys)
        self._send(QEvent.MouseButtonRelease, at, Qt.LeftButton, Qt.NoButton, keys)

    def double_click(self, at: QPoint) -> None:
        """A real one: press, release, second press as a double click, release."""
        self.click(at)
        self._send(QEvent.MouseButtonDblClick, at, Qt.LeftButton, Qt.LeftButton, 0)
        self._send(QEvent.MouseButtonRelease, at, Qt.LeftButton, Qt.NoButton, 0)

    def drag(self, *places: QPoint, keys: int = Qt.NoModifier) -> None:
        self.move(places[0], keys)
        self._send(QEvent.MouseButtonPress, places[0], Qt.LeftButton, Qt.LeftButton, keys)
        for at in places[1:]:
            self._send(QEvent.MouseMove, at, Qt.NoButton, Qt.LeftButton, keys)
        self._send(QEvent.MouseButtonRelease, places[-1], Qt.LeftButton, Qt.NoButton, keys)


@pytest.fixture
def make_window(qtbot: object) -> Iterator[Callable[..., object]]:
    """Return a way to show the window at a size; all are closed at the end."""
    from ui.main_window import MainWindow

    windows: list[MainWindow] = []

    def make(width: int = 1280, height: int = 720) -> MainWindow:
        window = MainWindow()
        windows.append(window)
        window.resize(width, height)
        window.show()
        qtbot.waitExposed(window)
        # Without a window manager nobody else gives a window the keys.
        QApplication.setActiveWindow(window)
        return window

    yield make
    for window in windows:
        if window.desk.open is not None:
            window.desk.open.keeper.finish()
        window.runs.close()
        window.close()
        window.deleteLater()
    QApplication.processEvents()


@pytest.fixture
def public(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[object]:
    """A public world whose addresses the window's own table leads to; nothing else is asked."""
    from tests.files.sources.world import World
    from tests.ui.public_world import write_table
    from ui.remembered import Preferences, save_preferences

    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    folder = tmp_path / "world"
    folder.mkdir()
    made = World(folder)
    save_preferences(Preferences(source_table=str(write_table(made, tmp_path / "ours.csv"))))
    yield made
    made.close()


@pytest.fixture
def with_bed(make_window: Callable[..., object], tmp_path: Path, qtbot: object) -> object:
    """Return a window at the marks of a property with one bed and no grids."""
    from funnelfinder.files import property_file
    from tests.ui.hand import open_kept
    from tests.ui.hollow import bed, hollow
    from ui.stops import Stop

    property_file.create(tmp_path / "hollow.gpkg", hollow(bed()))
    window = make_window()
    open_kept(window, qtbot, tmp_path / "hollow.gpkg")
    window.go_to(Stop.MARKS)
    return window
