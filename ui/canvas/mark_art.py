"""What each kind of mark looks like: ink over a casing of paper, no colour carries a kind.

Sizes are in screen pixels; geometry is in metres of the scene (y down), so that panning needs no
new strokes and zooming does.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from typing import Final

import numpy as np
import shapely
from PyQt5.QtCore import QPointF, QRectF, Qt
from PyQt5.QtGui import QPainterPath, QPolygonF
from shapely.geometry.base import BaseGeometry

from funnelfinder import shading
from funnelfinder.kernels import FloatArray
from funnelfinder.marks import Mark, MarkKind

from ..look import colours

CASING_PX: Final = 2.0
_SIGN_SIDE_PX: Final = 28.0
_GAP_PX: Final = 16.0
#: Farther than this signs become smaller [m/px].
_FAR_PX_M: Final = 2.6


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One stroke: its path, width [px], dash pattern in widths, and colour (ink unless said)."""

    path: QPainterPath
    width_px: float
    dash: tuple[float, ...] = ()
    colour: str = ""
    is_round: bool = True


@dataclass(slots=True, kw_only=True)
class Art:
    """How one mark is drawn: fills, casings under, strokes over, dots, and where its name goes."""

    fills: list[tuple[QPainterPath, str, float]] = field(default_factory=list)
    casings: list[tuple[QPainterPath, float]] = field(default_factory=list)
    lines: list[Line] = field(default_factory=list)
    solids: list[QPainterPath] = field(default_factory=list)
    dots: QPolygonF | None = None
    box: QRectF = field(default_factory=QRectF)


def to_scene(geometry: BaseGeometry, x0_m: float, y0_m: float) -> BaseGeometry:
    """Return a geometry on the scene: metres from (x0_m, y0_m), y down."""
    moved: BaseGeometry = shapely.transform(
        geometry, lambda points: np.column_stack([points[:, 0] - x0_m, y0_m - points[:, 1]])
    )
    return moved


def path_of(geometry: BaseGeometry) -> QPainterPath:
    """Return the lines and outlines of a geometry as a path."""
    path = QPainterPath()
    for part in shapely.get_parts(geometry):
        if part.geom_type == "Polygon":
            for ring in (part.exterior, *part.interiors):
                path.addPolygon(_polygon(shapely.get_coordinates(ring)))
                path.closeSubpath()
        elif part.geom_type != "Point":
            path.addPolygon(_polygon(shapely.get_coordinates(part)))
    return path


def _polygon(points: FloatArray) -> QPolygonF:
    """Return points for Qt."""
    return QPolygonF([QPointF(x, y) for x, y in points])


def _strokes(arrays: Iterable[FloatArray]) -> QPainterPath:
    """Return several open strokes as one path."""
    path = QPainterPath()
    for points in arrays:
        if len(points) > 1:
            path.addPolygon(_polygon(points))
    return path


def art_of(mark: Mark, shape: BaseGeometry, px_m: float, beside: Sequence[BaseGeometry]) -> Art:
    """Return how a mark is drawn.

    Parameters
    ----------
    mark : Mark
        What it is.
    shape : shapely geometry
        Its geometry on the scene.
    px_m : float
        Metres that a pixel shows.
    beside : sequence of shapely geometry
        For fences, ditches and creeks the gaps and crossings; for those the lines, on the scene.
    """
    art = _ARTISTS[mark.kind](mark, shape, px_m, beside)
    west, north, east, south = shape.bounds
    art.box = QRectF(QPointF(west, north), QPointF(east, south))
    return art


def _cased(art: Art, path: QPainterPath, width_px: float, **more: object) -> None:
    """Add a stroke with its casing."""
    art.casings.append((path, width_px + 2 * CASING_PX))
    art.lines.append(Line(path=path, width_px=width_px, **more))  # type: ignore[arg-type]


def _bed(mark: Mark, shape: BaseGeometry, px_m: float, beside: Sequence[BaseGeometry]) -> Art:
    """Lashes inward: a hollow pressed in grass."""
    art, outline = Art(), path_of(shape)
    art.fills.append((outline, colours.PAPER, 0.45))
    _cased(art, outline, 2.0)
    strokes = shading.lashes(shape, length=8 * px_m, every=11 * px_m, who=mark.who)
    art.lines.append(Line(path=_strokes(strokes), width_px=1.6))
    return art


def _food(mark: Mark, shape: BaseGeometry, px_m: float, beside: Sequence[BaseGeometry]) -> Art:
    """Rows of dots: seed in drills."""
    art, outline = Art(), path_of(shape)
    art.fills.append((outline, colours.PAPER, 0.42))
    _cased(art, outline, 2.0)
    dots = shading.dot_rows(shape, across=10 * px_m, down=7.5 * px_m, inset=5 * px_m)
    art.dots = _polygon(dots)
    return art


