"""What the hand does on the map, and what the map shows of the open property."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Final

import shapely
from PyQt5.QtCore import QObject, QRectF, pyqtSignal
from shapely.geometry.base import BaseGeometry

from funnelfinder.marks import GEOMETRIES, Mark, MarkKind
from funnelfinder.units import said_area, said_length

from . import edits
from .canvas.pane import MapPane
from .canvas.slip import SlipWords
from .desk import Desk
from .gestures import Choose, Draw, Form, Measure, Outlook, Point, Shape, Snapper, Touch
from .guests import Guests
from .kinds import KINDS, drawn_geometry, said_mark, unused_name
from .look.said import said_bearing, system
from .measures import said_measures

CROSSES: Final = "This outline crosses itself here"


class MapWork(QObject):
    """Gives the hand its gestures and turns what they tell into edits.

    ``tried`` tells the mark that is dragged as it would be now (None once it is let go), for a
    passage that follows the hand; ``drawn`` the kind that is being drawn, or None.
    """

    tried = pyqtSignal(object)
    drawn = pyqtSignal(object)
    measuring = pyqtSignal(bool)

    def __init__(self, desk: Desk, pane: MapPane) -> None:
        super().__init__(desk)
        self._desk = desk
        self._pane = pane
        self._drafts: dict[MarkKind | None, tuple[Point, ...]] = {}
        self._kind: MarkKind | None = None
        self._is_measuring = False
        self._trial: Mark | None = None
        self.guests: list[Guests] = []
        #: What the map says while the hand is empty; the window sets it from the step.
        self.idle_hint: Callable[[], str] = lambda: ""
        desk.opened.connect(self._opened)
        desk.changed.connect(self._changed)
        desk.hand_changed.connect(lambda _key: self._hand_changed())
        desk.looked.connect(self._look_again)
        desk.hinted.connect(self._say)
        pane.view.sketch_changed.connect(self._say)
        pane.view.set_pointer_words(self._pointer_words)
        pane.hides = self._hides
        self.put_down()

    @property
    def kind(self) -> MarkKind | None:
        """The kind that is being drawn."""
        return self._kind

    # Gestures

    def put_down(self) -> None:
        """Empty the hand."""
        self._kind = None
        self._end_measuring()
        if self._desk.open is not None:
            self._desk.open.take_in_hand("")
        self._pane.view.show_trial(None)
        self._choose()
        self.drawn.emit(None)

    def draw(self, kind: MarkKind) -> None:
        """Begin to draw a mark."""
        if self._desk.open is None:
            return
        self._desk.open.take_in_hand("")
        self._end_measuring()
        self._kind = kind
        words = KINDS[kind]
        self._pane.close_slip()
        self._pane.view.set_gesture(
            Draw(
                words.form,
                done=self._drew,
                left=self._left_drawing,
                refused=self._refused,
                snapper=self._snapper(),
                corners=self._drafts.pop(kind, ()),
                first_hint=words.hint,
            )
        )
        self.drawn.emit(kind)
        self._pane.focus_map()

    def draw_boundary(self, done: Callable[[tuple[Point, ...]], None]) -> None:
        """Begin to draw a boundary; ``done`` gets its corners."""
        self._kind = None
        self._end_measuring()
        gesture = Draw(
            Form.AREA,
            done=done,
            left=lambda _corners: self._choose(),
            refused=self._refused,
            first_hint="<b>Click</b> around the ground you have permission to hunt. "
            "<b>Double-click</b> to close it.",
        )
        self._pane.view.set_gesture(gesture)
        self._pane.focus_map()

    def shape_boundary(self) -> None:
        """Take the boundary in hand."""
        one = self._desk.open
        if one is None:
            return
        one.take_in_hand("")
        self._pane.view.is_boundary_in_hand = True
        self._pane.view.set_gesture(
            Shape(
                one.place.boundary,
                changed=self._reshaped_boundary,
                refused=self._refused,
                left=lambda _touch: self.put_down(),
            )
        )
        self._pane.focus_map()

    def measure(self) -> None:
        """Take the rule, or put it away."""
        if self._is_measuring:
            self.put_down()
            return
        if self._desk.open is None:
            return
        self._desk.open.take_in_hand("")
        self._kind = None
        self._is_measuring = True
        self._pane.view.set_gesture(
            Measure(told=self._measures, left=self.put_down, snapper=self._snapper())
        )
        self.measuring.emit(True)
        self.drawn.emit(None)
        self._pane.focus_map()

    def _end_measuring(self) -> None:
        """Put the rule away."""
        if self._is_measuring:
            self._is_measuring = False
            self.measuring.emit(False)

    def _choose(self) -> None:
        """Let the hand choose among the marks."""
        self._pane.view.is_boundary_in_hand = False
        self._pane.view.set_gesture(
            Choose(find=self._find, chosen=self._take, order=self._in_order)
        )
        self._say()

    def _find(self, touch: Touch) -> str:
        """Return the key of the mark under a touch."""
        mark = self._pane.view.mark_at(touch)
        found = (guests.find(touch) for guests in self.guests)
        return mark.key if mark is not None else next((key for key in found if key), "")

    def _take(self, key: str) -> None:
        """Take a mark in hand."""
        if self._desk.open is not None and not any(one.take(key) for one in self.guests):
            self._desk.open.take_in_hand(key)

    def _in_order(self) -> list[tuple[str, Point]]:
        """Return the marks in reading order: by bands from the north, west to east."""
        if self._desk.open is None:
            return []
        places = []
        for mark in self._desk.open.place.marks:
            at = mark.geometry.representative_point()
            places.append((mark.key, (float(at.x), float(at.y))))
        places += [place for guests in self.guests for place in guests.order()]
        band = 120 * self._pane.view.outlook.px_m
        return sorted(places, key=lambda one: (-round(one[1][1] / band), one[1][0]))

    def _snapper(self, *, without: str = "") -> Snapper:
        """Return what corners snap to."""
        if self._desk.open is None:
            return Snapper()
        place = self._desk.open.place
        shapes = [mark.geometry for mark in place.marks if mark.key != without]
        return Snapper([place.boundary, *shapes])

    # What gestures tell

    def _drew(self, corners: tuple[Point, ...]) -> None:
        """Make a mark of the corners, and take it in hand."""
        one, kind = self._desk.open, self._kind
        if one is None or kind is None:
            return
        geometry = _fitting(kind, drawn_geometry(KINDS[kind].form, corners))
        mark = Mark(kind=kind, geometry=geometry, name=_first_name(kind, one.place.marks))
        self._kind = None
        self.drawn.emit(None)
        if self._desk.do(edits.add_mark(mark)):
            one.take_in_hand(mark.key)
        else:
            self._choose()

    def _left_drawing(self, corners: tuple[Point, ...]) -> None:
        """Keep what was drawn so far for when the person comes back."""
        if corners:
            self._drafts[self._kind] = corners
        self.put_down()
        if corners:
            self._pane.say("Put aside. Start the same kind again to go on with it.")

    def _refused(self, words: str, at: Point) -> None:
        """Tell at the place why a corner was not taken."""
        first, _, rest = words.partition(". ")
        self._desk.tell(SlipWords(title=first, body=rest, at_m=at, is_trouble=True, width=262))

    def _hand_changed(self) -> None:
        """Show the mark in hand with its corners, or empty the hand."""
        one = self._desk.open
        mark = one.in_hand if one is not None else None
        self._show_place()
        if mark is None:
            self._pane.view.show_trial(None)
            if self._kind is None and not self._is_measuring:
                self._choose()
            return
        self._kind = None
        self._end_measuring()
        self._pane.view.is_boundary_in_hand = False
        self._hold(mark)
        self._pane.focus_map()

    def _hold(self, mark: Mark) -> None:
        """Give the hand a mark."""
        self._trial = mark
        self._pane.view.show_trial(mark, mark.geometry)
        self._pane.view.set_gesture(
            Shape(
                mark.geometry,
                changed=self._reshaped,
                trying=self._trying,
                refused=self._refused,
                left=self._left_mark,
                snapper=self._snapper(without=mark.key),
            )
        )

    def _trying(self, geometry: BaseGeometry) -> None:
        """Show the mark where it is dragged."""
        mark = self._desk.open.in_hand if self._desk.open is not None else None
        if mark is None:
            return
        self._pane.view.show_trial(mark, geometry)
        if geometry.is_valid:
            self.tried.emit(replace(mark, geometry=geometry))

    def _reshaped(self, geometry: BaseGeometry, deed: str) -> None:
        """Keep what a drag or key did to the mark in hand."""
        mark = self._desk.open.in_hand if self._desk.open is not None else None
        self.tried.emit(None)
        if mark is not None:
            self._desk.do(edits.reshape_mark(mark, geometry, deed))

    def _reshaped_boundary(self, geometry: BaseGeometry, deed: str) -> None:
        """Keep what a drag did to the boundary."""
        whole = shapely.MultiPolygon(
            [part for part in shapely.get_parts(geometry) if part.geom_type == "Polygon"]
        )
        if self._desk.do(edits.set_boundary(whole, f"{deed} the boundary")):
            self.shape_boundary()

    def _left_mark(self, touch: Touch | None) -> None:
        """Put the mark down, and take up another that was clicked."""
        other = self._find(touch) if touch is not None else ""
        self.put_down()
        if other:
            self._take(other)

    def remove_in_hand(self) -> None:
        """Take the mark in hand away."""
        mark = self._desk.open.in_hand if self._desk.open is not None else None
        if mark is not None:
            self._desk.do(edits.remove_mark(mark))

    # What the map shows

    def _opened(self) -> None:
        """Show another property from its own corner."""
        one = self._desk.open
        self._drafts.clear()
        self._pane.close_slip()
        if one is not None:
            west, south, _, _ = one.place.boundary.bounds
            self._pane.view.show_origin(round(west), round(south))
            one.outlook = lambda: self._pane.view.outlook
        self.put_down()
        self._show_place()
        self.whole()

    def whole(self) -> None:
        """Look at the whole property."""
        one = self._desk.open
        if one is not None:
            margins = self._pane.free_margins()
            bounds = one.place.boundary.bounds
            self._pane.view.look(self._pane.view.outlook.fitted(bounds, margins))
            self._pane.view.was_moved_by_hand = False

    def _changed(self) -> None:
        """Show the property as it is now."""
        self._show_place()
        mark = self._desk.open.in_hand if self._desk.open is not None else None
        gesture = self._pane.view.gesture
        if mark is not None and not self._pane.view.hand.is_busy:
            chosen = gesture.chosen if isinstance(gesture, Shape) else None
            self._hold(mark)
            held = self._pane.view.gesture
            if isinstance(held, Shape) and isinstance(gesture, Shape):
                held.chosen = chosen
                held.keep_refusal_of(gesture)

    def _show_place(self) -> None:
        """Hand boundary and marks to the view."""
        one = self._desk.open
        mark = one.in_hand if one is not None else None
        self._pane.view.show_place(
            one.place if one is not None else None, in_hand=mark.key if mark is not None else ""
        )
        self.show_guests()

    def show_guests(self) -> None:
        """Say all that lies on the map, for those who hear it."""
        marks = self._desk.open.place.marks if self._desk.open is not None else ()
        said = [*map(said_mark, marks), *(said for one in self.guests for said in one.said())]
        self._pane.view.setAccessibleDescription(". ".join(said))

    def _look_again(self, outlook: Outlook) -> None:
        """Look where one was looking when the change was made."""
        self._pane.view.look(outlook)

    def _say(self) -> None:
        """Say what the hand can do now."""
        gesture = self._pane.view.gesture
        self._pane.say(self.idle_hint() if gesture.is_idle else gesture.hint)

    def _pointer_words(self) -> str:
        """Return what stands at the pointer: acres or length so far."""
        gesture = self._pane.view.gesture
        if not isinstance(gesture, Draw):
            return ""
        sketch = gesture.sketch
        corners = [*gesture.corners]
        if sketch.pointer_m is not None and corners:
            corners.append(sketch.pointer_m)
        units = system(self._desk.preferences.units)
        if gesture.form is Form.AREA and len(corners) > 2:
            return said_area(shapely.Polygon(corners).area, units)
        if gesture.form is Form.LINE and len(corners) > 1:
            return said_length(shapely.LineString(corners).length, units)
        return ""

    def _measures(self, points: tuple[Point, ...], is_closed: bool) -> str:
        """Return what the rule says."""
        one = self._desk.open
        if one is None:
            return ""
        units = system(self._desk.preferences.units)
        return said_measures(points, one.place.epsg, units, said_bearing, is_closed=is_closed)

    def _hides(self, box: QRectF) -> float:
        """Return how many marks a slip there would hide."""
        one = self._desk.open
        if one is None:
            return 0.0
        view = self._pane.view
        west, north = view.outlook.to_map(box.left(), box.top())
        east, south = view.outlook.to_map(box.right(), box.bottom())
        area = shapely.box(west, south, east, north)
        return float(sum(mark.geometry.intersects(area) for mark in one.place.marks))


def _fitting(kind: MarkKind, geometry: BaseGeometry) -> BaseGeometry:
    """Return the geometry in the type that the kind takes."""
    assert geometry.geom_type in GEOMETRIES[kind]
    return geometry


def _first_name(kind: MarkKind, marks: tuple[Mark, ...]) -> str:
    """Return the name of a new mark; small things begin without one."""
    named = (MarkKind.BED, MarkKind.FOOD, MarkKind.WAY_IN, MarkKind.KEEP_OFF, MarkKind.CORE)
    return unused_name(kind, marks) if kind in named else ""
