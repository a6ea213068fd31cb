"""Stands: from which tree, what it catches in legal light, on which wind, by which way in."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from PyQt5.QtCore import Qt
from PyQt5.QtGui import QKeyEvent
from PyQt5.QtWidgets import QTableWidget, QTableWidgetItem, QVBoxLayout, QWidget

from funnelfinder.daylight import Half
from funnelfinder.marks import MarkKind
from funnelfinder.scrapes import Cluster
from funnelfinder.stands import WINDS_DEG, Stand
from funnelfinder.units import said_length, said_share
from funnelfinder.wind import said_compass

from ..canvas.stand_slip import HARNESS, caution_frame, said_shots
from ..controls import label, link, rule, semibold
from ..controls.wind_dial import Petal
from ..look.said import said_count, system
from ..sit_feet import no_stands_foot, work_foot
from ..stand_words import (
    petal_of,
    said_camera,
    said_legs,
    said_light,
    said_smell,
    said_together,
    said_tree,
    said_way,
    said_way_out,
    said_wind,
)
from ..stops import Stop
from .hour_row import HourRow
from .later_pages import LaterPage
from .sit_row import SitRow
from .step import Foot, clear
from .wind_box import WindBox

if TYPE_CHECKING:
    from ..desk import Desk
    from ..sits import SitWork
    from ..stand_map import StandMap

_LAW = "Stand law, hours and distances are your agency's to rule: read its digest."


class StandsPage(LaterPage):
    """The stands of the picked spots, and all of the one in hand."""

    name = "Stands"
    icon = "stand"

    def __init__(self, desk: Desk, sits: SitWork, stand_map: StandMap) -> None:
        super().__init__(desk)
        self.sits = self._sits = sits
        self._map = stand_map
        self.rows: dict[str, SitRow] = {}
        self.back = link("‹ All stands", lambda: sits.hold(""), tip="Back to the list. Key Esc.")
        self.content.addWidget(self.back)
        self._body = QWidget()
        self._inner = QVBoxLayout(self._body)
        self._inner.setContentsMargins(0, 0, 0, 0)
        self._inner.setSpacing(4)
        self.content.addWidget(self._body)
        self.hour = HourRow(desk)
        self.wind = WindBox(desk, sits)
        self.content.addWidget(rule())
        self.content.addWidget(self.hour)
        self.content.addWidget(self.wind)
        self._below = QWidget()
        self._under = QVBoxLayout(self._below)
        self._under.setContentsMargins(0, 0, 0, 0)
        self._under.setSpacing(6)
        self.content.addWidget(self._below)
        self._seen: object = None
        sits.changed.connect(self._sits_changed)

    # What it is called, and how far it is

    def title(self) -> str:
        """Return the stand in hand, or the page."""
        return self._sits.in_hand or self.name

    def words(self) -> str:
        """Say how many there are, or how far the work is."""
        if not self._sits.spots:
            return "Trees to sit in, for the spots that you picked."
        stand = self._sits.stand(self._sits.in_hand)
        if stand is not None:
            spot = self._sits.spot_of(stand)
            name = f" {spot.name}" if spot is not None else ""
            return f"For spot {stand.cluster}{name}."
        n = len(self._sits.stands)
        if not n:
            return ""
        wind = said_wind(self._sits.wind, is_metric=self.desk.is_metric)
        spots = said_count(len(self._sits.spots), "spot")
        return f"<b>{said_count(n, 'tree')}</b> for {spots}. {wind}, {self.desk.hour.words}."

    def state_line(self) -> str:
        """Say how many are chosen."""
        one = self.desk.open
        if one is None or not any(pick.is_taken for pick in one.place.picks):
            return "Pick spots first."
        n = sum(stand.is_taken for stand in one.place.stands)
        return f"{said_count(n, 'tree')} chosen by you." if n else "Trees for your spots."

    def foot(self) -> Foot:
        """Look for trees, or go on to tonight."""
        busy = work_foot(self.desk, self._sits) or no_stands_foot(self.desk, self._sits)
        if busy is not None:
            return busy
        stand = self._sits.stand(self._sits.in_hand)
        if stand is not None and not stand.is_chosen:
            return Foot(
                line=f"{stand.name} is proposed.",
                button=f"Take {stand.name}",
                act=self._map.take,
            )
        n = sum(one.is_chosen for one in self._sits.stands)
        return Foot(
            line=f"{n} of {len(self._sits.stands)} trees are your own choice.",
            button="Next: take them along",
            act=lambda: self.desk.go_to(Stop.TAKE_ALONG),
        )

    def hint(self) -> str:
        """Say what the hand can do."""
        if not self._sits.stands:
            return ""
        return "<b>Click</b> a stand to see its winds and its way in."

    def entered(self) -> None:
        """Show the stands on the map."""
        self._seen = None
        self._map.show(True)

    def left(self) -> None:
        """Put them away."""
        self._map.show(False)

    def step_back(self) -> bool:
        """Put the stand in hand down."""
        is_held = bool(self._sits.in_hand)
        self._sits.hold("")
        return is_held

    def use_key(self, event: QKeyEvent) -> bool:
        """Walk the stands, take one, put one, or go back to the list."""
        names = [one.name for one in self._sits.stands]
        if event.key() in (Qt.Key_PageDown, Qt.Key_PageUp) and names:
            step = 1 if event.key() == Qt.Key_PageDown else -1
            here = self._sits.in_hand
            at = names.index(here) + step if here in names else (0 if step > 0 else -1)
            self._sits.hold(names[at % len(names)])
        elif event.key() == Qt.Key_Space and self._sits.in_hand:
            stand = self._sits.stand(self._sits.in_hand)
            if stand is not None:
                self._map.take(not stand.is_chosen)
        elif event.text().upper() == "P" and self._sits.spots:
            self._map.put(by_keys=True)
        else:
            return False
        return True

    # What is shown

    def _sits_changed(self) -> None:
        """Show new answers."""
        if self.isVisible():
            self.refresh()
            self.desk.hinted.emit()

    def refresh(self) -> None:
        """Show the stands as they are now."""
        held = self._sits.stand(self._sits.in_hand)
        units = self.desk.preferences.units
        seen = (held, self._sits.stands, self._sits.trees, self._sits.spots, units)
        if not _same(seen, self._seen):
            self._seen = seen
            self._build(held)
        has_any = bool(self._sits.stands)
        self.back.setVisible(held is not None)
        self.hour.setVisible(has_any)
        self.wind.setVisible(has_any)
        self.wind.refresh(held.name if held is not None else "")
        self._fill(held)
        self.foot_changed.emit()

    def _build(self, held: Stand | None) -> None:
        """Make the list, or the page of the stand in hand, anew."""
        clear(self._inner)
        clear(self._under)
        self.rows.clear()
        if held is not None:
            self._build_one(held)
            return
        if self._sits.trees is None:
            return
        for spot in self._sits.spots:
            self._build_spot(spot)
        put = link("Put one where I click", self._map.put, tip="A tree of your own. Key P.")
        self._inner.addWidget(put)
        self._together = label("", "second")
        self._inner.addWidget(self._together)
        for words in self._sits.trees.notes:
            self._under.addWidget(label(words, "small"))

    def _build_spot(self, spot: Cluster) -> None:
        """List the stands of a spot."""
        self._inner.addWidget(label(f"<b>Spot {spot.number}</b> {spot.name}", "plain"))
        own = [one for one in self._sits.stands if one.cluster == spot.number]
        for stand in own:
            row = SitRow(stand.name)
            row.clicked.connect(lambda _checked=False, name=stand.name: self._sits.hold(name))
            self.rows[stand.name] = row
            self._inner.addWidget(row)
        if not own:
            self._inner.addWidget(
                label("No tree fits: none in cover, in range and off the route.", "second")
            )
            self._inner.addWidget(link("Put one by hand", partial(self._map.put, spot.number)))

    def _build_one(self, stand: Stand) -> None:
        """Lay out all that is known of a stand."""
        units = system(self.desk.preferences.units)
        frame, _ = caution_frame(f"{HARNESS} {said_shots(stand)} {_LAW}")
        self._inner.addWidget(frame)
        self._light = label("", "plain")
        self._sit = label("", "plain")
        self._inner.addWidget(self._light)
        self._inner.addWidget(self._sit)
        if stand.faults:
            words = f"<b>Against a rule:</b> {'; '.join(stand.faults)}."
            self._inner.addWidget(label(words, "second"))
        self._ways = (label("", "second"), label("", "second"))
        self.table = _numbers_table()
        self.table.hide()
        self.numbers = link(
            "The numbers of all winds", self._show_table, tip="Of 100 that come in legal light."
        )
        for one in (self.numbers, self.table, rule(), *self._ways, rule()):
            self._under.addWidget(one)
        for words in (*said_legs(stand, units), said_tree(stand, units)):
            self._under.addWidget(label(words, "second"))
        spot = self._sits.spot_of(stand)
        if spot is not None:
            self._under.addWidget(label(said_camera(spot), "second"))
        self._under.addWidget(rule())
        self._add_others(stand)

    def _add_others(self, stand: Stand) -> None:
        """List the other trees of the spot, and the ways to one of the person's own."""
        trees = self._sits.trees
        every = (*self._sits.stands, *(trees.others if trees is not None else ()))
        others = [one for one in every if one.cluster == stand.cluster and one.name != stand.name]
        if others:
            self._under.addWidget(label("<b>Other trees for this spot</b>", "plain"))
        units = system(self.desk.preferences.units)
        for one in others:
            near = said_length(min(leg.length_m for leg in one.legs), units)
            tip = f"{said_share(one.beside_share)} trips pass the tree itself."
            words = f"{one.name}, {near} to a scrape"
            self._under.addWidget(link(words, partial(self._sits.hold, one.name), tip=tip))
        self._under.addWidget(
            link("Put one by hand", partial(self._map.put, stand.cluster), tip="Key P.")
        )

    def _fill(self, held: Stand | None) -> None:
        """Show figures that follow wind and hour."""
        wind = said_wind(self._sits.wind, is_metric=self.desk.is_metric)
        for name, row in self.rows.items():
            sit = self._sits.sit(name)
            figure = said_share(sit.passing.light_share) if sit is not None else ""
            smell = (
                f"{said_share(sit.alerted_part)} of these smell you." if sit is not None else "…"
            )
            chosen = self._sits.stand(name)
            own = " Your choice." if chosen is not None and chosen.is_chosen else ""
            row.show_sit(name, figure, f"in legal light. {smell}{own}", self._petal(name))
        if held is None:
            if self._sits.trees is not None:
                self._together.setText(semibold(self._said_together()))
            return
        sit = self._sits.sit(held.name)
        trees, half = self._sits.trees, self.desk.hour.half
        light = trees.light.get((held.cluster, half)) if trees is not None else None
        self._light.setText(
            semibold(said_light(light, half, trees.day)) if light is not None and trees else ""
        )
        self._light.setVisible(light is not None)
        self._sit.setText(said_smell(sit, wind))
        one = self.desk.open
        has_gate = one is not None and any(one.place.of_kind(MarkKind.WAY_IN))
        for words, said in zip(
            self._ways, (said_way(sit, has_gate=has_gate), said_way_out(sit)), strict=True
        ):
            words.setText(semibold(said))
            words.setVisible(bool(said))
        self._fill_table(held)

    def _said_together(self) -> str:
        """Return which few stands leave a sit on the most winds."""
        one, table = self.desk.open, self._sits.table
        if one is None or table is None:
            return ""
        return said_together(table, one.place.settings.stands)

    def _petal(self, name: str) -> Petal:
        """Return the petal of a stand on the wind that is set."""
        one, sit = self.desk.open, self._sits.sit(name)
        if one is None or sit is None:
            return Petal.UNKNOWN
        own = one.place.settings.stands
        return petal_of(sit.alerted_part, own.alerted_few_share, own.alerted_many_share)

    def _show_table(self) -> None:
        """Show the numbers, or hide them."""
        is_open = self.table.isVisibleTo(self)
        self.table.setVisible(not is_open)
        self.numbers.setText("The numbers of all winds" if is_open else "Hide the numbers")

    def _fill_table(self, stand: Stand) -> None:
        """Write for each wind, evening and morning, which part of its trips in light is alerted."""
        table = self._sits.table
        names = [one.name for one in table.stands] if table is not None else []
        is_known = table is not None and stand.name in names
        self.numbers.setEnabled(is_known)
        if table is None or not is_known:
            return
        row = names.index(stand.name)
        for number in range(len(WINDS_DEG)):
            for column in range(len(Half)):
                share = float(table.alerted_part[row, number, column])
                item = self.table.item(number, column)
                if item is not None:
                    item.setText(said_share(share))


