"""Stands on the map: which are drawn, which is in hand, its slip, and putting one by hand."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from time import monotonic
from typing import Final

from PyQt5.QtCore import QObject, QTimer
from PyQt5.QtGui import QPainter
from PyQt5.QtWidgets import QApplication, QStyle

from funnelfinder.marks import MarkKind
from funnelfinder.scrapes import Cluster, middle_m
from funnelfinder.stands import JudgedStand, Stand, pick_by_hand

from .canvas.pane import MapPane
from .canvas.scent_dots import ScentDots, scent_dots
from .canvas.slip import Slip, SlipWords
from .canvas.stand_painter import StandScene, paint_stands, stand_at
from .canvas.stand_slip import StandSlip
from .desk import Desk
from .gestures import Choose, Place, Point, Touch
from .guests import Guests
from .look.said import system
from .map_work import MapWork
from .sits import SitWork
from .stand_edits import leave_stand, move_stand, put_stand, take_stand, untake_stand
from .stand_words import said_pointed, said_sit, said_way, said_wind
from .stops import Stop

_PLACING: Final = "<b>Click</b> the tree. Escape leaves it."
#: Scent drifts for so long after a change, then lies still; one round of a dot takes so long [s].
_DRIFTS_S: Final = 4.0
_ROUND_S: Final = 2.4
_FRAME_MS: Final = 80
#: Below this height of the map the slip leaves the way to the column [px].
_LOW_PX: Final = 420
_SLIP_PX: Final = 318
_SLIP_EDGE_PX: Final = 44
#: "Closer" shows the nearest scrape this far from the tree [px].
_LEG_PX: Final = 64.0


class StandMap(QObject):
    """Draws the stands while a page shows them, and holds one of them."""

    def __init__(self, desk: Desk, pane: MapPane, sits: SitWork, map_work: MapWork) -> None:
        super().__init__(desk)
        self._desk, self._pane, self._sits, self._map_work = desk, pane, sits, map_work
        self.is_shown = False
        self.scene = StandScene()
        self._pointing: tuple[Point, str, bool] | None = None
        self._wanted_key = ""
        self._scent_of: object = None
        self._dots: ScentDots | None = None
        self._begun = 0.0
        self._drift = QTimer(self)
        self._drift.setInterval(_FRAME_MS)
        self._drift.timeout.connect(self._drift_on)
        pane.view.add_over(self._paint)
        map_work.guests.append(Guests(said=self._said))
        sits.changed.connect(self._changed)
        sits.hand_changed.connect(self._hand_changed)
        sits.judged.connect(self._judged)
        desk.went_to.connect(lambda stop: self.show(False) if stop is not Stop.LATER else None)
        desk.opened.connect(lambda: self.show(False))

    # What is drawn

    def show(self, is_shown: bool) -> None:
        """Show the stands and give the hand them to choose from, or put them away."""
        if is_shown == self.is_shown:
            return
        self.is_shown = is_shown
        self._pointing = None
        self._sits.want(is_shown)
        if is_shown:
            self.choose()
        else:
            self._sits.hold("")
            self._drift.stop()
            self._close_slip()
            self._map_work.put_down()
        self._changed()

    def _changed(self) -> None:
        """Put the scene together anew."""
        self._find_wanted()
        self.scene = self._make_scene() if self.is_shown else StandScene()
        self._show_slip_words()
        self._map_work.show_guests()
        self._pane.view.viewport().update()

    def _make_scene(self) -> StandScene:
        """Return what the map shows."""
        held = self._sits.stand(self._sits.in_hand)
        sit = self._sits.sit(self._sits.in_hand)
        spot = self._sits.spot_of(held) if held is not None else None
        trees = self._sits.trees
        others = [
            one for one in (trees.others if trees else ()) if spot and one.cluster == spot.number
        ]
        self._take_scent()
        return StandScene(
            spots=self._sits.spots,
            stands=self._sits.stands,
            others=others,
            in_hand=self._sits.in_hand,
            way_in=sit.way.points_m if sit is not None and sit.way is not None else None,
            way_out=sit.way_out.points_m if sit is not None and sit.way_out is not None else None,
            camera=spot.camera_m if spot is not None else None,
            scent=self._dots if held is not None else None,
            pointing=self._pointing,
        )

    def _said(self) -> list[str]:
        """Return the stands as a screen reader says them."""
        return [f"Stand {one.name}, spot {one.cluster}" for one in self.scene.stands]

    def _take_scent(self) -> None:
        """Spread the dots of another scent, and let them drift for a while."""
        scent = self._sits.scent
        if scent is self._scent_of:
            return
        self._scent_of = scent
        self._dots = None
        if scent is not None:
            self._dots = scent_dots(scent.share, scent.at_m, scent.cell_m)
            self._begun = monotonic()
            if _may_move():
                self._drift.start()

    def _drift_on(self) -> None:
        """Draw the next picture of the drift."""
        if monotonic() - self._begun > _DRIFTS_S or not self.is_shown:
            self._drift.stop()
        self._pane.view.viewport().update()

    def _paint(self, painter: QPainter, to_screen: Callable[[Point], object]) -> None:
        """Draw over the marks."""
        if self.is_shown:
            turn = min(monotonic() - self._begun, _DRIFTS_S) / _ROUND_S % 1.0
            paint_stands(painter, to_screen, self.scene, turn=turn)  # type: ignore[arg-type]

    # The hand

    def choose(self) -> None:
        """Let the hand choose among stands."""
        self._pointing = None
        self._pane.view.set_gesture(
            Choose(find=self._find, chosen=self._sits.hold, order=self._in_order)
        )
        self._changed()

    def _find(self, touch: Touch) -> str:
        """Return the stand under a touch."""
        view = self._pane.view
        return stand_at(self.scene, view.to_screen(touch.at), view.to_screen)

    def _in_order(self) -> list[tuple[str, Point]]:
        """Return the stands in order, for Tab."""
        return [(one.name, (one.x_m, one.y_m)) for one in self.scene.stands]

    def _hand_changed(self, name: str) -> None:
        """Lay the slip of the stand in hand, and bring it into view."""
        stand = self._sits.stand(name)
        if not self.is_shown or stand is None:
            self._close_slip()
            return
        view = self._pane.view
        at = view.to_screen((stand.x_m, stand.y_m)).toPoint()
        if not self._pane.rect().adjusted(30, 30, -30, -30).contains(at):
            view.look(replace(view.outlook, x_m=stand.x_m, y_m=stand.y_m))
        self._lay_slip(stand)

    # The slip

    def _lay_slip(self, stand: Stand) -> None:
        """Lay the slip of a stand."""
        content = StandSlip(stand.name)
        content.ticked.connect(self.take)
        content.moved.connect(self.move)
        content.closer.connect(self.come_closer)
        content.left_out.connect(self.leave)
        spot = self._sits.spot_of(stand)
        title = f"{stand.name}, for spot {stand.cluster}"
        self._fill(content, stand)
        slip = self._desk.tell(
            SlipWords(
                title=f"{title} {spot.name}" if spot is not None else title,
                content=content,
                at_m=(stand.x_m, stand.y_m),
                width=min(_SLIP_PX, max(self._pane.width() - _SLIP_EDGE_PX, 200)),
            )
        )
        if slip is not None:
            self._keep_in_sight(slip, stand)

    def _keep_in_sight(self, slip: Slip, stand: Stand) -> None:
        """Move the map where its slip would lie over the stand: in small windows."""
        view = self._pane.view
        at = view.to_screen((stand.x_m, stand.y_m)).toPoint()
        if not slip.geometry().contains(at):
            return
        beside = (slip.geometry().right() + self._pane.tools.geometry().left()) / 2
        outlook = view.outlook
        view.look(replace(outlook, x_m=outlook.x_m + (at.x() - beside) * outlook.px_m))

    def _fill(self, content: StandSlip, stand: Stand) -> None:
        """Say what is known of a stand now."""
        one = self._desk.open
        sit = self._sits.sit(stand.name)
        wind = said_wind(self._sits.wind, is_metric=self._desk.is_metric)
        has_gate = one is not None and any(one.place.of_kind(MarkKind.WAY_IN))
        is_low = self._pane.height() < _LOW_PX
        content.show_stand(
            stand,
            catch=said_sit(sit, wind),
            way="" if is_low else said_way(sit, has_gate=has_gate),
        )

    def _show_slip_words(self) -> None:
        """Keep the slip in step."""
        slip = self._pane.slip
        if slip is None or not isinstance(slip.words.content, StandSlip):
            return
        stand = self._sits.stand(slip.words.content.name)
        if stand is not None:
            self._fill(slip.words.content, stand)
            slip.fit()
            self._pane.lay_out()

    def _close_slip(self) -> None:
        """Take the slip of a stand away."""
        slip = self._pane.slip
        if slip is not None and isinstance(slip.words.content, StandSlip):
            self._pane.close_slip()

    # Deeds

    def _held(self) -> tuple[Stand, Cluster] | None:
        """Return the stand in hand and the spot that it hunts."""
        stand = self._sits.stand(self._sits.in_hand)
        spot = self._sits.spot_of(stand) if stand is not None else None
        return (stand, spot) if stand is not None and spot is not None else None

    def take(self, is_taken: bool = True) -> None:
        """Take the stand in hand, or take that back."""
        held = self._held()
        if held is not None:
            stand, spot = held
            self._desk.do(take_stand(stand, spot) if is_taken else untake_stand(stand))

    def leave(self) -> None:
        """Leave the stand in hand out."""
        held = self._held()
        if held is not None:
            self._desk.do(leave_stand(*held))

    def come_closer(self) -> None:
        """Look so close that tree and scrapes stand apart."""
        held = self._held()
        if held is not None:
            stand = held[0]
            near_m = max(min(leg.length_m for leg in stand.legs), 1.0)
            view = self._pane.view
            view.was_moved_by_hand = True
            view.look(replace(view.outlook, x_m=stand.x_m, y_m=stand.y_m, px_m=near_m / _LEG_PX))
            self._pane.lay_out()

    def move(self) -> None:
        """Begin to move the stand in hand."""
        held = self._held()
        if held is None:
            return
        stand, spot = held

        def done(at: Point) -> None:
            self.choose()
            edit, self._wanted_key = move_stand(stand, spot, *at)
            self._desk.do(edit)

        self._begin_placing(done, spot.number, by_keys=False)

    def put(self, spot: int | None = None, *, by_keys: bool = False) -> None:
        """Begin to put a stand by hand, for a spot or for the nearest one."""

        def done(at: Point) -> None:
            self.choose()
            own = _nearest(self._sits.spots, at, spot)
            if own is not None:
                pick = pick_by_hand(*at, own)
                self._wanted_key = pick.key
                self._desk.do(put_stand(pick))

        self._begin_placing(done, spot, by_keys=by_keys)

    def _begin_placing(
        self, done: Callable[[Point], None], spot: int | None, *, by_keys: bool
    ) -> None:
        """Give the hand a hollow square."""
        view = self._pane.view
        self._pane.close_slip()
        self._spot = spot
        view.set_gesture(
            Place(
                done=done,
                pointed=self._point,
                left=self.choose,
                cross_m=view.hand.middle().at if by_keys else None,
                hint=_PLACING,
            )
        )
        self._pane.focus_map()

    _spot: int | None = None

    def _point(self, at: Point | None) -> None:
        """Ask what a place is worth."""
        if at is None:
            self._pointing = None
        else:
            words, is_forbidden = self._pointing[1:] if self._pointing is not None else ("", False)
            self._pointing = (at, words, is_forbidden)
            self._sits.judge(at, self._spot)
        self.scene = replace(self.scene, pointing=self._pointing)
        self._pane.view.viewport().update()

    def _judged(self, answer: JudgedStand | None) -> None:
        """Say at the pointer what a place is worth, or which rule forbids it."""
        if not isinstance(self._pane.view.gesture, Place) or self._pointing is None:
            return
        if answer is not None:
            words, is_forbidden = said_pointed(answer, system(self._desk.preferences.units))
            self._pointing = (self._pointing[0], words, is_forbidden)
        self.scene = replace(self.scene, pointing=self._pointing)
        self._pane.view.viewport().update()

    def _find_wanted(self) -> None:
        """Take the stand in hand that was put or moved last, once it is known."""
        if not self._wanted_key or self._sits.trees is None:
            return
        found = next((one for one in self._sits.stands if one.key == self._wanted_key), None)
        if found is not None:
            self._wanted_key = ""
            self._sits.hold(found.name)


def _nearest(spots: tuple[Cluster, ...], at: Point, number: int | None) -> Cluster | None:
    """Return the spot of a number, or the one nearest to a place."""
    own = [one for one in spots if number in (None, one.number)]

    def far(spot: Cluster) -> float:
        x_m, y_m = middle_m(spot)
        return (x_m - at[0]) ** 2 + (y_m - at[1]) ** 2

    return min(own, key=far, default=None)


def _may_move() -> bool:
    """Return whether the system lets things on the screen move."""
    style = QApplication.style()
    return style is not None and style.styleHint(QStyle.SH_Widget_Animate) != 0
