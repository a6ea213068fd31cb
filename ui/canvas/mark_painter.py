"""Draws the boundary, the marks and their names over the map."""

from __future__ import annotations

from typing import Final

import shapely
from PyQt5.QtCore import QPointF, QRectF, Qt
from PyQt5.QtGui import QColor, QPainter, QPainterPath, QPen
from shapely.geometry.base import BaseGeometry

from funnelfinder.marks import SIGN_KINDS, Mark, MarkKind, Property

from ..look import colours
from .lettering import draw_name, text_box
from .mark_art import Art, Line, art_of, path_of, to_scene

VEIL: Final = 0.45
BOUNDARY_PX: Final = 2.6
_IN_HAND_PX: Final = 0.6
#: What lies under what; later kinds are drawn over earlier ones.
_ORDER: Final = (
    MarkKind.WATER,
    MarkKind.CREEK,
    MarkKind.ROAD,
    MarkKind.COVER,
    MarkKind.CORE,
    MarkKind.KEEP_OFF,
    MarkKind.FOOD,
    MarkKind.BED,
    MarkKind.DITCH,
    MarkKind.FENCE,
    MarkKind.TRAIL,
    MarkKind.GAP,
    MarkKind.CROSSING,
    MarkKind.HOUSE,
    MarkKind.RUB,
    MarkKind.SCRAPE,
    MarkKind.TRACKS,
    MarkKind.WAY_IN,
)
_LINES: Final = (MarkKind.FENCE, MarkKind.DITCH, MarkKind.CREEK, MarkKind.ROAD)
_OPENINGS: Final = (MarkKind.GAP, MarkKind.CROSSING)
_NAMED: Final = (
    MarkKind.BED,
    MarkKind.FOOD,
    MarkKind.KEEP_OFF,
    MarkKind.WAY_IN,
    MarkKind.CORE,
    MarkKind.HOUSE,
)
#: Names of small things come out only from near [m/px].
_CLOSE_PX_M: Final = 0.8


