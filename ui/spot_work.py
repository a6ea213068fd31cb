"""Spots on the map: which is in hand, what its slip says, and putting one by hand."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

from PyQt5.QtCore import QObject, QPointF, QRectF, pyqtSignal
from PyQt5.QtGui import QPainter

from funnelfinder.pinch_points import PinchPoint
from funnelfinder.scrapes import Cluster, ClusterKind, middle_m
from funnelfinder.units import said_length, said_share
from funnelfinder.waypoints import NEAR_PINCH_M

from .canvas.pane import MapPane
from .canvas.slip import SlipWords
from .canvas.spot_painter import SpotScene, anchor_m, disc_at, paint_spots, spot_at
from .canvas.spot_slip import SpotSlip
from .desk import Desk
from .gestures import Choose, Place, Point, Touch
from .guests import Guests
from .look.said import system
from .map_work import MapWork
from .stops import Stop
from .tending import Tending

_PLACING = "<b>Click</b> where the spot is to be. Escape leaves it."
_MARK = "mark:"


class SpotWork(QObject):
    """Draws the spots and holds one of them.

    ``hand_changed`` tells the number of the spot in hand, 0 for none.
    """

    hand_changed = pyqtSignal(int)

    def __init__(self, desk: Desk, pane: MapPane, tending: Tending, map_work: MapWork) -> None:
        super().__init__(desk)
        self._desk, self._pane, self._tending, self._map_work = desk, pane, tending, map_work
        self.in_hand = 0
        self._pointing: tuple[Point, str, bool] | None = None
        #: What else the steps want to see.
        self.shows_more = self.shows_left_out = False
        self.shows_single_trips = False
        self.names: dict[int, str] = {}
        #: Says how a spot's trips come in legal light; set by who knows.
        self.said_light: Callable[[Cluster], str] = lambda cluster: ""
        pane.view.add_over(self._paint)
        map_work.guests.append(Guests(said=lambda: [*map(_said_spot, self.scene.clusters)]))
        self._hides_marks = pane.hides
        pane.hides = self._hides
        tending.judged.connect(self._judged)
        tending.counted.connect(self._redraw)
        desk.went_to.connect(self._went_to)
        desk.layers_changed.connect(lambda _name: self._redraw())
        desk.changed.connect(self._changed)
        desk.opened.connect(lambda: self.hold(0))
        pane.slip_closed.connect(self._slip_closed)

    # What is drawn

    @property
    def scene(self) -> SpotScene:
        """What the map shows of the spots at this step."""
        one = self._desk.open
        if one is None or one.findings is None:
            return SpotScene()
        here, findings = self._desk.here, one.findings
        single = findings.drawn_m if self.shows_single_trips and here is Stop.TRIPS else ()
        if here not in (Stop.SPOTS, Stop.TAKE_ALONG):
            return SpotScene(single_trips_m=single)
        is_along = here is Stop.TAKE_ALONG
        clusters = self._tending.taken if is_along else self._tending.clusters
        shown = [cluster for cluster in clusters if not self._tending.is_left(cluster)]
        held = self.cluster(self.in_hand)
        wants_more = self.shows_more and not is_along
        wants_left = self.shows_left_out or self._layer("left out")
        left_out = findings.left_out if not is_along and wants_left else ()
        return SpotScene(
            clusters=shown,
            taken=frozenset(cluster.number for cluster in self._tending.taken),
            in_hand=self.in_hand,
            reach_m=one.place.settings.scrapes.reach_m,
            squeeze=self.pinch_of(held) if held is not None else None,
            pinch_points=findings.pinch_points if wants_more else (),
            staging=findings.staging_spots if wants_more else (),
            left_out=left_out,
            pointing=self._pointing,
            names=self.names if is_along else {},
        )

    def _layer(self, name: str) -> bool:
        """Return whether a layer is shown; those that Show does not know are."""
        layer = self._desk.preferences.layers.get(name)
        return layer is None or layer.is_shown

    def _paint(self, painter: QPainter, to_screen: object) -> None:
        """Draw over the marks."""
        if not self._pane.view.is_passage_held_back:
            paint_spots(painter, to_screen, self.scene)  # type: ignore[arg-type]

    def _hides(self, box: QRectF) -> float:
        """Return how many marks and spots a slip there would hide."""
        view = self._pane.view
        spots = sum(
            box.contains(disc_at(cluster, view.to_screen)) for cluster in self.scene.clusters
        )
        return self._hides_marks(box) + 2.0 * spots

    def _redraw(self) -> None:
        """Draw again."""
        self._pane.view.viewport().update()

    def cluster(self, number: int) -> Cluster | None:
        """Return the spot of a number."""
        return next((one for one in self._tending.clusters if one.number == number), None)

    def pinch_of(self, cluster: Cluster) -> PinchPoint | None:
        """Return the pinch point that squeezes the trips of a spot."""
        one = self._desk.open
        if one is None or one.findings is None or cluster.kind is not ClusterKind.PINCH:
            return None
        near = [
            (min(math.dist((pinch.x_m, pinch.y_m), at) for at in cluster.scrapes_m), pinch)
            for pinch in one.findings.pinch_points
        ]
        far, best = min(near, key=lambda pair: pair[0], default=(math.inf, None))
        return best if far <= NEAR_PINCH_M else None

    # The spot in hand

    def hold(self, number: int, *, with_slip: bool = True) -> None:
        """Take a spot in hand; 0 puts it down."""
        changed = number != self.in_hand
        self.in_hand = number
        cluster = self.cluster(number)
        if cluster is None:
            self.in_hand = 0
            if changed and self._pane.slip is not None and self._holds_spot_slip():
                self._pane.close_slip()
        elif with_slip and self._desk.here is Stop.SPOTS:
            self._bring_into_view(cluster)
            self._lay_slip(cluster)
        self._redraw()
        if changed:
            self.hand_changed.emit(self.in_hand)

    def step(self, by: int) -> None:
        """Take the next or the last spot in hand."""
        numbers = [one.number for one in self.scene.clusters]
        if not numbers:
            return
        if self.in_hand in numbers:
            self.hold(numbers[(numbers.index(self.in_hand) + by) % len(numbers)])
        else:
            self.hold(numbers[0 if by > 0 else -1])

    def toggle(self) -> None:
        """Take the spot in hand along, or not."""
        cluster = self.cluster(self.in_hand)
        if cluster is not None:
            self._tending.take(cluster, is_taken=not self._tending.is_taken(cluster))

    def _bring_into_view(self, cluster: Cluster) -> None:
        """Move the map only if the spot is hidden."""
        view = self._pane.view
        at = view.to_screen(anchor_m(cluster))
        room = self._pane.rect().adjusted(20, 20, -20, -20)
        if not room.contains(at.toPoint()):
            x_m, y_m = middle_m(cluster)
            view.look(replace(view.outlook, x_m=x_m, y_m=y_m))

    def _holds_spot_slip(self) -> bool:
        """Return whether the slip on the map is that of a spot."""
        slip = self._pane.slip
        return slip is not None and isinstance(slip.words.content, SpotSlip)

    def _lay_slip(self, cluster: Cluster) -> None:
        """Lay the slip that says why a spot is there and how sure."""
        one = self._desk.open
        if one is None:
            return
        content = SpotSlip(
            cluster,
            self.pinch_of(cluster),
            reach_m=one.place.settings.scrapes.reach_m,
            units=system(self._desk.preferences.units),
            is_taken=self._tending.is_taken(cluster),
        )
        content.show_light(self.said_light(cluster))
        content.ticked.connect(lambda is_taken, number=cluster.number: self._tick(number, is_taken))
        content.moved.connect(lambda number=cluster.number: self.move(number))
        content.left_out.connect(lambda number=cluster.number: self._leave(number))
        self._desk.tell(
            SlipWords(
                title=f"{cluster.number}  {cluster.name}",
                content=content,
                at_m=anchor_m(cluster),
                width=304,
            )
        )

    def show_light(self) -> None:
        """Say on the slip how the spot's trips come in legal light."""
        slip, cluster = self._pane.slip, self.cluster(self.in_hand)
        if slip is not None and cluster is not None and self._holds_spot_slip():
            content = slip.words.content
            assert isinstance(content, SpotSlip)
            content.show_light(self.said_light(cluster))
            slip.fit()

    def _tick(self, number: int, is_taken: bool) -> None:
        """Take a spot along or not."""
        cluster = self.cluster(number)
        if cluster is not None:
            self._tending.take(cluster, is_taken=is_taken)

    def _leave(self, number: int) -> None:
        """Leave a spot out and say what the others catch."""
        cluster = self.cluster(number)
        if cluster is None:
            return
        self.hold(0)
        self._tending.leave_out(cluster)
        share = self._tending.share_of(self._tending.taken)
        words = f"Without {cluster.name}: {said_share(share)}." if share is not None else ""
        one = self._desk.open
        assert one is not None
        self._desk.tell(
            SlipWords(
                title="Left out",
                body=f"{words} The next run looks for another place.".strip(),
                actions=(("Put it back", one.undo),),
                width=270,
            )
        )

    def _changed(self) -> None:
        """Keep hand and slip in step with the property."""
        if self.in_hand and self.cluster(self.in_hand) is None:
            self.hold(0)
        slip = self._pane.slip
        if slip is not None and isinstance(slip.words.content, SpotSlip):
            cluster = self.cluster(slip.words.content.number)
            if cluster is not None:
                slip.words.content.show_taken(self._tending.is_taken(cluster))
        self._redraw()

    def _slip_closed(self) -> None:
        """Leave the spot in hand; only its slip went."""
        self._redraw()

    # The hand on the map

    def _went_to(self, stop: Stop) -> None:
        """Give the hand spots to choose from at the steps that show them."""
        if stop not in (Stop.SPOTS, Stop.TAKE_ALONG):
            self.hold(0)
            self.stop_placing()
            return
        if self._holds_spot_slip() and stop is not Stop.SPOTS:
            self._pane.close_slip()
        self.choose()

    def choose(self) -> None:
        """Let the hand choose among spots, then marks."""
        self._pointing = None
        self._pane.view.set_gesture(
            Choose(find=self._find, chosen=self._chosen, order=self._in_order)
        )
        self._redraw()

    def _find(self, touch: Touch) -> str:
        """Return the spot or mark under a touch."""
        view = self._pane.view
        number = spot_at(self.scene, view.to_screen(touch.at), view.to_screen)
        if number:
            return str(number)
        if self._desk.here is Stop.TAKE_ALONG:
            return ""
        mark = view.mark_at(touch)
        return f"{_MARK}{mark.key}" if mark is not None else ""

    def _chosen(self, key: str) -> None:
        """Take a spot in hand, or go to a mark."""
        one = self._desk.open
        if key.startswith(_MARK):
            if one is not None:
                one.take_in_hand(key.removeprefix(_MARK))
        elif key:
            self.hold(int(key))

    def _in_order(self) -> list[tuple[str, Point]]:
        """Return the spots in order, for Tab."""
        return [(str(one.number), middle_m(one)) for one in self.scene.clusters]

    def place(self, *, by_keys: bool = False) -> None:
        """Begin to put a spot by hand."""
        self._begin_placing(self._put, by_keys=by_keys)

    def move(self, number: int) -> None:
        """Begin to move a spot."""
        cluster = self.cluster(number)
        if cluster is None:
            return

        def done(at: Point) -> None:
            self.stop_placing()
            self._tending.move(cluster, *at)
            self.hold(0)

        self._begin_placing(done, by_keys=False)

    def _begin_placing(self, done: object, *, by_keys: bool) -> None:
        """Give the hand a hollow disc."""
        view = self._pane.view
        self._pane.close_slip()
        view.set_gesture(
            Place(
                done=done,  # type: ignore[arg-type]
                pointed=self._point,
                left=self.stop_placing,
                cross_m=view.hand.middle().at if by_keys else None,
                hint=_PLACING,
            )
        )
        self._pane.focus_map()

    def stop_placing(self) -> None:
        """Empty the hand."""
        if isinstance(self._pane.view.gesture, Place):
            self._pointing = None
            if self._desk.here in (Stop.SPOTS, Stop.TAKE_ALONG):
                self.choose()
            else:
                self._map_work.put_down()

    def _put(self, at: Point) -> None:
        """Put a spot where the hand is."""
        self.stop_placing()
        self._tending.put(*at)

    def _point(self, at: Point | None) -> None:
        """Ask what a place would catch."""
        if at is None:
            self._pointing = None
        else:
            words, is_forbidden = self._pointing[1:] if self._pointing is not None else ("", False)
            self._pointing = (at, words, is_forbidden)
            self._tending.judge(*at)
        self._redraw()

    def _judged(self, x_m: float, y_m: float, share: float, words: str) -> None:
        """Say at the pointer what a place would catch, or which rule forbids it."""
        if not isinstance(self._pane.view.gesture, Place) or self._pointing is None:
            return
        said = f"{words[:1].upper()}{words[1:]}" if words else f"{said_share(share)} here"
        self._pointing = (self._pointing[0], f"{said}.", bool(words))
        self._redraw()

    def screen_of(self, number: int) -> QPointF | None:
        """Return where the disc of a spot is on the map, for tests and the keyboard."""
        cluster = self.cluster(number)
        return disc_at(cluster, self._pane.view.to_screen) if cluster is not None else None

    def said_reach(self) -> str:
        """Return the reach in words."""
        one = self._desk.open
        if one is None:
            return ""
        return said_length(one.place.settings.scrapes.reach_m, system(self._desk.preferences.units))


def _said_spot(cluster: Cluster) -> str:
    """Return a spot as a screen reader says it."""
    return f"Spot {cluster.number}, {cluster.name}, {said_share(cluster.share)} {cluster.trips}"
