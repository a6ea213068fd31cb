"""The bench of Take along: the small screens with what will be written, and the names."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Final

import numpy as np
import shapely
from PyQt5.QtCore import QPointF, QRectF, QSize, Qt, pyqtSignal
from PyQt5.QtGui import QColor, QFont, QImage, QPainter, QPaintEvent, QPen, QPolygonF
from PyQt5.QtWidgets import QGridLayout, QHBoxLayout, QLineEdit, QSlider, QVBoxLayout, QWidget

from funnelfinder.scrapes import Cluster
from funnelfinder.units import YARD_M, said_length
from funnelfinder.waypoints import NAME_LENGTH, Waypoint

from ..canvas.cards import said_elevation
from ..controls import label, rule, semibold
from ..look import colours
from ..look.fonts import SANS
from ..look.said import said_count, said_position, system
from ..small_screen import HIGH_DOTS, WIDE_DOTS, ScreenView, Shown, crowded, parts_at_yd

if TYPE_CHECKING:
    from ..desk import Desk
    from ..tending import Tending

_RIM: Final = 12
_GLASS: Final = "#F4F4EF"
_STEP_YD: Final = 100
_NARROWEST, _WIDEST = 2, 60


def _face(size: int = 13, *, is_bold: bool = False) -> QFont:
    """Return letters as a small screen draws them: without soft edges."""
    face = QFont(SANS)
    face.setPixelSize(size)
    face.setWeight(QFont.DemiBold if is_bold else QFont.Normal)
    face.setStyleStrategy(QFont.NoAntialias)
    return face


def _blank() -> QImage:
    """Return the glass."""
    image = QImage(WIDE_DOTS, HIGH_DOTS, QImage.Format_RGB32)
    image.fill(QColor(_GLASS))
    return image


def draw_map(
    points: Sequence[Shown], boundary: shapely.Geometry, view: ScreenView, held: str
) -> QImage:
    """Return the screen with points, names, and the boundary: only what is written."""
    image = _blank()
    painter = QPainter(image)
    try:
        pen = QPen(QColor(colours.INK), 1)
        pen.setDashPattern([6, 3])
        painter.setPen(pen)
        for part in shapely.get_parts(boundary):
            ring = np.asarray(part.exterior.coords)[:, :2]
            painter.drawPolyline(QPolygonF([QPointF(*view.dot(x, y)) for x, y in ring]))
        for one in points:
            _draw_point(painter, one, view, is_held=one.name == held)
        _draw_scale(painter, view)
    finally:
        painter.end()
    return image


def _draw_point(painter: QPainter, one: Shown, view: ScreenView, *, is_held: bool) -> None:
    """Draw a diamond and its name."""
    x, y = (round(value) for value in view.dot(one.x_m, one.y_m))
    painter.setPen(Qt.NoPen)
    painter.setBrush(QColor("#000000"))
    side = 5 if is_held else 4
    painter.drawPolygon(
        QPolygonF(
            [QPointF(x, y - side), QPointF(x + side, y), QPointF(x, y + side), QPointF(x - side, y)]
        )
    )
    painter.setPen(QColor("#000000"))
    painter.setFont(_face(is_bold=is_held))
    left, top, right, bottom = view.name_box(one)
    painter.drawText(
        QRectF(left - 20, top - 3, right - left + 40, bottom - top + 6), Qt.AlignCenter, one.name
    )


def _draw_scale(painter: QPainter, view: ScreenView) -> None:
    """Draw the scale in the corner."""
    yards = next(
        (one for one in (1000, 500, 200, 100, 50, 20) if one * YARD_M < view.across_m / 4), 10
    )
    wide = round(yards * YARD_M * WIDE_DOTS / view.across_m)
    painter.setPen(QPen(QColor("#000000"), 1))
    y = HIGH_DOTS - 10
    painter.drawPolyline(
        QPolygonF(
            [QPointF(8, y - 4), QPointF(8, y), QPointF(8 + wide, y), QPointF(8 + wide, y - 4)]
        )
    )
    painter.setFont(_face())
    painter.drawText(14 + wide, y + 2, f"{yards} yd")


def draw_opened(point: Waypoint | None, position: str, height: str) -> QImage:
    """Return the screen of one point, opened."""
    image = _blank()
    if point is None:
        return image
    painter = QPainter(image)
    try:
        painter.fillRect(0, 0, WIDE_DOTS, 28, QColor(colours.INK))
        painter.setPen(QColor(_GLASS))
        painter.setFont(_face(16, is_bold=True))
        painter.drawText(QRectF(8, 0, WIDE_DOTS, 28), Qt.AlignVCenter, point.name)
        painter.setPen(QColor("#000000"))
        painter.setFont(_face(14))
        words = "\n".join((position, height, "", point.description))
        line = painter.fontMetrics().lineSpacing()
        box = QRectF(8, 36, WIDE_DOTS - 14, (HIGH_DOTS - 40) // line * line)
        painter.drawText(box, int(Qt.TextWordWrap | Qt.AlignTop), words)
    finally:
        painter.end()
    return image


class SmallScreen(QWidget):
    """One screen in its rim, a dot a pixel."""

    clicked = pyqtSignal(float, float)

    def __init__(self, name: str) -> None:
        super().__init__()
        self.image = _blank()
        self.setAccessibleName(name)
        self.setFixedSize(WIDE_DOTS + 2 * _RIM, HIGH_DOTS + 2 * _RIM)

    def show_image(self, image: QImage, words: str) -> None:
        """Show other dots."""
        self.image = image
        self.setAccessibleDescription(words)
        self.update()

    def sizeHint(self) -> QSize:
        """Return its size."""
        return QSize(WIDE_DOTS + 2 * _RIM, HIGH_DOTS + 2 * _RIM)

    def mousePressEvent(self, event: object) -> None:
        """Tell the dot under a click."""
        at = event.localPos()  # type: ignore[attr-defined]
        self.clicked.emit(at.x() - _RIM, at.y() - _RIM)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw rim and glass."""
        painter = QPainter(self)
        try:
            painter.setRenderHint(QPainter.Antialiasing, True)
            painter.setPen(Qt.NoPen)
            painter.setBrush(QColor("#4A453B"))
            painter.drawRoundedRect(QRectF(self.rect()), 9, 9)
            painter.drawImage(QPointF(_RIM, _RIM), self.image)
        finally:
            painter.end()