class MarkPainter:
    """Draws a property on the scene; strokes are kept until the distance or the mark changes."""

    def __init__(self) -> None:
        self._x0_m = self._y0_m = 0.0
        self._place: Property | None = None
        self._shapes: dict[str, tuple[Mark, BaseGeometry]] = {}
        self._art: dict[str, tuple[Mark, float, tuple[int, ...], Art]] = {}
        self._boundary = QPainterPath()

    def show(self, place: Property | None, x0_m: float, y0_m: float) -> None:
        """Take another state of the property."""
        if (x0_m, y0_m) != (self._x0_m, self._y0_m):
            self._shapes.clear()
            self._art.clear()
        self._x0_m, self._y0_m, self._place = x0_m, y0_m, place
        marks = place.marks if place is not None else ()
        self._shapes = {
            mark.key: self._shapes[mark.key]
            if mark.key in self._shapes and self._shapes[mark.key][0] is mark
            else (mark, to_scene(mark.geometry, x0_m, y0_m))
            for mark in marks
        }
        self._art = {key: art for key, art in self._art.items() if key in self._shapes}
        self._boundary = (
            path_of(to_scene(place.boundary, x0_m, y0_m)) if place is not None else QPainterPath()
        )

    def at(self, x_m: float, y_m: float, reach_m: float) -> Mark | None:
        """Return the mark at a place on the map, the smallest first."""
        here = shapely.Point(x_m - self._x0_m, self._y0_m - y_m)
        found = [
            (shape.area, mark)
            for mark, shape in self._shapes.values()
            if shape.distance(here) <= (0.0 if shape.area else reach_m)
        ]
        return min(found, key=lambda one: one[0])[1] if found else None

    def paint_veil(self, painter: QPainter, exposed: QRectF) -> None:
        """Draw the paper veil beyond the boundary."""
        if self._place is None:
            return
        veil = QPainterPath()
        veil.addRect(exposed)
        veil.addPath(self._boundary)
        veil.setFillRule(Qt.OddEvenFill)
        painter.setRenderHint(QPainter.Antialiasing, True)
        painter.fillPath(veil, colours.colour(colours.PAPER, VEIL))

    def paint_boundary(self, painter: QPainter, *, is_in_hand: bool = False) -> None:
        """Draw the boundary: long dash and dot."""
        w = BOUNDARY_PX
        _stroke(painter, self._boundary, w + 4, colours.colour(colours.PAPER, 0.85))
        _stroke(
            painter,
            self._boundary,
            w + (_IN_HAND_PX if is_in_hand else 0.0),
            QColor(colours.PETROL if is_in_hand else colours.INK),
            dash=(15 / w, 4.5 / w, 1.0, 4.5 / w),
            is_round=False,
        )

    def paint_marks(
        self, painter: QPainter, exposed: QRectF, px_m: float, *, in_hand: str, strength: float = 1
    ) -> None:
        """Draw all marks but the one in hand, which is drawn with its corners."""
        painter.setRenderHint(QPainter.Antialiasing, True)
        wide = exposed.adjusted(-30 * px_m, -30 * px_m, 30 * px_m, 30 * px_m)
        for kind in _ORDER:
            for key, (mark, _shape) in self._shapes.items():
                if mark.kind is kind and key != in_hand:
                    art = self._art_of(mark, px_m)
                    if _meets(art.box, wide):
                        paint_art(painter, art, strength=strength)

    def paint_names(self, painter: QPainter, px_m: float, *, in_hand: str) -> None:
        """Draw names; the painter draws in scene units and letters in pixels."""
        transform = painter.worldTransform()
        taken: list[QRectF] = []
        painter.save()
        try:
            painter.resetTransform()
            for mark in self._by_weight(in_hand):
                if mark.name and _is_named(mark, px_m):
                    box = transform.mapRect(self._art_of(mark, px_m).box)
                    _draw_name(painter, mark, box, taken, is_in_hand=mark.key == in_hand)
        finally:
            painter.restore()

    def _by_weight(self, in_hand: str) -> list[Mark]:
        """Return the marks, first those whose names matter most."""
        marks = [mark for mark, _ in self._shapes.values()]
        return sorted(
            marks,
            key=lambda mark: (
                mark.key != in_hand,
                _NAMED.index(mark.kind) if mark.kind in _NAMED else len(_NAMED),
            ),
        )

    def _art_of(self, mark: Mark, px_m: float) -> Art:
        """Return how a mark is drawn at this distance."""
        beside = self._beside(mark)
        ids = tuple(id(other) for other, _ in beside)
        kept = self._art.get(mark.key)
        if kept is not None and kept[0] is mark and kept[1] == px_m and kept[2] == ids:
            return kept[3]
        shape = self._shapes[mark.key][1]
        art = art_of(mark, shape, px_m, [one for _, one in beside])
        self._art[mark.key] = (mark, px_m, ids, art)
        return art

    def _beside(self, mark: Mark) -> list[tuple[Mark, BaseGeometry]]:
        """Return the marks that change how this one is drawn."""
        if mark.kind in _OPENINGS:
            kinds = _LINES
        elif mark.kind in _LINES:
            kinds = (MarkKind.GAP,)  # type: ignore[assignment]
        else:
            return []
        return [one for one in self._shapes.values() if one[0].kind in kinds]


def trial_art(mark: Mark, geometry: BaseGeometry, x0_m: float, y0_m: float, px_m: float) -> Art:
    """Return how the mark in hand is drawn at a geometry that is only tried."""
    return art_of(mark, to_scene(geometry, x0_m, y0_m), px_m, [])


