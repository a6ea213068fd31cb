"""Starts the window: fonts, palette, and the window that opens when something breaks."""

from __future__ import annotations

import os
import signal
import sys
import tempfile
from argparse import ArgumentParser, Namespace
from collections.abc import Sequence
from pathlib import Path
from types import TracebackType

from PyQt5.QtCore import QCoreApplication, Qt, QTimer
from PyQt5.QtWidgets import QApplication

from .look import dress, set_text_scale
from .main_window import MainWindow
from .remembered import load_preferences
from .workers import end_jobs


def main(arguments: Sequence[str] | None = None) -> int:
    """Show the window and return the exit status.

    Parameters
    ----------
    arguments : sequence of str, optional
        ``[FILE ...] [--sample]``; those of the command line by default.
    """
    wanted = _parsed(arguments)
    _give_runtime_folder()
    app = make_app()
    window = MainWindow()
    install_last_resort(window)
    window.resize(1280, 800)
    window.show()
    if wanted.sample:
        QTimer.singleShot(0, window.opening.open_sample)
    elif wanted.files:
        files = [Path(name) for name in wanted.files]
        QTimer.singleShot(0, lambda: window.open_files(files))
    signal.signal(signal.SIGINT, lambda *_: window.close())
    # Python hears a signal only while it runs; Qt's loop alone would not let it.
    beat = QTimer()
    beat.timeout.connect(lambda: None)
    beat.start(300)
    status = app.exec_()
    end_jobs()
    return status


def make_app() -> QApplication:
    """Return the application, sharp on every screen and dressed in paper and ink."""
    existing = QApplication.instance()
    if isinstance(existing, QApplication):
        dress(existing)
        return existing
    QCoreApplication.setAttribute(Qt.AA_EnableHighDpiScaling)
    QCoreApplication.setAttribute(Qt.AA_UseHighDpiPixmaps)
    QApplication.setHighDpiScaleFactorRoundingPolicy(
        Qt.HighDpiScaleFactorRoundingPolicy.PassThrough
    )
    app = QApplication(sys.argv[:1])
    app.setApplicationName("funnelfinder")
    app.setApplicationDisplayName("")
    set_text_scale(load_preferences().text_scale)
    dress(app)
    return app


def install_last_resort(window: MainWindow) -> None:
    """Let an exception in a slot reach a window that says so, and never end the program."""

    def tell(kind: type[BaseException], error: BaseException, trace: TracebackType | None) -> None:
        from .dialogs.last_resort import LastResort, keep_report, report_of

        if issubclass(kind, KeyboardInterrupt):
            window.close()
            return
        report = report_of(kind, error, trace)
        keep_report(report)
        one = window.desk.open
        step = one.history.next_undo if one is not None else None
        dialog = LastResort(report, step.name if step is not None else "", window)
        dialog.setAttribute(Qt.WA_DeleteOnClose)
        dialog.open()

    sys.excepthook = tell


def _give_runtime_folder() -> None:
    """Give Qt a private folder where the system gives none, or it complains."""
    if not os.environ.get("XDG_RUNTIME_DIR") and sys.platform.startswith("linux"):
        folder = Path(tempfile.mkdtemp(prefix="funnelfinder-"))
        folder.chmod(0o700)
        os.environ["XDG_RUNTIME_DIR"] = str(folder)


def _parsed(arguments: Sequence[str] | None) -> Namespace:
    """Return what the command line asks for."""
    parser = ArgumentParser(
        prog="funnelfinder-window",
        description="Open ground, mark it, watch the trips, take the points along.",
    )
    parser.add_argument("files", nargs="*", metavar="FILE", help="a property, boundary or grids")
    parser.add_argument("--sample", action="store_true", help="open a copy of the sample property")
    return parser.parse_args(arguments)
