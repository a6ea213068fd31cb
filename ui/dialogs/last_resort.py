"""The last-resort window: something in the program broke, and the work is kept."""

from __future__ import annotations

import platform
import traceback
from datetime import datetime
from pathlib import Path
from types import TracebackType
from typing import Final

import platformdirs
from PyQt5.QtCore import QT_VERSION_STR
from PyQt5.QtWidgets import QDialog, QHBoxLayout, QPlainTextEdit, QVBoxLayout, QWidget

from funnelfinder import __version__

from ..controls import label, link, solid_button

_MOST_BYTES: Final = 200_000


def log_path() -> Path:
    """Return where reports are kept."""
    return Path(platformdirs.user_log_dir("funnelfinder", appauthor=False)) / "report.txt"


def report_of(kind: type[BaseException], error: BaseException, trace: TracebackType | None) -> str:
    """Return what happened, for a report: where in the program, never where on the ground.

    The values in an error's words may name places; only its kind is written.
    """
    frames = traceback.extract_tb(trace)
    lines = [f"{Path(frame.filename).name}, line {frame.lineno}: {frame.name}" for frame in frames]
    head = (
        f"funnelfinder {__version__}, Python {platform.python_version()}, Qt {QT_VERSION_STR}, "
        f"{platform.system()}"
    )
    return "\n".join([f"{datetime.now():%Y-%m-%d %H:%M}", head, kind.__name__, *lines])


def keep_report(report: str) -> None:
    """Add a report to the log; a disk that is full must not break more."""
    path = log_path()
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        if path.exists() and path.stat().st_size > _MOST_BYTES:
            path.replace(path.with_suffix(".old.txt"))
        with path.open("a", encoding="utf-8") as log:
            log.write(report + "\n\n")
    except OSError:
        return


class LastResort(QDialog):
    """Says what broke, that the work is kept, and shows the report."""

    def __init__(self, report: str, deed: str = "", parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle("Something broke")
        self.setObjectName("paper")
        column = QVBoxLayout(self)
        column.setContentsMargins(28, 24, 28, 22)
        column.setSpacing(12)
        while_doing = f" after you did this: {deed}" if deed else ""
        column.addWidget(label("Something in the program broke", "thing"))
        column.addWidget(
            label(
                f"It happened{while_doing}. Your property is kept on disk with every change up "
                "to then.",
                "plain",
            )
        )
        self.text = QPlainTextEdit(f"{report}\n\nKept in {log_path()}")
        self.text.setReadOnly(True)
        self.text.setMinimumSize(520, 200)
        self.text.setAccessibleName("Report")
        self.text.hide()
        column.addWidget(self.text)
        foot = QHBoxLayout()
        foot.addWidget(link("Show the report", self._show))
        foot.addStretch(1)
        self.go_on = solid_button("Go on", self.accept)
        foot.addWidget(self.go_on)
        column.addLayout(foot)

    def _show(self) -> None:
        """Show the report."""
        self.text.setVisible(not self.text.isVisible())
        self.adjustSize()
