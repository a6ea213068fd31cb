"""The program itself: an exception in a slot never ends it."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

from PyQt5.QtWidgets import QApplication

from ui.app import install_last_resort
from ui.dialogs.last_resort import LastResort, log_path

ROOT = Path(__file__).parents[2]


def test_an_exception_reaches_a_window_that_keeps_the_work(make_window, monkeypatch) -> None:
    window = make_window()
    monkeypatch.setattr(sys, "excepthook", sys.excepthook)
    install_last_resort(window)
    try:
        float("at 40.1 N 83.2 W")
    except ValueError as error:
        sys.excepthook(type(error), error, error.__traceback__)
    QApplication.processEvents()
    dialogs = window.findChildren(LastResort)
    assert len(dialogs) == 1
    assert dialogs[0].isVisible()
    report = log_path().read_text(encoding="utf-8")
    assert "ValueError" in report
    assert "test_app.py" in report
    assert "40.1" not in report
    dialogs[0].go_on.click()
    assert window.isVisible()


def test_the_program_starts_and_ends_cleanly(tmp_path: Path, own_folders: Path) -> None:
    code = (
        "from PyQt5.QtCore import QTimer\n"
        "from ui.app import main, make_app\n"
        "if __name__ == '__main__':\n"
        "    app = make_app()\n"
        "    QTimer.singleShot(300, lambda: [w.close() for w in app.topLevelWidgets()])\n"
        "    raise SystemExit(main([]))\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr
