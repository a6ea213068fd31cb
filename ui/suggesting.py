"""Suggestions of food and beds: looked for when asked, drawn as guesses, taken one by one.

Nothing is computed from a suggestion. Taking one makes a mark; that can be undone, and then it is
a suggestion again.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any, Final

from PyQt5.QtCore import QObject, pyqtSignal
from PyQt5.QtGui import QPainter
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from funnelfinder.errors import FunnelFinderError
from funnelfinder.marks import MarkKind
from funnelfinder.suggestions import Suggestion

from . import edits
from .canvas.pane import MapPane
from .canvas.slip import SlipWords
from .canvas.suggestion_painter import ToScreen, paint_suggestions, suggestion_at
from .canvas.suggestion_slip import SuggestionSlip
from .desk import Desk
from .gestures import Point, Shape, Touch
from .guests import Guests
from .kinds import KINDS
from .map_work import MapWork
from .runs import Runs
from .stops import Stop
from .workers import BrokenWork, Ticket
from .workers.bring_tasks import suggest

#: Two outlines of a kind that share this much of their area are one suggestion.
_SAME: Final = 0.5
_KEY: Final = "suggestion "


class Suggesting(QObject):
    """The suggestions of the open property; ``changed`` tells that others are shown."""

    changed = pyqtSignal()

    def __init__(self, desk: Desk, pane: MapPane, map_work: MapWork, runs: Runs) -> None:
        super().__init__(desk)
        self._desk, self._pane, self._map_work, self._runs = desk, pane, map_work, runs
        self._found: tuple[Suggestion, ...] = ()
        self._thrown: dict[Path, list[Suggestion]] = {}
        self._ticket: Ticket | None = None
        self._asked_for: Any = None
        #: The number of the one whose slip lies open or that is being changed; -1 for none.
        self._in_hand = -1
        self._trial: BaseGeometry | None = None
        #: Whether suggestions were looked for and are not put away.
        self.is_open = False
        desk.opened.connect(self._opened)
        desk.changed.connect(self.changed)
        desk.went_to.connect(lambda _stop: self._show())
        pane.slip_closed.connect(self._slip_closed)
        pane.view.add_over(self._paint)
        map_work.guests.append(
            Guests(find=self._find, take=self._take, order=self._in_order, said=self._said)
        )

    # What there is

    @property
    def is_busy(self) -> bool:
        """Whether they are being looked for."""
        return self._ticket is not None

    @property
    def can_ask(self) -> bool:
        """Whether there is ground to look at."""
        one = self._desk.open
        return one is not None and one.grids is not None and not one.is_only_looking

    @property
    def shown(self) -> dict[int, Suggestion]:
        """The suggestions that are neither thrown away nor marked, by number."""
        one = self._desk.open
        if one is None or not self.is_open:
            return {}
        thrown = self._thrown.get(one.path, [])
        return {
            number: found
            for number, found in enumerate(self._found)
            if not any(_is_same(found, other) for other in thrown)
            and not any(
                found.geometry.intersects(mark.geometry) for mark in one.place.of_kind(found.kind)
            )
        }

    @property
    def n_thrown(self) -> int:
        """How many were thrown away in this sitting."""
        one = self._desk.open
        return len(self._thrown.get(one.path, [])) if one is not None else 0

    # Asking

    def ask(self) -> None:
        """Look for likely food and beds."""
        one = self._desk.open
        if one is None or not self.can_ask or self.is_busy:
            return
        if self._desk.work is not None:
            body = f"{self._desk.work.name} is under way. Ask again when it has ended."
            self._desk.tell(SlipWords(title="One thing at a time", body=body))
            return
        self._runs.lay()
        self._asked_for = one
        self._ticket = self._runs.worker.ask(suggest, one.place, one.path)
        self._ticket.done.connect(self._done)
        self._ticket.failed.connect(self._failed)
        self._ticket.stopped.connect(self._end)
        self._desk.begin_work("Looking for likely food and beds", self._runs.worker.stop)
        self.changed.emit()

    def put_away(self) -> None:
        """Take all suggestions off the map."""
        self._found, self.is_open = (), False
        self._leave()

    def bring_back(self) -> None:
        """Show those again that were thrown away."""
        one = self._desk.open
        if one is not None:
            self._thrown.pop(one.path, None)
        self._show()

    def _end(self) -> None:
        """Note that nobody looks any more."""
        self._ticket = None
        self._desk.end_work()
        self.changed.emit()

    def _done(self, found: tuple[Suggestion, ...]) -> None:
        """Show what was found."""
        self._end()
        if self._asked_for is not self._desk.open:
            return
        self._found, self.is_open = found, True
        self._show()
        if not self.shown:
            body = "There is no likely food or bed beyond what is marked or was thrown away."
            self._desk.tell(SlipWords(title="Nothing to suggest", body=body))

    def _failed(self, error: Exception) -> None:
        """Tell why nothing could be found."""
        self._end()
        if isinstance(error, BrokenWork) or not isinstance(error, FunnelFinderError):
            raise error
        self._desk.tell_error(error)

    # One of them

    def open_slip(self, number: int) -> None:
        """Lay the slip of a suggestion."""
        one = self.shown.get(number)
        if one is None:
            return
        content = SuggestionSlip()
        content.taken.connect(lambda: self.take(number))
        content.change.connect(lambda: self.change(number))
        content.thrown.connect(lambda: self.throw(number))
        at = one.geometry.representative_point()
        crop = f" Drawn as: {one.crop}." if one.crop else ""
        self._desk.tell(
            SlipWords(
                title=f"{KINDS[one.kind].word}? {one.name}",
                body=f"{one.why}{crop}",
                at_m=(float(at.x), float(at.y)),
                content=content,
                width=318,
            )
        )
        self._in_hand = number
        content.take_focus()
        self._pane.view.viewport().update()

    def take(self, number: int) -> None:
        """Make a mark of a suggestion."""
        one = self.shown.get(number)
        self._leave()
        if one is not None:
            self._desk.do(edits.add_mark(one.as_mark(), "take"))
        self._pane.focus_map()

    def throw(self, number: int) -> None:
        """Throw a suggestion away for this sitting."""
        one, place = self.shown.get(number), self._desk.open
        self._leave()
        if one is not None and place is not None:
            self._thrown.setdefault(place.path, []).append(one)
        self._show()
        self._pane.focus_map()

    def change(self, number: int) -> None:
        """Give the hand the corners of a suggestion; it stays one until it is taken."""
        one = self.shown.get(number)
        self._leave()
        if one is None:
            return
        self._in_hand = number
        self._pane.view.set_gesture(
            Shape(
                one.geometry,
                changed=lambda geometry, _deed: self._changed(number, geometry),
                trying=self._trying,
                refused=self._refused,
                left=lambda _touch: self._left(number),
            )
        )
        self._pane.focus_map()

    def _trying(self, geometry: BaseGeometry) -> None:
        """Show a suggestion where it is dragged."""
        self._trial = geometry

    def _changed(self, number: int, geometry: BaseGeometry) -> None:
        """Take another outline for a suggestion."""
        self._trial = None
        if isinstance(geometry, Polygon):
            every = list(self._found)
            every[number] = replace(every[number], geometry=geometry)
            self._found = tuple(every)
            self._show()

    def _refused(self, words: str, at: Point) -> None:
        """Tell at the place why a corner was not taken."""
        first, _, rest = words.partition(". ")
        self._desk.tell(SlipWords(title=first, body=rest, at_m=at, is_trouble=True, width=262))

    def _left(self, number: int) -> None:
        """Put the corners down and ask again whether it is to be taken."""
        self._leave()
        self._map_work.put_down()
        self.open_slip(number)

    def _leave(self) -> None:
        """Put the slip and the corners of a suggestion away."""
        self._in_hand, self._trial = -1, None
        self._pane.close_slip()
        self._show()

    # The map

    @property
    def _is_on_map(self) -> bool:
        """Whether suggestions lie on the map now."""
        return self._desk.here is Stop.MARKS and self._desk.open is not None

    def _find(self, touch: Touch) -> str:
        """Return the key of the suggestion under a touch."""
        if not self._is_on_map:
            return ""
        number = suggestion_at(self.shown, (touch.x_m, touch.y_m), touch.px_m)
        return f"{_KEY}{number}" if number >= 0 else ""

    def _take(self, key: str) -> bool:
        """Lay the slip of a suggestion by its key."""
        if not key.startswith(_KEY):
            return False
        self.open_slip(int(key.removeprefix(_KEY)))
        return True

    def _in_order(self) -> list[tuple[str, Point]]:
        """Return the suggestions with their middles."""
        if not self._is_on_map:
            return []
        middles = ((n, one.geometry.representative_point()) for n, one in self.shown.items())
        return [(f"{_KEY}{n}", (float(at.x), float(at.y))) for n, at in middles]

    def _said(self) -> list[str]:
        """Return the suggestions in words, for those who hear the map."""
        if not self._is_on_map:
            return []
        return [
            f"Suggested {KINDS[one.kind].word.lower()}, {one.name}" for one in self.shown.values()
        ]

    def _paint(self, painter: QPainter, to_screen: ToScreen) -> None:
        """Draw them."""
        if self._is_on_map and self.is_open:
            paint_suggestions(
                painter, to_screen, self.shown, in_hand=self._in_hand, trial=self._trial
            )

    def _show(self) -> None:
        """Show them as they are now."""
        self._map_work.show_guests()
        self._pane.view.viewport().update()
        self.changed.emit()
        self._desk.hinted.emit()

    def _slip_closed(self) -> None:
        """Note that a slip went; corners in the hand stay there."""
        if not isinstance(self._pane.view.gesture, Shape):
            self._in_hand = -1
            self._pane.view.viewport().update()

    def _opened(self) -> None:
        """Forget what was found on another property."""
        self._found, self.is_open = (), False
        self._in_hand, self._trial = -1, None
        self._show()


def _is_same(one: Suggestion, other: Suggestion) -> bool:
    """Return whether two suggestions are of one place and kind."""
    if one.kind is not other.kind:
        return False
    shared = float(one.geometry.intersection(other.geometry).area)
    return shared > _SAME * min(one.geometry.area, other.geometry.area)


def said_shown(shown: dict[int, Suggestion]) -> str:
    """Return how many suggestions lie on the map.

    Examples
    --------
    >>> said_shown({})
    'No suggestion is left.'
    """
    if not shown:
        return "No suggestion is left."
    foods = sum(one.kind is MarkKind.FOOD for one in shown.values())
    beds = len(shown) - foods
    parts = [f"{foods} food"] if foods else []
    parts += [f"{beds} bed{'' if beds == 1 else 's'}"] if beds else []
    return f"{' and '.join(parts)} suggested, drawn dashed. Click one to see why."
