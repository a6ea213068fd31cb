"""Draws spots over the map: discs with numbers, scrapes, pinch points, the spot in hand."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import Final

from PyQt5.QtCore import QPointF, QRectF, Qt
from PyQt5.QtGui import QColor, QFontMetricsF, QPainter, QPainterPath, QPen, QPolygonF

from funnelfinder.kernels import FloatArray
from funnelfinder.pinch_points import PinchPoint
from funnelfinder.scrapes import Cluster, ClusterKind, LeftOut, middle_m
from funnelfinder.staging import StagingSpot

from ..gestures import Point
from ..look import colours
from ..look.fonts import font
from ..look.icons import draw_icon
from .lettering import draw_name, text_box

DISC_PX: Final = 28.0
_SCRAPE_PX: Final = 10.0
_AWAY_PX: Final = 32.0
_GLYPH_PX: Final = 15.0
GLYPHS: Final = {
    ClusterKind.PINCH: "pinch",
    ClusterKind.FIELD_EDGE: "edge",
    ClusterKind.STAGING: "staging",
    ClusterKind.TRAVEL: "trail",
}
KIND_WORDS: Final = {
    ClusterKind.PINCH: "pinch",
    ClusterKind.FIELD_EDGE: "edge",
    ClusterKind.STAGING: "staging",
    ClusterKind.TRAVEL: "travel",
}
ToScreen = Callable[[Point], QPointF]


@dataclass(frozen=True, kw_only=True)
class SpotScene:
    """What is drawn of the spots; ``in_hand`` is the number of the spot in hand, 0 for none.

    ``squeeze`` is the pinch point that squeezes the trips of the spot in hand; ``pointing`` a
    place that the hand points at, with its words and whether a rule forbids it.
    """

    clusters: Sequence[Cluster] = ()
    taken: frozenset[int] = frozenset()
    in_hand: int = 0
    reach_m: float = 0.0
    squeeze: PinchPoint | None = None
    pinch_points: Sequence[PinchPoint] = ()
    staging: Sequence[StagingSpot] = ()
    left_out: Sequence[LeftOut] = ()
    single_trips_m: Sequence[FloatArray] = ()
    pointing: tuple[Point, str, bool] | None = None
    names: dict[int, str] = field(default_factory=dict)


def disc_at(cluster: Cluster, to_screen: ToScreen) -> QPointF:
    """Return where the disc of a cluster stands [px]: beside its scrapes."""
    points = [to_screen(one) for one in cluster.scrapes_m]
    x = sum(one.x() for one in points) / len(points)
    top = min(one.y() for one in points)
    return QPointF(x, top - _AWAY_PX * 0.72)


def paint_spots(painter: QPainter, to_screen: ToScreen, scene: SpotScene) -> None:
    """Draw everything, what matters most last."""
    painter.setRenderHint(QPainter.Antialiasing, True)
    _draw_small_things(painter, to_screen, scene)
    held = next((one for one in scene.clusters if one.number == scene.in_hand), None)
    if held is not None:
        _draw_reach(painter, to_screen, held, scene.reach_m)
        if scene.squeeze is not None:
            _draw_squeeze(painter, to_screen, scene.squeeze)
    for cluster in reversed(scene.clusters):
        if cluster is not held:
            _draw_cluster(painter, to_screen, cluster, scene)
    if held is not None:
        _draw_cluster(painter, to_screen, held, scene)
    _draw_names(painter, to_screen, scene)
    if scene.pointing is not None:
        _draw_pointing(painter, to_screen, *scene.pointing)


def _draw_small_things(painter: QPainter, to_screen: ToScreen, scene: SpotScene) -> None:
    """Draw single trips, places left out, staging spots and pinch points."""
    for trip in scene.single_trips_m:
        _draw_trip(painter, to_screen, trip)
    for one in scene.left_out:
        _draw_cross(painter, to_screen((one.x_m, one.y_m)))
    for spot in scene.staging:
        _draw_glyph(painter, to_screen((spot.x_m, spot.y_m)), "staging")
    for pinch in scene.pinch_points:
        _draw_glyph(painter, to_screen((pinch.x_m, pinch.y_m)), "pinch")


def _draw_trip(painter: QPainter, to_screen: ToScreen, trip: FloatArray) -> None:
    """Draw one single trip as a fine line."""
    line = QPolygonF([to_screen((float(x), float(y))) for x, y in trip])
    painter.setBrush(Qt.NoBrush)
    painter.setPen(QPen(colours.colour(colours.INK, 0.55), 1.0))
    painter.drawPolyline(line)


def _draw_cross(painter: QPainter, at: QPointF) -> None:
    """Draw the × of a place that a rule left out."""
    for value, width in ((colours.PAPER, 5.0), (colours.GREY_INK, 1.8)):
        painter.setPen(QPen(QColor(value), width, Qt.SolidLine, Qt.RoundCap))
        painter.drawLine(at + QPointF(-5, -5), at + QPointF(5, 5))
        painter.drawLine(at + QPointF(-5, 5), at + QPointF(5, -5))


def _draw_glyph(painter: QPainter, at: QPointF, name: str) -> None:
    """Draw the glyph of a pinch point or staging spot on a small disc of paper."""
    painter.setPen(Qt.NoPen)
    painter.setBrush(colours.colour(colours.PAPER, 0.85))
    painter.drawEllipse(at, 11, 11)
    box = QRectF(at.x() - _GLYPH_PX / 2, at.y() - _GLYPH_PX / 2, _GLYPH_PX, _GLYPH_PX)
    draw_icon(painter, name, box, QColor(colours.INK))


def _draw_reach(painter: QPainter, to_screen: ToScreen, cluster: Cluster, reach_m: float) -> None:
    """Draw the outline of what passes within reach."""
    path = QPainterPath()
    for scrape in cluster.scrapes_m:
        middle = to_screen(scrape)
        radius = abs(to_screen((scrape[0] + reach_m, scrape[1])).x() - middle.x())
        disc = QPainterPath()
        disc.addEllipse(middle, radius, radius)
        path = path.united(disc)
    painter.setBrush(Qt.NoBrush)
    painter.setPen(QPen(colours.colour(colours.PAPER, 0.9), 4.5))
    painter.drawPath(path)
    pen = QPen(QColor(colours.PETROL), 1.8)
    pen.setDashPattern([4, 3])
    painter.setPen(pen)
    painter.drawPath(path)


def _draw_squeeze(painter: QPainter, to_screen: ToScreen, pinch: PinchPoint) -> None:
    """Draw the squeeze to scale across the trips: dashed on even ground, solid here."""
    turn = math.radians(pinch.across_deg)
    east, north = math.sin(turn), math.cos(turn)

    def ends(width_m: float) -> tuple[QPointF, QPointF]:
        half = width_m / 2
        return (
            to_screen((pinch.x_m - east * half, pinch.y_m - north * half)),
            to_screen((pinch.x_m + east * half, pinch.y_m + north * half)),
        )

    for value, more in ((colours.PAPER, 3.0), (colours.PETROL, 0.0)):
        a, b = ends(pinch.even_width_m)
        pen = QPen(QColor(value), 2.0 + more)
        if not more:
            pen.setDashPattern([4, 3])
        painter.setPen(pen)
        painter.drawLine(a, b)
        painter.setPen(QPen(QColor(value), 2.2 + more))
        across = _across(a, b)
        for end in (a, b):
            painter.drawLine(end - across * 8, end + across * 8)
        a, b = ends(pinch.width_m)
        painter.setPen(QPen(QColor(value), 7.0 + more, Qt.SolidLine, Qt.FlatCap))
        painter.drawLine(a, b)


def _across(a: QPointF, b: QPointF) -> QPointF:
    """Return the unit vector at right angles to a line on the screen."""
    length = math.hypot(b.x() - a.x(), b.y() - a.y()) or 1.0
    return QPointF(-(b.y() - a.y()) / length, (b.x() - a.x()) / length)


def _draw_cluster(
    painter: QPainter, to_screen: ToScreen, cluster: Cluster, scene: SpotScene
) -> None:
    """Draw scrapes, the line to them, and the disc."""
    is_held = cluster.number == scene.in_hand
    ink = QColor(colours.PETROL if is_held else colours.INK)
    disc = disc_at(cluster, to_screen)
    near = min((to_screen(one) for one in cluster.scrapes_m), key=lambda at: _apart(at, disc))
    for value, width in ((QColor(colours.PAPER), 4.0), (ink, 1.6)):
        painter.setPen(QPen(value, width))
        painter.drawLine(disc, near)
    for scrape in cluster.scrapes_m:
        at = to_screen(scrape)
        painter.setBrush(QColor(colours.PAPER))
        painter.setPen(QPen(QColor(colours.PAPER), 5.0))
        painter.drawEllipse(at, _SCRAPE_PX / 2, _SCRAPE_PX / 2)
        painter.setPen(QPen(ink, 2.0))
        painter.drawEllipse(at, _SCRAPE_PX / 2, _SCRAPE_PX / 2)
    _draw_disc(painter, disc, cluster, ink, is_taken=cluster.number in scene.taken)


def _draw_names(painter: QPainter, to_screen: ToScreen, scene: SpotScene) -> None:
    """Draw the unit's names over their discs or under their scrapes, where they do not meet."""
    taken: list[QRectF] = []
    for cluster in sorted(scene.clusters, key=lambda one: one.number != scene.in_hand):
        name = scene.names.get(cluster.number)
        if not name:
            continue
        wide, high = text_box(name)
        disc = disc_at(cluster, to_screen)
        low = max(to_screen(one).y() for one in cluster.scrapes_m)
        for y in (disc.y() - DISC_PX / 2 - 14, low + 22):
            box = QRectF(disc.x() - wide / 2, y - high / 2, wide, high).adjusted(-4, -5, 4, 5)
            if not any(box.intersects(other) for other in taken):
                is_held = cluster.number == scene.in_hand
                colour = colours.PETROL if is_held else colours.INK
                draw_name(painter, name, QPointF(disc.x(), y), colour=colour)
                taken.append(box)
                break


