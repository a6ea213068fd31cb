"""A plain table to type in."""

from __future__ import annotations

from collections.abc import Sequence

from PyQt5.QtCore import Qt
from PyQt5.QtWidgets import QAbstractItemView, QHeaderView, QTableWidget

from .choices import row_height


def typed_table(name: str, heads: Sequence[str], widths_px: Sequence[int]) -> QTableWidget:
    """Return an empty table whose cells are typed in; its last column takes the room that is left.

    Parameters
    ----------
    name : str
        What a screen reader calls it.
    heads : sequence of str
        Heads of the columns.
    widths_px : sequence of int
        Widths of all columns but the last [px].
    """
    table = QTableWidget(0, len(heads))
    table.setAccessibleName(name)
    table.setHorizontalHeaderLabels(list(heads))
    table.verticalHeader().hide()
    table.verticalHeader().setDefaultSectionSize(row_height() - 4)
    table.setSelectionMode(QAbstractItemView.SingleSelection)
    table.setEditTriggers(QAbstractItemView.AllEditTriggers)
    table.setShowGrid(False)
    table.setWordWrap(False)
    table.setHorizontalScrollBarPolicy(Qt.ScrollBarAlwaysOff)
    header = table.horizontalHeader()
    header.setDefaultAlignment(Qt.AlignLeft | Qt.AlignVCenter)
    for number, width in enumerate(widths_px):
        header.setSectionResizeMode(number, QHeaderView.Fixed)
        table.setColumnWidth(number, width)
    header.setSectionResizeMode(len(heads) - 1, QHeaderView.Stretch)
    return table
