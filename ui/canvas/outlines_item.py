"""Strong lines on the map: outlines of passage in ink, for eyes and prints without colour."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from PyQt5.QtCore import QPointF, QRectF
from PyQt5.QtGui import QColor, QPainter, QPen, QPolygonF
from PyQt5.QtWidgets import QGraphicsItem, QStyleOptionGraphicsItem, QWidget

from funnelfinder.grid import Grid
from funnelfinder.kernels import AnyArray
from funnelfinder.shading import STRONG_LINES, strong_lines

from ..look import colours


@dataclass(frozen=True, kw_only=True)
class Outline:
    """One outline on the scene, and how wide it is drawn [px]."""

    line: QPolygonF
    width_px: float


def outlines_of(of_100: AnyArray, grid: Grid, x0_m: float, y0_m: float) -> tuple[Outline, ...]:
    """Return the outlines at 5, 10, 20 and 40 of 100 trips on the scene."""
    widths = dict(STRONG_LINES)
    return tuple(
        Outline(line=_on_scene(line, grid, x0_m, y0_m), width_px=widths[level])
        for level, line in strong_lines(of_100)
    )


def _on_scene(line: Any, grid: Grid, x0_m: float, y0_m: float) -> QPolygonF:
    """Return fractional rows and columns as a line on the scene."""
    points = grid.points_m(line[:, 0], line[:, 1])
    return QPolygonF([QPointF(x - x0_m, y0_m - y) for x, y in points])


class OutlinesItem(QGraphicsItem):
    """Outlines of passage; as wide on the screen at every distance."""

    def __init__(self) -> None:
        super().__init__()
        self._outlines: tuple[Outline, ...] = ()
        self._box = QRectF()

    def show_outlines(self, outlines: tuple[Outline, ...], box: QRectF) -> None:
        """Show outlines inside a box of the scene; none clears them."""
        self.prepareGeometryChange()
        self._outlines = outlines
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
        """Draw every outline."""
        painter.setRenderHint(QPainter.Antialiasing, True)
        for outline in self._outlines:
            pen = QPen(QColor(colours.INK), outline.width_px)
            pen.setCosmetic(True)
            painter.setPen(pen)
            painter.drawPolyline(outline.line)