def _fence(mark: Mark, shape: BaseGeometry, px_m: float, beside: Sequence[BaseGeometry]) -> Art:
    """× along a line, left open at gaps."""
    art = Art()
    near = [gap for gap in beside if gap.distance(shape) < _GAP_PX * px_m]
    open_line = shading.opened(shape, near, _GAP_PX / 2 * px_m)
    _cased(art, path_of(open_line), 1.7)
    crosses = shading.crosses(open_line, size=8 * px_m, every=17 * px_m)
    art.lines.append(Line(path=_strokes(crosses), width_px=1.7))
    return art


def _ditch(mark: Mark, shape: BaseGeometry, px_m: float, beside: Sequence[BaseGeometry]) -> Art:
    """Draw a line with short strokes to one side."""
    art = Art()
    _cased(art, path_of(shape), 1.7)
    teeth = []
    for part in shapely.get_parts(shape):
        n = max(round(part.length / (9 * px_m)), 1)
        for i in range(n):
            at, ahead = _place_and_ahead(part, (i + 0.5) * part.length / n)
            foot = np.array(at)
            across = np.array([-math.sin(ahead), math.cos(ahead)])
            teeth.append(np.array([foot, foot + across * 5 * px_m]))
    art.lines.append(Line(path=_strokes(teeth), width_px=1.5))
    return art


def _shrunk(px_m: float) -> float:
    """Return how much smaller signs are drawn from far, so that they do not hide the ground."""
    return min(1.0, max(0.55, _FAR_PX_M / px_m))


def _creek(mark: Mark, shape: BaseGeometry, px_m: float, beside: Sequence[BaseGeometry]) -> Art:
    """Water between its banks, as wide as it is, at least 3 px."""
    art, path = Art(), path_of(shape)
    width_px = max((mark.width_m or 3.0) / px_m, 3.0)
    art.lines.append(Line(path=path, width_px=width_px + 2.2, colour=colours.BANK))
    art.lines.append(Line(path=path, width_px=width_px, colour=colours.WATER))
    return art


def _water(mark: Mark, shape: BaseGeometry, px_m: float, beside: Sequence[BaseGeometry]) -> Art:
    """Water with a bank line."""
    art, outline = Art(), path_of(shape)
    art.fills.append((outline, colours.WATER, 0.9))
    art.lines.append(Line(path=outline, width_px=1.4, colour=colours.BANK))
    return art


def _road(mark: Mark, shape: BaseGeometry, px_m: float, beside: Sequence[BaseGeometry]) -> Art:
    """Paper between two fine lines."""
    art, path = Art(), path_of(shape)
    art.lines.append(Line(path=path, width_px=5.4, colour=colours.PALE_INK))
    art.lines.append(Line(path=path, width_px=3.4, colour=colours.PAPER))
    return art


def _gap(mark: Mark, shape: BaseGeometry, px_m: float, beside: Sequence[BaseGeometry]) -> Art:
    """Two arcs back to back."""
    art = Art()
    at, ahead = _along_nearest(shape, beside)
    near = px_m * _shrunk(px_m)
    arcs = shading.gap_arcs(at, ahead, width=_GAP_PX * near, height=15 * near)
    _cased(art, _strokes(arcs), 2.2)
    return art


def _crossing(mark: Mark, shape: BaseGeometry, px_m: float, beside: Sequence[BaseGeometry]) -> Art:
    """Two bars across the creek."""
    art = Art()
    at, ahead = _along_nearest(shape, beside)
    bars = shading.crossing_bars(at, ahead, length=20 * px_m, apart=8 * px_m)
    _cased(art, _strokes(bars), 2.2)
    return art


def _keep_off(mark: Mark, shape: BaseGeometry, px_m: float, beside: Sequence[BaseGeometry]) -> Art:
    """Dashes round slants."""
    art, outline = Art(), path_of(shape)
    art.fills.append((outline, colours.PAPER, 0.25))
    art.casings.append((outline, 1.6 + 2 * CASING_PX))
    # The scene's y points down: mirrored there and back, the slants rise to the right.
    mirrored = shapely.transform(shape, lambda points: points * [1, -1])
    slants = [points * [1, -1] for points in shading.hatches(mirrored, every=9 * px_m)]
    art.lines.append(Line(path=_strokes(slants), width_px=1.1))
    art.lines.append(Line(path=outline, width_px=1.6, dash=(6 / 1.6, 4 / 1.6), is_round=False))
    return art


def _core(mark: Mark, shape: BaseGeometry, px_m: float, beside: Sequence[BaseGeometry]) -> Art:
    """Draw a fine broken outline."""
    art, outline = Art(), path_of(shape)
    art.casings.append((outline, 1.4 + 2 * CASING_PX))
    art.lines.append(Line(path=outline, width_px=1.4, dash=(10 / 1.4, 6 / 1.4), is_round=False))
    return art


