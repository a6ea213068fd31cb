"""Choosing files."""

from __future__ import annotations

from pathlib import Path

from PyQt5.QtWidgets import QFileDialog, QWidget

from ..opening import GRID_ENDS, OUTLINE_ENDS


def _filter(words: str, ends: tuple[str, ...]) -> str:
    """Return a filter of the file chooser."""
    return f"{words} ({' '.join(f'*{end}' for end in ends)})"


def choose_property(parent: QWidget) -> list[Path]:
    """Ask for a boundary file or a property file."""
    return _chosen(parent, "Open a boundary or a property", "Boundaries", OUTLINE_ENDS, many=False)


def choose_grids(parent: QWidget) -> list[Path]:
    """Ask for grids."""
    return _chosen(parent, "Add an elevation grid and a land-cover grid", "Grids", GRID_ENDS)


def choose_backdrop(parent: QWidget) -> list[Path]:
    """Ask for a picture or grid to draw the boundary on."""
    title = "A picture or an elevation grid of the place"
    return _chosen(parent, title, "Pictures and grids", GRID_ENDS, many=False)


def choose_table(parent: QWidget) -> Path | None:
    """Ask for a table of sources of the person's own."""
    title = "A table of sources of your own"
    return next(iter(_chosen(parent, title, "Tables", (".csv",), many=False)), None)


def choose_folder(parent: QWidget) -> Path | None:
    """Ask for a folder to write to."""
    dialog = QFileDialog(parent, "Write to a folder")
    dialog.setOption(QFileDialog.DontUseNativeDialog, True)
    dialog.setFileMode(QFileDialog.Directory)
    dialog.setOption(QFileDialog.ShowDirsOnly, True)
    try:
        if dialog.exec_() != QFileDialog.Accepted:
            return None
        return Path(dialog.selectedFiles()[0])
    finally:
        dialog.deleteLater()


def choose_map_file(parent: QWidget, first: Path) -> Path | None:
    """Ask where a map to print goes; PDF unless the name says PNG."""
    dialog = QFileDialog(parent, "A map to print", str(first.parent))
    dialog.setOption(QFileDialog.DontUseNativeDialog, True)
    dialog.setAcceptMode(QFileDialog.AcceptSave)
    dialog.setNameFilters(["Maps (*.pdf *.png)"])
    dialog.setDefaultSuffix("pdf")
    dialog.selectFile(first.name)
    try:
        if dialog.exec_() != QFileDialog.Accepted:
            return None
        return Path(dialog.selectedFiles()[0])
    finally:
        dialog.deleteLater()


def choose_new_file(parent: QWidget, title: str, first: Path, ends: tuple[str, ...]) -> Path | None:
    """Ask where a new file goes; it ends in the first of ``ends`` unless the name says another."""
    dialog = QFileDialog(parent, title, str(first.parent))
    dialog.setOption(QFileDialog.DontUseNativeDialog, True)
    dialog.setAcceptMode(QFileDialog.AcceptSave)
    dialog.setNameFilters([_filter(title, ends)])
    dialog.setDefaultSuffix(ends[0].lstrip("."))
    dialog.selectFile(first.name)
    try:
        if dialog.exec_() != QFileDialog.Accepted:
            return None
        return Path(dialog.selectedFiles()[0])
    finally:
        dialog.deleteLater()


def choose_camera_tables(parent: QWidget) -> list[Path]:
    """Ask for one plain camera table, or the two of the exchange format."""
    return _chosen(parent, "Add camera tables", "Tables", (".csv",))


def _chosen(
    parent: QWidget, title: str, words: str, ends: tuple[str, ...], *, many: bool = True
) -> list[Path]:
    """Ask for files; nothing chosen gives an empty list."""
    dialog = QFileDialog(parent, title)
    dialog.setOption(QFileDialog.DontUseNativeDialog, True)
    dialog.setNameFilters([_filter(words, ends), "All files (*)"])
    dialog.setFileMode(QFileDialog.ExistingFiles if many else QFileDialog.ExistingFile)
    try:
        if dialog.exec_() != QFileDialog.Accepted:
            return []
        return [Path(name) for name in dialog.selectedFiles()]
    finally:
        dialog.deleteLater()
