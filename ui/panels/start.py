"""The start: which ground do you hunt? Properties of late, and three ways to begin."""

from __future__ import annotations

from datetime import datetime

from PyQt5.QtCore import QRectF, QSize, Qt, pyqtSignal
from PyQt5.QtGui import QColor, QPainter, QPainterPath, QPaintEvent, QPen, QPixmap, QResizeEvent
from PyQt5.QtWidgets import QFrame, QHBoxLayout, QScrollArea, QSizePolicy, QVBoxLayout, QWidget

from funnelfinder.units import ACRE_M2, said_area

from ..canvas.slip import SlipWords
from ..controls import BigTile, DrawnButton, label, semibold
from ..look import colours
from ..look.fonts import font, scaled, text_scale
from ..look.icons import draw_icon
from ..look.said import said_day, system
from ..remembered import Recent, recent_properties

_MOST_CARDS = 4


class RecentCard(DrawnButton):
    """One property of late: small relief, name, acres, last day, step reached."""

    def __init__(self, recent: Recent, units: str, parent: QWidget | None = None) -> None:
        super().__init__(recent.name, tip=recent.path, parent=parent)
        self.recent = recent
        acres = said_area(recent.acres * ACRE_M2, system(units))
        day = said_day(datetime.fromisoformat(recent.when), datetime.now())
        self._line = f"{acres} · {day}"
        self._step = recent.words or recent.step
        self._picture = QPixmap(str(recent.picture)) if recent.picture.exists() else QPixmap()
        self.setAccessibleDescription(f"{self._line}. {self._step}")
        self.setSizePolicy(QSizePolicy.Fixed, QSizePolicy.Fixed)

    def sizeHint(self) -> QSize:
        """Return its size."""
        return QSize(250, 96)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw picture and words."""
        painter = QPainter(self)
        try:
            box = QRectF(self.rect()).adjusted(1, 1, -1, -1)
            self.draw_ground(painter, box, has_edge=True)
            picture = QRectF(10, 10, 76, 76)
            path = QPainterPath()
            path.addRoundedRect(picture, 5, 5)
            painter.save()
            painter.setClipPath(path)
            painter.fillRect(picture, QColor(colours.PRESS))
            if not self._picture.isNull():
                painter.setRenderHint(QPainter.SmoothPixmapTransform)
                side = min(self._picture.width(), self._picture.height())
                source = QRectF(
                    (self._picture.width() - side) / 2,
                    (self._picture.height() - side) / 2,
                    side,
                    side,
                )
                painter.drawPixmap(picture, self._picture, source)
            else:
                inner = picture.adjusted(24, 24, -24, -24)
                draw_icon(painter, "show", inner, QColor(colours.PALE_INK))
            painter.restore()
            painter.setBrush(Qt.NoBrush)
            painter.setPen(QPen(QColor(colours.PALE_INK), 1))
            painter.drawPath(path)
            self._draw_words(painter, picture.right() + 12)
        finally:
            painter.end()

    def _draw_words(self, painter: QPainter, left: float) -> None:
        """Draw name, acres and day, and how far it is."""
        wide = self.width() - left - 8
        painter.setPen(self.ink())
        painter.setFont(font(18, serif=True))
        name = painter.fontMetrics().elidedText(self.text(), Qt.ElideRight, int(wide))
        painter.drawText(QRectF(left, 9, wide, scaled(18) + 8), Qt.AlignVCenter, name)
        painter.setPen(QColor(colours.GREY_INK))
        painter.setFont(font(15))
        painter.drawText(QRectF(left, 36, wide, 22), Qt.AlignVCenter, self._line)
        step = painter.fontMetrics().elidedText(self._step, Qt.ElideRight, int(wide))
        painter.drawText(QRectF(left, 58, wide, 22), Qt.AlignVCenter, step)


class StartPage(QWidget):
    """Paper with three large tiles, and the properties of late above them.

    ``wanted`` tells ``open``, ``draw`` or ``sample``; ``chosen`` the path of a property.
    """

    wanted = pyqtSignal(str)
    chosen = pyqtSignal(str)

    def __init__(self, units: str = "yards", parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("paper")
        self.setAccessibleName("Start")
        self._units = units
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        self._scroll = QScrollArea()
        self._scroll.setWidgetResizable(True)
        self._scroll.setFocusPolicy(Qt.NoFocus)
        outer.addWidget(self._scroll)
        page = QWidget()
        self._page = QVBoxLayout(page)
        self._scroll.setWidget(page)
        self._page.addStretch(2)
        self._cards = QHBoxLayout()
        self._cards.setSpacing(14)
        self._page.addWidget(label("Which ground do you hunt?", "step", is_wrapped=False))
        self._page.addSpacing(6)
        self._page.addLayout(self._cards)
        self._page.addSpacing(6)
        tiles = QHBoxLayout()
        tiles.setSpacing(16)
        self.tiles = {
            "open": BigTile(
                "folder",
                "Open a boundary file",
                "GeoPackage, GeoJSON, KML, GPX, shapefile, or a property kept before.",
                tip="Choose a file. Ctrl+O.",
            ),
            "draw": BigTile(
                "core",
                "Draw it myself",
                "On an aerial picture or an elevation grid of your own.",
                tip="Open a picture or grid of the place, then click around your ground.",
            ),
            "sample": BigTile(
                "funnel",
                "Walk over the sample",
                "An invented property of 640 acres, to try everything on.",
                tip="A fresh copy each time. Nothing can go wrong.",
            ),
        }
        for name, tile in self.tiles.items():
            tile.clicked.connect(lambda _checked=False, name=name: self.wanted.emit(name))
            tiles.addWidget(tile)
        self._page.addLayout(tiles)
        self._page.addSpacing(8)
        self._page.addWidget(label("Or drop a file anywhere in this window.", "second"))
        self.note = label(
            "Everything stays on this computer. Nobody is asked unless you say so.", "small"
        )
        self._page.addWidget(self.note)
        self._trouble = QFrame()
        self._trouble.setObjectName("trouble")
        inner = QVBoxLayout(self._trouble)
        inner.setContentsMargins(16, 11, 16, 12)
        self.trouble = label("<b> </b>", "plain")
        self.trouble.setAccessibleName("What went wrong")
        inner.addWidget(self.trouble)
        self._page.addWidget(self._trouble)
        self._page.addStretch(3)
        self.refresh()

    def say_trouble(self, words: SlipWords) -> None:
        """Say on the paper what went wrong, or what came of something."""
        self.trouble.setText(semibold(f"<b>{words.title}.</b> {words.body}"))
        self._trouble.setVisible(True)

    def refresh(self) -> None:
        """Show the properties of late."""
        self._trouble.hide()
        while self._cards.count():
            widget = self._cards.takeAt(0).widget()
            if widget is not None:
                widget.deleteLater()
        for recent in recent_properties()[:_MOST_CARDS]:
            card = RecentCard(recent, self._units)
            card.clicked.connect(lambda _checked=False, path=recent.path: self.chosen.emit(path))
            self._cards.addWidget(card)
        if self._cards.count():
            self._cards.addStretch(1)
        self._fit_cards()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Keep air at the sides of wide windows."""
        super().resizeEvent(event)
        side = max((self.width() - 980) // 2, 28)
        is_low = self.height() < 520
        top = 12 if is_low else 28
        for tile in self.tiles.values():
            tile.setFixedHeight(round((156 if is_low else 208) * text_scale()))
        self._page.setContentsMargins(side, top, side, top)
        self._fit_cards()

    def _fit_cards(self) -> None:
        """Show as many cards as fit beside each other."""
        room = min(self.width() - 56, 980) if self.width() > 56 else 0
        for number in range(self._cards.count()):
            widget = self._cards.itemAt(number).widget()
            if widget is not None:
                widget.setVisible((number + 1) * 264 - 14 <= room)