class SmallScreens(QWidget):
    """Both screens, how far one sees, what collides, and the table of names."""

    def __init__(self, desk: Desk, tending: Tending) -> None:
        super().__init__()
        self._desk, self._tending = desk, tending
        self._points: tuple[Waypoint, ...] = ()
        self._held = ""
        self._across_yd = 0
        self.names: dict[int, QLineEdit] = {}
        self._rows_of: object = None
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 4, 10, 10)
        column.setSpacing(8)
        screens = QHBoxLayout()
        screens.setSpacing(16)
        self.map_screen = SmallScreen("Its map")
        self.map_screen.clicked.connect(self._clicked)
        self.point_screen = SmallScreen("One point, opened")
        for screen, words in (
            (self.map_screen, "its map"),
            (self.point_screen, "one point, opened"),
        ):
            holder = QVBoxLayout()
            holder.setSpacing(4)
            holder.addWidget(screen)
            below = label(words, "small", is_wrapped=False)
            below.setAlignment(Qt.AlignCenter)
            holder.addWidget(below)
            screens.addLayout(holder)
        screens.addStretch(1)
        column.addLayout(screens)
        column.addLayout(self._make_slider())
        self.said = label("", "plain")
        column.addWidget(self.said)
        column.addWidget(rule())
        self._table = QGridLayout()
        self._table.setHorizontalSpacing(16)
        self._table.setVerticalSpacing(4)
        column.addLayout(self._table)
        column.addStretch(1)

    def _make_slider(self) -> QHBoxLayout:
        """Return the slider of how far one sees."""
        row = QHBoxLayout()
        row.setSpacing(16)
        row.addWidget(label("How far you see", "plain", is_wrapped=False))
        self.across = QSlider(Qt.Horizontal)
        self.across.setRange(_NARROWEST, _WIDEST)
        self.across.setAccessibleName("How far you see across the small screen")
        self.across.setToolTip("As if you turned the unit's map closer or farther. Arrow keys.")
        self.across.valueChanged.connect(lambda _value: self._draw())
        row.addWidget(self.across, 1)
        self._across_words = label("", "plain", is_wrapped=False)
        self._across_words.setMinimumWidth(130)
        row.addWidget(self._across_words)
        return row

    def show_points(self, points: tuple[Waypoint, ...]) -> None:
        """Show what will be written."""
        self._points = points
        one = self._desk.open
        if not self._across_yd and one is not None and points:
            west, south, east, north = one.place.boundary.bounds
            wide = max(east - west, (north - south) * WIDE_DOTS / HIGH_DOTS) * 1.06
            self._across_yd = round(wide / YARD_M)
            self.across.setValue(max(round(self._across_yd / _STEP_YD), _NARROWEST))
        if not any(point.name == self._held for point in points):
            self._held = points[0].name if points else ""
        self._show_names()
        self._draw()

    def hold(self, number: int) -> None:
        """Open the first point of a spot."""
        name = next((point.name for point in self._points if point.cluster == number), "")
        if name and name != self._held:
            self._held = name
            self._draw()

    def _view(self) -> ScreenView:
        """Return what the map's screen sees: the whole in the middle, or the point when near."""
        one = self._desk.open
        assert one is not None
        across = self.across.value() * _STEP_YD * YARD_M
        middle = one.place.boundary.centroid
        x, y = middle.x, middle.y
        held = next((point for point in self._points if point.name == self._held), None)
        west, _, east, _ = one.place.boundary.bounds
        if held is not None and across < east - west:
            x, y = held.x_m, held.y_m
        return ScreenView(x_m=x, y_m=y, across_m=across)

    def _draw(self) -> None:
        """Draw both screens and say what collides."""
        one = self._desk.open
        if one is None:
            return
        units = system(self._desk.preferences.units)
        view = self._view()
        self._across_words.setText(semibold(f"<b>{said_length(view.across_m, units)} across</b>"))
        shown = [Shown(name=p.name, x_m=p.x_m, y_m=p.y_m) for p in self._points]
        seen = [point for point in shown if view.is_on(point)]
        meeting = crowded(seen, view)
        self.map_screen.show_image(
            draw_map(shown, one.place.boundary, view, self._held),
            f"{said_count(len(seen), 'point')} in view",
        )
        held = next((point for point in self._points if point.name == self._held), None)
        position = height = ""
        if held is not None:
            form = self._desk.preferences.position_form
            position = said_position(held.x_m, held.y_m, one.place.epsg, form)
            if held.elevation_m is not None:
                height = said_elevation(held.elevation_m, is_metric=self._desk.is_metric)
        self.point_screen.show_image(draw_opened(held, position, height), self._held)
        self.said.setText(semibold(self._said(seen, meeting, view)))

    def _said(self, seen: Sequence[Shown], meeting: tuple[str, ...], view: ScreenView) -> str:
        """Return which names collide at this distance, and when they part."""
        rest = (
            "Your unit draws its own map and its own flags: the name is how you will know a spot, "
            "so it is short and sorts in order."
        )
        if not self._points:
            return "Nothing is ticked, so nothing would be written."
        if not meeting:
            return f"<b>No names collide here.</b> {rest}"
        some = ", ".join(meeting[:3])
        more = f" and {len(meeting) - 3} more" if len(meeting) > 3 else ""
        parts = parts_at_yd(seen, view)
        when = (
            f"At {parts} yards across their names part."
            if parts is not None
            else "Some never part: their places are too near."
        )
        return f"<b>{some}{more} crowd here.</b> {when} {rest}"

    def _clicked(self, x: float, y: float) -> None:
        """Open the point nearest to a click on the small map."""
        view = self._view()
        near = []
        for point in self._points:
            px, py = view.dot(point.x_m, point.y_m)
            near.append(((px - x) ** 2 + (py - y) ** 2, point.name))
        if near:
            self._held = min(near)[1]
            self._draw()

    # Names

    def _show_names(self) -> None:
        """List the spots with what the unit will call their points."""
        clusters = self._tending.taken
        state = tuple(cluster.number for cluster in clusters)
        if state != self._rows_of:
            self._rows_of = state
            self._make_rows(clusters)
        for row, cluster in enumerate(clusters, start=1):
            edit = self.names[cluster.number]
            if not edit.hasFocus():
                edit.setText(cluster.name)
            of_it = [point.name for point in self._points if point.cluster == cluster.number]
            item = self._table.itemAtPosition(row, 1)
            words = item.widget() if item is not None else None
            if words is not None:
                words.setText(", ".join(of_it) or "nothing of it is ticked")  # type: ignore[attr-defined]

    def _make_rows(self, clusters: Sequence[Cluster]) -> None:
        """Make the rows of the table anew."""
        while self._table.count():
            item = self._table.takeAt(0)
            widget = item.widget() if item is not None else None
            if widget is not None:
                widget.hide()
                widget.deleteLater()
        self.names.clear()
        for number, words in enumerate(
            ("Spot", f"Names on the unit, at most {NAME_LENGTH} letters")
        ):
            self._table.addWidget(label(words, "small", is_wrapped=False), 0, number)
        for row, cluster in enumerate(clusters, start=1):
            edit = QLineEdit()
            edit.setFixedWidth(170)
            edit.setMaxLength(24)
            edit.setAccessibleName(f"Name of spot {cluster.number}")
            edit.setToolTip("Type another name; the unit's names follow.")
            edit.editingFinished.connect(lambda n=cluster.number: self._renamed(n))
            self.names[cluster.number] = edit
            self._table.addWidget(edit, row, 0)
            self._table.addWidget(label("", "second"), row, 1)
        self._table.setColumnStretch(1, 1)

    def _renamed(self, number: int) -> None:
        """Keep a typed name."""
        cluster = next((one for one in self._tending.taken if one.number == number), None)
        edit = self.names.get(number)
        if cluster is None or edit is None:
            return
        if edit.text().strip():
            self._tending.rename(cluster, edit.text())
        else:
            edit.setText(cluster.name)