def paint_art(
    painter: QPainter, art: Art, *, is_in_hand: bool = False, strength: float = 1.0
) -> None:
    """Draw one mark."""
    ink = QColor(colours.PETROL if is_in_hand else colours.INK)
    for path, value, share in art.fills:
        painter.fillPath(path, colours.colour(value, share))
    for path, width in art.casings:
        _stroke(painter, path, width, colours.colour(colours.PAPER, 0.85))
    for line in art.lines:
        _line(painter, line, ink, _IN_HAND_PX if is_in_hand else 0.0)
    for solid in art.solids:
        painter.fillPath(solid, ink)
    if art.dots is not None and not art.dots.isEmpty():
        pen = QPen(ink, 2.7, Qt.SolidLine, Qt.RoundCap)
        pen.setCosmetic(True)
        painter.setPen(pen)
        painter.drawPoints(art.dots)


def _line(painter: QPainter, line: Line, ink: QColor, thicker_px: float) -> None:
    """Draw one stroke."""
    _stroke(
        painter,
        line.path,
        line.width_px + (0.0 if line.colour else thicker_px),
        QColor(line.colour) if line.colour else ink,
        dash=line.dash,
        is_round=line.is_round,
    )


def _stroke(
    painter: QPainter,
    path: QPainterPath,
    width_px: float,
    colour: QColor,
    *,
    dash: tuple[float, ...] = (),
    is_round: bool = True,
) -> None:
    """Stroke a path with a width that does not grow with the map."""
    pen = QPen(colour, width_px)
    pen.setCosmetic(True)
    pen.setCapStyle(Qt.RoundCap if is_round else Qt.FlatCap)
    pen.setJoinStyle(Qt.RoundJoin)
    if dash:
        pen.setDashPattern(list(dash))
    painter.strokePath(path, pen)


def _meets(box: QRectF, exposed: QRectF) -> bool:
    """Return whether a box, which may be a line or a point, meets what is exposed."""
    return (
        box.right() >= exposed.left()
        and box.left() <= exposed.right()
        and box.bottom() >= exposed.top()
        and box.top() <= exposed.bottom()
    )


def _is_named(mark: Mark, px_m: float) -> bool:
    """Return whether a name is shown at this distance."""
    return mark.kind in _NAMED or (px_m < _CLOSE_PX_M and mark.kind in SIGN_KINDS)


def _draw_name(
    painter: QPainter, mark: Mark, box: QRectF, taken: list[QRectF], *, is_in_hand: bool
) -> None:
    """Draw a mark's name where it hides least, or not at all where no place is free."""
    is_italic = mark.kind in (MarkKind.KEEP_OFF, MarkKind.HOUSE)
    colour = colours.GREY_INK if is_italic else colours.INK
    width, height = text_box(mark.name, is_italic=is_italic)
    places = _name_places(mark, box, width, height)
    for at in places:
        room = QRectF(at.x() - width / 2 - 4, at.y() - height / 2 - 5, width + 8, height + 10)
        if is_in_hand or not any(room.intersects(other) for other in taken):
            draw_name(
                painter,
                mark.name,
                at,
                colour=colours.PETROL if is_in_hand else colour,
                is_italic=is_italic,
                is_bold=not is_italic,
            )
            taken.append(room)
            return


def _name_places(mark: Mark, box: QRectF, width: float, height: float) -> list[QPointF]:
    """Return where a name may stand, the best first: in a field, over a bed, below a sign."""
    x, y = box.center().x(), box.center().y()
    is_small = mark.kind in (MarkKind.WAY_IN, MarkKind.HOUSE, *SIGN_KINDS)
    away = 22.0 if is_small else 12.0
    above = QPointF(x, box.top() - height / 2 - away + 3)
    below = QPointF(x, box.bottom() + height / 2 + away)
    right = QPointF(box.right() + width / 2 + away - 2, y)
    left = QPointF(box.left() - width / 2 - away + 2, y)
    fits = box.width() > width + 16 and box.height() > height + 14
    if mark.kind is MarkKind.FOOD and fits:
        return [QPointF(x, y), above, below]
    if is_small or mark.kind is MarkKind.KEEP_OFF:
        return [below, right, left, above]
    return [above, below, right, left]
