"""Contour lines on the map."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from PyQt5.QtCore import QRectF
from PyQt5.QtGui import QColor, QPainter, QPen
from PyQt5.QtWidgets import QGraphicsItem, QStyleOptionGraphicsItem, QWidget

from ..look import colours
from .ground_picture import Contour

#: Nearer than this the lines of 10 feet are drawn [m/px].
_CLOSE_PX_M: Final = 1.1


class ContoursItem(QGraphicsItem):
    """Contours of the interval that fits the distance; thin lines of one pixel are cheap."""

    def __init__(self) -> None:
        super().__init__()
        self.setFlag(QGraphicsItem.ItemUsesExtendedStyleOption)
        self._by_interval: dict[int, tuple[Contour, ...]] = {}
        self._box = QRectF()
        self.strength = 1.0

    def show_lines(self, by_interval: dict[int, tuple[Contour, ...]], box: QRectF) -> None:
        """Show lines inside a box of the scene."""
        self.prepareGeometryChange()
        self._by_interval = by_interval
        self._box = box
        self.update()

    def boundingRect(self) -> QRectF:
        """Return where lines may lie."""
        return self._box

    def paint(
        self,
        painter: QPainter,
        option: QStyleOptionGraphicsItem,
        widget: QWidget | None = None,
    ) -> None:
        """Draw the lines that meet the exposed part, every fifth stronger."""
        px_m = 1.0 / max(painter.worldTransform().m11(), 1e-9)
        intervals = sorted(self._by_interval)
        if not intervals:
            return
        lines = self._by_interval[intervals[0] if px_m < _CLOSE_PX_M else intervals[-1]]
        painter.setRenderHint(QPainter.Antialiasing, True)
        plain, fifth = colours.CONTOUR_OPACITY
        seen = [line for line in lines if line.box.intersects(option.exposedRect)]
        _draw(painter, [line for line in seen if not line.is_fifth], plain * self.strength)
        _draw(painter, [line for line in seen if line.is_fifth], fifth * self.strength)


def _draw(painter: QPainter, lines: Sequence[Contour], share: float) -> None:
    """Draw lines of one strength."""
    colour = QColor(colours.CONTOUR)
    colour.setAlphaF(min(max(share, 0.0), 1.0))
    pen = QPen(colour, 1.0)
    pen.setCosmetic(True)
    painter.setPen(pen)
    for line in lines:
        painter.drawPolyline(line.line)