def _draw_disc(
    painter: QPainter, at: QPointF, cluster: Cluster, ink: QColor, *, is_taken: bool
) -> None:
    """Draw the disc: solid when picked, else paper with a dashed ring."""
    is_shaky = not math.isnan(cluster.steadiness) and cluster.steadiness < 0.5
    radius = DISC_PX / 2
    painter.setPen(QPen(QColor(colours.PAPER), 4.0))
    painter.setBrush(ink if is_taken else QColor(colours.PAPER))
    painter.drawEllipse(at, radius, radius)
    pen = QPen(ink, 1.8)
    if is_taken and is_shaky:
        pen.setDashPattern([3, 2])
        painter.setBrush(Qt.NoBrush)
        painter.setPen(pen)
        painter.drawEllipse(at, radius + 3.5, radius + 3.5)
    if not is_taken:
        pen.setDashPattern([1, 1.6] if is_shaky else [3, 2])
        painter.setPen(pen)
        painter.drawEllipse(at, radius, radius)
    painter.setPen(QColor(colours.PAPER) if is_taken else ink)
    painter.setFont(font(16, bold=True))
    box = QRectF(at.x() - radius, at.y() - radius, DISC_PX, DISC_PX)
    painter.drawText(box, Qt.AlignCenter, str(cluster.number))


