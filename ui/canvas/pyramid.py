"""A picture at several sizes, so that it is neither slow nor jagged when looked at from far."""

from __future__ import annotations

import numpy as np
from PyQt5.QtCore import QRectF, Qt
from PyQt5.QtGui import QImage, QPainter
from PyQt5.QtWidgets import QGraphicsItem, QStyleOptionGraphicsItem, QWidget

from funnelfinder.grid import Grid
from funnelfinder.kernels import AnyArray

_SMALLEST = 64


def image_of(colours: AnyArray) -> QImage:
    """Return an image of colours that owns its memory.

    Parameters
    ----------
    colours : (rows, cols, 3 or 4) uint8
        Red, green, blue, and opacity not yet multiplied in.
    """
    rows, cols, channels = colours.shape
    form = QImage.Format_RGB888 if channels == 3 else QImage.Format_RGBA8888
    data = np.ascontiguousarray(colours).tobytes()
    image = QImage(data, cols, rows, channels * cols, form)
    wanted = QImage.Format_RGB32 if channels == 3 else QImage.Format_ARGB32_Premultiplied
    return image.convertToFormat(wanted).copy()


def pyramid_of(image: QImage) -> tuple[QImage, ...]:
    """Return the image and its halves, each half as large as the one before."""
    levels = [image]
    while min(levels[-1].width(), levels[-1].height()) > 2 * _SMALLEST:
        last = levels[-1]
        levels.append(
            last.scaled(
                (last.width() + 1) // 2,
                (last.height() + 1) // 2,
                Qt.IgnoreAspectRatio,
                Qt.SmoothTransformation,
            )
        )
    return tuple(levels)


class PyramidItem(QGraphicsItem):
    """A picture on the scene; scene units are metres, y down from the corner (x0_m, y0_m)."""

    def __init__(self) -> None:
        super().__init__()
        self.setFlag(QGraphicsItem.ItemUsesExtendedStyleOption)
        self._levels: tuple[QImage, ...] = ()
        self._box = QRectF()

    @property
    def has_picture(self) -> bool:
        """Whether there is anything to show."""
        return bool(self._levels)

    def show_levels(self, levels: tuple[QImage, ...], box: QRectF) -> None:
        """Show a pyramid in a box of the scene; no levels clear it."""
        self.prepareGeometryChange()
        self._levels = levels
        self._box = box
        self.update()

    def boundingRect(self) -> QRectF:
        """Return where the picture lies."""
        return self._box

    def paint(
        self,
        painter: QPainter,
        option: QStyleOptionGraphicsItem,
        widget: QWidget | None = None,
    ) -> None:
        """Draw the exposed part from the level that fits the distance."""
        if not self._levels or self._box.isEmpty():
            return
        ratio = widget.devicePixelRatioF() if widget is not None else 1.0
        lod = option.levelOfDetailFromTransform(painter.worldTransform()) * ratio
        cell = self._box.width() / self._levels[0].width()
        n = 0
        while n + 1 < len(self._levels) and lod * cell * 2 ** (n + 1) <= 1.0:
            n += 1
        image = self._levels[n]
        exposed = option.exposedRect.intersected(self._box)
        # A cell more on each side, or smoothing would show seams at the edge of what is exposed.
        across, down = image.width() / self._box.width(), image.height() / self._box.height()
        exposed = exposed.adjusted(-2 / across, -2 / down, 2 / across, 2 / down)
        exposed = exposed.intersected(self._box)
        source = QRectF(
            (exposed.x() - self._box.x()) * across,
            (exposed.y() - self._box.y()) * down,
            exposed.width() * across,
            exposed.height() * down,
        )
        painter.setRenderHint(QPainter.SmoothPixmapTransform, True)
        painter.drawImage(exposed, image, source)


def box_of(grid: Grid, x0_m: float, y0_m: float) -> QRectF:
    """Return where a grid lies on the scene."""
    return QRectF(
        grid.west_m - x0_m,
        y0_m - grid.north_m,
        grid.n_cols * grid.cell_m,
        grid.n_rows * grid.cell_m,
    )
