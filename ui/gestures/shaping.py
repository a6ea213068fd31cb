"""Shaping what is in the hand: dragging corners, adding and removing them, moving the whole."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

import shapely
from shapely.geometry.base import BaseGeometry

from .outline import Outline, crossing_of, geometry_of, nearest_side, outline_of
from .snapping import Snapper
from .touch import (
    ARROW_PX,
    ARROWS,
    HOLD_PX,
    SNAP_PX,
    Gesture,
    Key,
    Point,
    Sketch,
    Touch,
    apart,
)

YARD_M: Final = 0.9144
CROSSES_ITSELF: Final = "This outline crosses itself here. The corner went back."


class Shape(Gesture):
    """The mark in the hand: its corners, its middles, and the whole of it.

    Parameters
    ----------
    geometry : shapely geometry
        What is in the hand [m].
    changed : callable
        Called with the new geometry and what was done (``shape`` or ``move``); one drag is one
        call.
    trying : callable
        Called with the geometry while it is dragged.
    refused : callable
        Called with words and a place when a change is not taken.
    left : callable
        Called when the person puts it down (Escape, or a click beside it).
    snapper : Snapper
        What corners snap to; it should not hold the geometry itself.
    """

    is_idle = False

    def __init__(
        self,
        geometry: BaseGeometry,
        *,
        changed: Callable[[BaseGeometry, str], None],
        trying: Callable[[BaseGeometry], None] = lambda geometry: None,
        refused: Callable[[str, Point], None] = lambda words, at: None,
        left: Callable[[Touch | None], None] = lambda touch: None,
        snapper: Snapper | None = None,
    ) -> None:
        self._outline = outline_of(geometry)
        self._before: Outline | None = None
        self._changed = changed
        self._trying = trying
        self._refused = refused
        self._left = left
        self._snapper = snapper or Snapper()
        self._corner: tuple[int, int] | None = None
        self._from: Point | None = None
        self._snapped: Point | None = None
        self._crossing: Point | None = None
        self.chosen: int | None = None

    @property
    def hint(self) -> str:  # type: ignore[override]
        """What the hand can do with it."""
        if self._outline.least == 1:
            return "<b>Drag</b> it to move it."
        inside = "inside" if self._outline.is_area else "line"
        return (
            f"<b>Drag a corner</b> to shape it. Drag the <b>{inside}</b> to move it. "
            "<b>Double-click the line</b> for a new corner."
        )

    @property
    def sketch(self) -> Sketch:
        """Its rings with corners and middles, and the outline before the drag."""
        handles = self._outline.handles()
        middles = [
            ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
            for a, b in (self._outline.side(*side) for side in self._outline.sides())
        ]
        return Sketch(
            rings=self._outline.rings,
            is_area=self._outline.is_area,
            snapped_m=self._snapped,
            crossing_m=self._crossing,
            corners_m=tuple(self._outline.rings[r][i] for r, i in handles),
            middles_m=tuple(middles) if self._before is None else (),
            chosen=self.chosen,
            before=self._before.rings if self._before is not None else (),
        )

    @property
    def geometry(self) -> BaseGeometry:
        """What it is now."""
        return geometry_of(self._outline)

    def keep_refusal_of(self, other: Shape) -> None:
        """Go on showing where the gesture before this one refused a corner."""
        self._crossing = other._crossing

    def press(self, touch: Touch) -> bool:
        """Take hold of a corner, a middle, or the whole."""
        self._crossing = None
        corner = self._corner_at(touch)
        if corner is None:
            corner = self._middle_at(touch)
        self._corner = corner
        self.chosen = self._outline.handles().index(corner) if corner is not None else None
        self._from = touch.at if corner is not None or self._is_on(touch) else None
        return self._from is not None

    def drag(self, touch: Touch) -> None:
        """Move the corner or the whole along."""
        if self._from is None:
            return
        if self._before is None:
            self._before = self._outline
        if self._corner is not None and self._outline.least > 1:
            self._snapped = self._snapper.snapped(touch)
            self._put_corner(*self._corner, self._snapped or touch.at)
        else:
            self._snapped = self._snapper.snapped(touch) if self._outline.least == 1 else None
            place = self._snapped or touch.at
            start = self._from
            self._outline = self._before.moved(place[0] - start[0], place[1] - start[1])
        self._trying(geometry_of(self._outline))

    def release(self, touch: Touch) -> None:
        """Let go: keep the change, or put it back where the outline crosses itself."""
        if self._before is None:
            return
        before, self._before, self._snapped = self._before, None, None
        deed = "shape" if self._corner is not None and before.least > 1 else "move"
        if self._corner is not None and before.least > 1:
            self._drop_on_neighbour(touch)
        self._keep(before, deed)

    def click(self, touch: Touch) -> bool:
        """Choose a corner, or put it down by clicking beside it."""
        if self._before is not None:
            # A middle was pressed but not dragged: it is no corner.
            self._outline, self._before = self._before, None
            self.chosen = None
        if self._from is None:
            self._left(touch)
            return False
        return True

    def double_click(self, touch: Touch) -> bool:
        """Put a new corner on the line."""
        found = nearest_side(self._outline, touch.at) if self._outline.least > 1 else None
        if found is None or found[0] > HOLD_PX * touch.px_m or self._corner_at(touch) is not None:
            return False
        before = self._outline
        self._insert(*found[1], found[2])
        self._keep(before, "shape")
        return True

    def key(self, key: Key, middle: Touch, *, is_fine: bool = False) -> bool:
        """Walk the corners, move, add or remove one, move the whole, or put it down."""
        handles = self._outline.handles()
        if key in (Key.TAB, Key.BACK_TAB) and self._outline.least > 1:
            step = 1 if key is Key.TAB else -1
            start = (-1 if step > 0 else 0) if self.chosen is None else self.chosen
            self.chosen = (start + step) % len(handles)
        elif key in ARROWS:
            self._arrow(key, middle, is_fine)
        elif key is Key.DELETE and self.chosen is not None and self._outline.least > 1:
            before = self._outline
            self._remove(*handles[self.chosen])
            self._keep(before, "shape")
        elif key is Key.INSERT and self.chosen is not None and self._outline.least > 1:
            self._insert_after(handles[self.chosen])
        elif key is Key.ESCAPE:
            if self.chosen is not None:
                self.chosen = None
            else:
                self._left(None)
        else:
            return False
        return True

    def _arrow(self, key: Key, middle: Touch, is_fine: bool) -> None:
        """Move the chosen corner, or the whole, by the arrow."""
        before = self._outline
        right, up = ARROWS[key]
        if self.chosen is not None and before.least > 1:
            step = (1.0 if is_fine else ARROW_PX) * middle.px_m
            ring, index = before.handles()[self.chosen]
            x, y = before.rings[ring][index]
            self._put_corner(ring, index, (x + right * step, y + up * step))
            self._keep(before, "shape")
        else:
            step = YARD_M if is_fine else ARROW_PX * middle.px_m
            self._outline = before.moved(right * step, up * step)
            self._keep(before, "move")

    def _insert_after(self, corner: tuple[int, int]) -> None:
        """Put a corner half way to the next."""
        before = self._outline
        if corner not in before.sides():
            return
        a, b = before.side(*corner)
        self._insert(*corner, ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2))
        if self.chosen is not None:
            self.chosen += 1
        self._keep(before, "shape")

    def _corner_at(self, touch: Touch) -> tuple[int, int] | None:
        """Return the corner under the pointer."""
        near = [
            (apart(touch.at, self._outline.rings[r][i]), (r, i)) for r, i in self._outline.handles()
        ]
        distance, corner = min(near)
        return corner if distance <= HOLD_PX * touch.px_m else None

    def _middle_at(self, touch: Touch) -> tuple[int, int] | None:
        """Make a corner of the middle under the pointer and return it."""
        for ring, index in self._outline.sides():
            a, b = self._outline.side(ring, index)
            middle = ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
            # A short side has no room for a handle between its corners.
            if apart(a, b) > 4 * HOLD_PX * touch.px_m / 2 and (
                apart(touch.at, middle) <= HOLD_PX * touch.px_m * 0.75
            ):
                self._before = self._outline
                self._insert(ring, index, middle)
                return ring, index + 1
        return None

    def _is_on(self, touch: Touch) -> bool:
        """Return whether the pointer is inside the area, or on the line."""
        shape = geometry_of(self._outline)
        here = shapely.Point(touch.at)
        reach = 0.0 if self._outline.is_area else HOLD_PX * touch.px_m
        return bool(shape.distance(here) <= reach)

    def _put_corner(self, ring: int, index: int, place: Point) -> None:
        """Put one corner somewhere else."""
        corners = list(self._outline.rings[ring])
        corners[index] = place
        self._outline = self._outline.with_ring(ring, corners)

    def _insert(self, ring: int, index: int, place: Point) -> None:
        """Put a new corner after one."""
        corners = list(self._outline.rings[ring])
        corners.insert(index + 1, place)
        self._outline = self._outline.with_ring(ring, corners)

    def _remove(self, ring: int, index: int) -> None:
        """Take a corner out where enough are left."""
        corners = list(self._outline.rings[ring])
        if len(corners) > self._outline.least:
            del corners[index]
            self._outline = self._outline.with_ring(ring, corners)
            self.chosen = min(self.chosen or 0, len(self._outline.handles()) - 1)

    def _drop_on_neighbour(self, touch: Touch) -> None:
        """Take the corner out where it was let go on the one beside it."""
        assert self._corner is not None
        ring, index = self._corner
        corners = self._outline.rings[ring]
        beside = [index - 1, (index + 1) % len(corners)]
        if not self._outline.is_area:
            beside = [i for i in (index - 1, index + 1) if 0 <= i < len(corners)]
        if any(apart(corners[index], corners[i]) <= SNAP_PX * touch.px_m for i in beside):
            self._remove(ring, index)
            self.chosen = None

    def _keep(self, before: Outline, deed: str) -> None:
        """Hand the change over, or go back to ``before`` where an area crosses itself."""
        if self._outline == before:
            return
        crossing = next(
            (
                place
                for ring in self._outline.rings
                if self._outline.is_area
                and (place := crossing_of(ring, is_closed=True)) is not None
            ),
            None,
        )
        if crossing is None and geometry_of(self._outline).is_valid:
            self._changed(geometry_of(self._outline), deed)
            return
        self._outline = before
        self._crossing = crossing
        self._trying(geometry_of(before))
        if crossing is not None:
            self._refused(CROSSES_ITSELF, crossing)
