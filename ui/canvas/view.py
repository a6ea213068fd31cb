"""The map itself: pictures, marks and what the hand does, in one view."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from PyQt5.QtCore import QEvent, QPoint, QPointF, QRectF, Qt, pyqtSignal
from PyQt5.QtGui import (
    QColor,
    QImage,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QResizeEvent,
    QTransform,
    QWheelEvent,
)
from PyQt5.QtWidgets import QFrame, QGraphicsScene, QGraphicsView, QWidget
from shapely.geometry.base import BaseGeometry

from funnelfinder.grid import Grid
from funnelfinder.kernels import AnyArray
from funnelfinder.marks import Mark, Property

from ..gestures import Gesture, Hand, Key, LookAround, Outlook, Point, Touch
from ..look import colours
from .contours_item import ContoursItem
from .ground_picture import GroundPicture
from .mark_painter import MarkPainter, paint_art, trial_art
from .outlines_item import OutlinesItem, outlines_of
from .pyramid import PyramidItem, box_of, pyramid_of
from .sketch_painter import paint_sketch

_WIDE_M: Final = 400_000.0
_KEYS: Final[dict[int, Key]] = {
    Qt.Key_Left: Key.LEFT,
    Qt.Key_Right: Key.RIGHT,
    Qt.Key_Up: Key.UP,
    Qt.Key_Down: Key.DOWN,
    Qt.Key_Space: Key.SPACE,
    Qt.Key_Backspace: Key.BACKSPACE,
    Qt.Key_Delete: Key.DELETE,
    Qt.Key_Insert: Key.INSERT,
    Qt.Key_Return: Key.ENTER,
    Qt.Key_Enter: Key.ENTER,
    Qt.Key_Escape: Key.ESCAPE,
    Qt.Key_Tab: Key.TAB,
    Qt.Key_Backtab: Key.BACK_TAB,
}
#: Draws something over the marks: called with the painter (in screen pixels), and a way from
#: map metres to pixels.
OverPainter = Callable[[QPainter, Callable[[Point], QPointF]], None]


class MapView(QGraphicsView):
    """The map; it knows a property only to draw it, and tells what the hand does.

    ``pointed`` tells where the pointer is (None when it leaves), ``outlook_changed`` that
    another part is in view, ``sketch_changed`` that the hand did something.
    """

    pointed = pyqtSignal(object)
    outlook_changed = pyqtSignal()
    sketch_changed = pyqtSignal()
    resized = pyqtSignal()

    def __init__(self, parent: QWidget | None = None) -> None:
        scene = QGraphicsScene(-_WIDE_M / 2, -_WIDE_M / 2, _WIDE_M, _WIDE_M)
        super().__init__(scene, parent)
        scene.setParent(self)
        self.setFrameShape(QFrame.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarAlwaysOff)
        self.setVerticalScrollBarPolicy(Qt.ScrollBarAlwaysOff)
        self.setViewportUpdateMode(QGraphicsView.FullViewportUpdate)
        self.setTransformationAnchor(QGraphicsView.NoAnchor)
        self.setResizeAnchor(QGraphicsView.NoAnchor)
        self.setRenderHint(QPainter.Antialiasing)
        self.setMouseTracking(True)
        self.setFocusPolicy(Qt.StrongFocus)
        self.setAccessibleName("Map")
        self.grabGesture(Qt.PinchGesture)
        self.x0_m = self.y0_m = 0.0
        self._picture, self._ground = PyramidItem(), PyramidItem()
        self._passage, self._contours = PyramidItem(), ContoursItem()
        self._outlines = OutlinesItem()
        layers = (self._ground, self._picture, self._passage, self._contours, self._outlines)
        for item in layers:
            scene.addItem(item)
        self._marks = MarkPainter()
        self._has_veil = False
        self._in_hand = ""
        self._trial: tuple[Mark, BaseGeometry] | None = None
        self._over: list[OverPainter] = []
        self._pointer_words: Callable[[], str] = lambda: ""
        self.is_naming = True
        self.is_boundary_in_hand = False
        self.is_passage_held_back = False
        #: Whether the person looked elsewhere since the whole was shown.
        self.was_moved_by_hand = False
        start = Outlook(x_m=0, y_m=0, px_m=1, width_px=100, height_px=100)
        self.hand = Hand(LookAround(start), Gesture())
        self.set_gesture(Gesture())

    # What is shown

    def show_origin(self, x0_m: float, y0_m: float) -> None:
        """Set the map's corner; everything shown before is cleared."""
        self.x0_m, self.y0_m = x0_m, y0_m
        for item in (self._ground, self._picture, self._passage):
            item.show_levels((), QRectF())
        self._contours.show_lines({}, QRectF())
        self._outlines.show_outlines((), QRectF())

    def show_place(self, place: Property | None, *, in_hand: str = "") -> None:
        """Show boundary and marks; the mark in hand is drawn by `show_trial`."""
        self._has_veil = place is not None
        self._in_hand = in_hand
        self._marks.show(place, self.x0_m, self.y0_m)
        self.viewport().update()

    def show_trial(self, mark: Mark | None, geometry: BaseGeometry | None = None) -> None:
        """Show the mark in hand at a geometry, or none."""
        self._trial = (mark, geometry) if mark is not None and geometry is not None else None
        self.viewport().update()

    def show_ground(self, picture: GroundPicture | None) -> None:
        """Show relief, cover and contours."""
        if picture is None:
            self._ground.show_levels((), QRectF())
            self._contours.show_lines({}, QRectF())
        else:
            box = box_of(picture.grid, self.x0_m, self.y0_m)
            self._ground.show_levels(picture.levels, box)
            self._contours.show_lines(picture.contours, box)

    def set_ground_opacity(self, opacity: float) -> None:
        """Let the relief rise in."""
        self._ground.setOpacity(opacity)

    def show_contours(self, *, is_shown: bool, strength: float = 1.0) -> None:
        """Show contours or not."""
        self._contours.setVisible(is_shown)
        self._contours.strength = strength
        self.viewport().update()

    def show_picture(self, levels: tuple[QImage, ...], grid: Grid | None, opacity: float) -> None:
        """Show a backdrop picture over the relief, or none."""
        box = box_of(grid, self.x0_m, self.y0_m) if grid is not None else QRectF()
        self._picture.show_levels(levels, box)
        self._picture.setOpacity(opacity)

    def show_passage(self, image: QImage | None, grid: Grid | None = None) -> None:
        """Show passage as an image on a grid, or none; ``opacity`` fades it in."""
        if image is None or grid is None:
            self._passage.show_levels((), QRectF())
        else:
            self._passage.show_levels(pyramid_of(image), box_of(grid, self.x0_m, self.y0_m))

    def show_strong_lines(self, of_100: AnyArray | None, grid: Grid | None = None) -> None:
        """Show outlines of passage [trips of 100], or none."""
        if of_100 is None or grid is None:
            self._outlines.show_outlines((), QRectF())
        else:
            outlines = outlines_of(of_100, grid, self.x0_m, self.y0_m)
            self._outlines.show_outlines(outlines, box_of(grid, self.x0_m, self.y0_m))

    def set_passage_opacity(self, opacity: float) -> None:
        """Fade passage."""
        self._passage.setOpacity(opacity)

    def hold_passage_back(self, is_held: bool) -> None:
        """Show the bare ground while the legend or V is held."""
        self.is_passage_held_back = is_held
        self._passage.setVisible(not is_held)
        self._outlines.setVisible(not is_held)

    def add_over(self, paint: OverPainter) -> None:
        """Draw something over the marks from now on."""
        self._over.append(paint)
        self.viewport().update()

    def set_pointer_words(self, words: Callable[[], str]) -> None:
        """Say something at the pointer while drawing (acres so far)."""
        self._pointer_words = words

    # Where one looks

    @property
    def outlook(self) -> Outlook:
        """What part of the map is in view."""
        return self.hand.look.outlook

    def look(self, outlook: Outlook) -> None:
        """Look at another part of the map."""
        self.hand.look.outlook = outlook
        self.hand.look.resize(self.viewport().width(), self.viewport().height())
        self._apply()

    def closer(self, steps: float) -> None:
        """Come closer to the middle, or go farther."""
        self.was_moved_by_hand = True
        self.hand.look.step(steps)
        self._apply()

    def to_screen(self, at: Point) -> QPointF:
        """Return the pixel of a place on the map."""
        x, y = self.outlook.to_px(*at)
        return QPointF(x, y)

    def mark_at(self, touch: Touch) -> Mark | None:
        """Return the mark under a touch."""
        return self._marks.at(touch.x_m, touch.y_m, 12 * touch.px_m)

    # What the hand does

    @property
    def gesture(self) -> Gesture:
        """What the hand does now."""
        return self.hand.gesture

    def set_gesture(self, gesture: Gesture) -> None:
        """Give the hand something to do."""
        self.hand.gesture = gesture
        self.viewport().setCursor(Qt.OpenHandCursor if gesture.is_idle else Qt.CrossCursor)
        self._sketch()

    def _sketch(self) -> None:
        """Draw what the hand did."""
        self.sketch_changed.emit()
        self.viewport().update()

    def _apply(self) -> None:
        """Move the view to the outlook."""
        look = self.outlook
        scale = 1.0 / look.px_m
        self.setTransform(QTransform.fromScale(scale, scale))
        self.centerOn(look.x_m - self.x0_m, self.y0_m - look.y_m)
        self.viewport().update()
        self.outlook_changed.emit()

    # Events

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Keep the middle."""
        super().resizeEvent(event)
        self.hand.look.resize(self.viewport().width(), self.viewport().height())
        self._apply()
        self.resized.emit()

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Tell the hand."""
        if event.button() == Qt.LeftButton:
            self.setFocus(Qt.MouseFocusReason)
            self.hand.press(*_at(event), is_snapping=_snaps(event))
            self._sketch()

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Tell the hand, and where the pointer is."""
        self.hand.move(*_at(event), is_snapping=_snaps(event))
        if self.hand.is_pulling:
            self.was_moved_by_hand = True
            self.viewport().setCursor(Qt.ClosedHandCursor)
            self._apply()
        elif not self.hand.is_busy and self.gesture.is_idle:
            touch = self.hand.touch(*_at(event))
            is_over = self.mark_at(touch) is not None
            self.viewport().setCursor(Qt.PointingHandCursor if is_over else Qt.OpenHandCursor)
        self.pointed.emit(self.hand.touch(*_at(event)))
        self._sketch()

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Tell the hand."""
        if event.button() == Qt.LeftButton:
            self.hand.release(*_at(event), is_snapping=_snaps(event))
            is_idle = self.gesture.is_idle
            self.viewport().setCursor(Qt.OpenHandCursor if is_idle else Qt.CrossCursor)
            self._sketch()

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        """Tell the hand."""
        if event.button() == Qt.LeftButton:
            self.hand.double_click(*_at(event), is_snapping=_snaps(event))
            self._sketch()

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Come closer to the pointer, or go farther."""
        at = event.position()
        self.was_moved_by_hand = True
        self.hand.look.wheel(at.x(), at.y(), event.angleDelta().y() / 120.0)
        self._apply()
        event.accept()

    def leaveEvent(self, event: QEvent) -> None:
        """Tell that the pointer left."""
        super().leaveEvent(event)
        self.pointed.emit(None)

    def event(self, event: QEvent) -> bool:
        """Give Tab to the gestures, and pinches to looking."""
        if event.type() == QEvent.KeyPress and event.key() in (  # type: ignore[attr-defined]
            Qt.Key_Tab,
            Qt.Key_Backtab,
        ):
            self.keyPressEvent(event)  # type: ignore[arg-type]
            return True
        if event.type() == QEvent.Gesture:
            return self._pinch(event)
        return bool(super().event(event))

    def _pinch(self, event: QEvent) -> bool:
        """Come closer with two fingers."""
        pinch = event.gesture(Qt.PinchGesture)  # type: ignore[attr-defined]
        if pinch is None:
            return False
        at = self.mapFromGlobal(QPoint(*(int(v) for v in _pair(pinch.hotSpot()))))
        outlook = self.outlook.zoomed(pinch.scaleFactor(), at.x(), at.y())
        self.look(outlook)
        return True

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Offer the key to the gesture, then to looking around, then to the window."""
        key = _KEYS.get(event.key())
        is_fine = bool(event.modifiers() & Qt.ShiftModifier)
        if key is not None and not event.modifiers() & Qt.ControlModifier:
            if self.gesture.key(key, self.hand.middle(), is_fine=is_fine):
                self._sketch()
                return
            if self._look_by(key):
                return
        if event.key() == Qt.Key_V and not event.isAutoRepeat():
            self.hold_passage_back(True)
            return
        event.ignore()

    def keyReleaseEvent(self, event: QKeyEvent) -> None:
        """Let passage come back."""
        if event.key() == Qt.Key_V and not event.isAutoRepeat():
            self.hold_passage_back(False)
            return
        super().keyReleaseEvent(event)

    def _look_by(self, key: Key) -> bool:
        """Look around by an arrow."""
        ways = {Key.LEFT: (-1, 0), Key.RIGHT: (1, 0), Key.UP: (0, 1), Key.DOWN: (0, -1)}
        if key not in ways:
            return False
        self.hand.look.arrow(*ways[key])
        self._apply()
        return True

    # Drawing

    def drawBackground(self, painter: QPainter, rect: QRectF) -> None:
        """Lay the paper."""
        painter.fillRect(rect, QColor(colours.PAPER))

    def drawForeground(self, painter: QPainter, rect: QRectF) -> None:
        """Draw veil, boundary, marks, names and what the hand does."""
        px_m = self.outlook.px_m
        if self._has_veil:
            self._marks.paint_veil(painter, rect)
            self._marks.paint_boundary(painter, is_in_hand=self.is_boundary_in_hand)
            self._marks.paint_marks(painter, rect, px_m, in_hand=self._in_hand)
        if self._trial is not None:
            mark, geometry = self._trial
            art = trial_art(mark, geometry, self.x0_m, self.y0_m, px_m)
            painter.setRenderHint(QPainter.Antialiasing, True)
            paint_art(painter, art, is_in_hand=True)
        if self._has_veil and self.is_naming:
            self._marks.paint_names(painter, px_m, in_hand=self._in_hand)
        painter.save()
        try:
            painter.resetTransform()
            for paint in self._over:
                paint(painter, self.to_screen)
            words = self._pointer_words()
            paint_sketch(painter, self.gesture.sketch, self.to_screen, words=words)
        finally:
            painter.restore()


def _at(event: QMouseEvent) -> tuple[float, float]:
    """Return where a mouse event is [px]."""
    return _pair(event.localPos())


def _pair(at: QPointF) -> tuple[float, float]:
    """Return a point as numbers."""
    return at.x(), at.y()


def _snaps(event: QMouseEvent) -> bool:
    """Return whether snapping is on."""
    return not event.modifiers() & Qt.AltModifier
