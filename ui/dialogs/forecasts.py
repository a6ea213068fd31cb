"""Choosing a forecast file."""

from __future__ import annotations

from pathlib import Path

from PyQt5.QtWidgets import QFileDialog, QWidget


def choose_forecast(parent: QWidget) -> Path | None:
    """Ask for an hourly forecast; nothing chosen gives None."""
    dialog = QFileDialog(parent, "An hourly forecast")
    dialog.setOption(QFileDialog.DontUseNativeDialog, True)
    dialog.setNameFilters(["Forecasts (*.json)", "All files (*)"])
    dialog.setFileMode(QFileDialog.ExistingFile)
    try:
        if dialog.exec_() != QFileDialog.Accepted:
            return None
        return Path(dialog.selectedFiles()[0])
    finally:
        dialog.deleteLater()