def _numbers_table() -> QTableWidget:
    """Return the table of the numbers behind the petals: a row for each wind."""
    table = QTableWidget(len(WINDS_DEG), len(Half))
    table.setAccessibleName("Of 100 trips in legal light, those that smell you first, by wind")
    table.setEditTriggers(QTableWidget.NoEditTriggers)
    table.setHorizontalHeaderLabels([half.value.capitalize() for half in Half])
    table.setVerticalHeaderLabels([said_compass(deg) for deg in WINDS_DEG])
    header = table.horizontalHeader()
    header.setSectionResizeMode(header.Stretch)
    for row in range(table.rowCount()):
        for column in range(table.columnCount()):
            item = QTableWidgetItem("")
            item.setTextAlignment(int(Qt.AlignRight | Qt.AlignVCenter))
            table.setItem(row, column, item)
    height = table.horizontalHeader().sizeHint().height() + 4
    table.setFixedHeight(height + sum(table.rowHeight(row) for row in range(table.rowCount())))
    table.setVerticalScrollBarPolicy(Qt.ScrollBarAlwaysOff)
    return table


def _same(one: object, other: object) -> bool:
    """Return whether two states are the same, arrays by identity."""
    if not isinstance(one, tuple) or not isinstance(other, tuple) or len(one) != len(other):
        return False
    return all(a is b or a == b for a, b in zip(one, other, strict=True))