def _draw_pointing(
    painter: QPainter, to_screen: ToScreen, at_m: Point, words: str, is_forbidden: bool
) -> None:
    """Draw the hollow disc that rides on the pointer, with its words."""
    at = to_screen(at_m)
    painter.setBrush(Qt.NoBrush)
    painter.setPen(QPen(QColor(colours.PAPER), 5.0))
    painter.drawEllipse(at, DISC_PX / 2, DISC_PX / 2)
    pen = QPen(QColor(colours.PETROL), 2.2)
    if is_forbidden:
        pen.setDashPattern([2.5, 2])
    painter.setPen(pen)
    painter.drawEllipse(at, DISC_PX / 2, DISC_PX / 2)
    if words:
        draw_beside(painter, words, at, DISC_PX)


def draw_beside(painter: QPainter, words: str, at: QPointF, apart_px: float) -> None:
    """Draw words beside the hand, on the left of it where the map ends on the right."""
    wide = QFontMetricsF(font(16, bold=True)).horizontalAdvance(words)
    has_room = at.x() + apart_px + wide < painter.viewport().right() - 8
    aside = wide / 2 + apart_px
    draw_name(painter, words, at + QPointF(aside if has_room else -aside, 0), colour=colours.PETROL)


def _apart(one: QPointF, other: QPointF) -> float:
    """Return the distance between two points [px]."""
    return math.hypot(one.x() - other.x(), one.y() - other.y())


def spot_at(scene: SpotScene, at: QPointF, to_screen: ToScreen) -> int:
    """Return the number of the spot whose disc or scrape lies under a pixel, 0 for none."""
    best, number = 20.0, 0
    for cluster in scene.clusters:
        places = [disc_at(cluster, to_screen), *(to_screen(one) for one in cluster.scrapes_m)]
        near = min(_apart(at, one) for one in places)
        if near < best:
            best, number = near, cluster.number
    return number


def anchor_m(cluster: Cluster) -> Point:
    """Return the place that a slip of a cluster is tied to."""
    return middle_m(cluster)