def _cover(mark: Mark, shape: BaseGeometry, px_m: float, beside: Sequence[BaseGeometry]) -> Art:
    """Draw a dotted outline."""
    art, outline = Art(), path_of(shape)
    art.casings.append((outline, 1.6 + 2 * CASING_PX))
    art.lines.append(Line(path=outline, width_px=1.8, dash=(0.1, 2.6)))
    return art


def _house(mark: Mark, shape: BaseGeometry, px_m: float, beside: Sequence[BaseGeometry]) -> Art:
    """Draw a solid gable; a drawn outline as well."""
    art = Art()
    if shape.geom_type.endswith("Polygon"):
        outline = path_of(shape)
        art.fills.append((outline, colours.INK, 0.25))
        _cased(art, outline, 1.6)
    middle = shape.representative_point()
    _glyph(art, "house", (middle.x, middle.y), 20 * px_m)
    return art


def _in_square(glyph: str) -> Callable[..., Art]:
    """Return the artist of a glyph in a paper square."""

    def draw(mark: Mark, shape: BaseGeometry, px_m: float, beside: Sequence[BaseGeometry]) -> Art:
        art = Art()
        middle = shape.representative_point()
        shrunk = _shrunk(px_m)
        side = _SIGN_SIDE_PX * px_m * shrunk
        square = QPainterPath()
        square.addRoundedRect(
            middle.x - side / 2, middle.y - side / 2, side, side, 5 * px_m, 5 * px_m
        )
        art.fills.append((square, colours.PAPER, 1.0))
        art.lines.append(Line(path=square, width_px=1.3))
        _glyph(art, glyph, (middle.x, middle.y), 18 * px_m * shrunk, is_cased=False)
        return art

    return draw


def _trail(mark: Mark, shape: BaseGeometry, px_m: float, beside: Sequence[BaseGeometry]) -> Art:
    """Draw a line of dots."""
    art, path = Art(), path_of(shape)
    art.casings.append((path, 2.4 + 2 * CASING_PX))
    art.lines.append(Line(path=path, width_px=2.8, dash=(0.1, 2.4)))
    return art


def _glyph(
    art: Art, name: str, at: tuple[float, float], size: float, *, is_cased: bool = True
) -> None:
    """Add a small sign."""
    placed = shading.placed_glyph(shading.GLYPHS[name], at, size)
    solid = QPainterPath()
    solid.setFillRule(Qt.WindingFill)
    for points in placed.fills:
        solid.addPolygon(_polygon(points))
        solid.closeSubpath()
    if placed.fills:
        art.solids.append(solid)
        if is_cased:
            art.casings.append((solid, 2 * CASING_PX))
    if placed.strokes:
        art.lines.append(Line(path=_strokes(placed.strokes), width_px=1.6))


def _along_nearest(
    shape: BaseGeometry, lines: Sequence[BaseGeometry]
) -> tuple[tuple[float, float], float]:
    """Return the place on the nearest line, and the direction of the line there."""
    middle = shape.interpolate(0.5, normalized=True) if shape.length else shape.centroid
    if not lines:
        return (middle.x, middle.y), 0.0
    part = min(
        (part for line in lines for part in shapely.get_parts(line)),
        key=lambda one: float(one.distance(middle)),
    )
    return _place_and_ahead(part, part.project(middle))


def _place_and_ahead(line: BaseGeometry, along: float) -> tuple[tuple[float, float], float]:
    """Return a place on a line and the direction there [rad]."""
    tiny = 1e-3 * max(line.length, 1e-6)
    at, before, after = (
        line.interpolate(min(max(along + d, 0.0), line.length)) for d in (0.0, -tiny, tiny)
    )
    return (at.x, at.y), math.atan2(after.y - before.y, after.x - before.x)


_ARTISTS: Final[dict[MarkKind, Callable[..., Art]]] = {
    MarkKind.BED: _bed,
    MarkKind.FOOD: _food,
    MarkKind.CORE: _core,
    MarkKind.COVER: _cover,
    MarkKind.WATER: _water,
    MarkKind.HOUSE: _house,
    MarkKind.ROAD: _road,
    MarkKind.FENCE: _fence,
    MarkKind.DITCH: _ditch,
    MarkKind.CREEK: _creek,
    MarkKind.GAP: _gap,
    MarkKind.CROSSING: _crossing,
    MarkKind.WAY_IN: _in_square("way-in"),
    MarkKind.KEEP_OFF: _keep_off,
    MarkKind.RUB: _in_square("rub"),
    MarkKind.SCRAPE: _in_square("scrape"),
    MarkKind.TRACKS: _in_square("tracks"),
    MarkKind.TRAIL: _trail,
}
