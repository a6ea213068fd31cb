"""Spots: where the ground squeezes trips, and where scrapes catch them together."""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING

from PyQt5.QtCore import Qt
from PyQt5.QtWidgets import QGridLayout, QVBoxLayout, QWidget

from funnelfinder.scrapes import Cluster
from funnelfinder.units import said_length, said_share
from funnelfinder.waypoints import why_pinch, why_staging

from ..controls import label, link, rule, semibold
from ..look import text_scale
from ..look.said import said_count, system
from ..stops import Stop
from .chosen import ChosenPage
from .light_row import LightRow
from .spot_row import SpotRow, close_up
from .step import Foot, StepPanel, clear

if TYPE_CHECKING:
    from ..canvas.pane import MapPane
    from ..daylight_work import Daylight
    from ..runs import Runs
    from ..spot_work import SpotWork
    from ..tending import Tending

_TWO_COLUMNS_FROM = 340
_NUMBERS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")


class SpotsPanel(StepPanel):
    """The list of spots, what was left out, what more was found, and how they are chosen."""

    stop = Stop.SPOTS
    title = "Spots"

    def __init__(
        self,
        desk: object,
        *,
        runs: Runs,
        tending: Tending,
        spot_work: SpotWork,
        daylight: Daylight,
        pane: MapPane,
        open_table: Callable[[], None],
    ) -> None:
        super().__init__(desk)  # type: ignore[arg-type]
        self._runs, self._tending, self._work, self._pane = runs, tending, spot_work, pane
        self._open_table, self._daylight = open_table, daylight
        self._page = "list"
        self._seen: object = None
        self.rows: dict[int, SpotRow] = {}
        self.chosen: ChosenPage | None = None
        tending.counted.connect(self.refresh)
        spot_work.hand_changed.connect(self._show_hand)

    # Foot and hint

    def foot(self) -> Foot:
        """Go on, bring up to date, or go back to what is missing."""
        work, one = self.desk.work, self.desk.open
        if work is not None:
            return Foot(
                line=f"{work.words}.", button="Stop", act=self.desk.stop_work, share=work.share
            )
        if one is None or one.findings is None:
            if self._runs.can_run:
                return Foot(
                    line="All that spots need is here.", button="Find the spots", act=self._runs.run
                )
            return Foot(
                line="Spots come from trips.",
                button="Back to the trips",
                act=lambda: self.desk.go_to(Stop.TRIPS),
            )
        if not self._runs.is_up_to_date:
            return Foot(
                line=f"{self._runs.said_change} since these spots were found.",
                button=f"Bring up to date{self._runs.said_s}",
                act=self._runs.run,
                is_ready=self._runs.can_run,
            )
        n = len(self._tending.taken)
        if not n:
            has_any = bool(self._tending.clusters)
            best = min(5, len(self._tending.clusters))
            return Foot(
                line="Nothing picked yet.",
                button=f"Take the best {_NUMBERS[best]}" if has_any else "Show what was left out",
                act=(
                    (lambda: self._tending.take_best(5))
                    if has_any
                    else (lambda: self.show_page("left out"))
                ),
            )
        return Foot(
            line="The kind of each: hourglass pinch, dots edge, half-disc staging.",
            button=f"Next: take {n} along",
            act=lambda: self.desk.go_to(Stop.TAKE_ALONG),
        )

    def hint(self) -> str:
        """Say what the hand can do."""
        if self.desk.open is None or self.desk.open.findings is None:
            return ""
        return "<b>Click</b> a spot to see why it is there."

    def entered(self) -> None:
        """Begin with the list."""
        self.show_page("list")

    def left(self) -> None:
        """Put down what was in hand."""
        self._work.shows_more = self._work.shows_left_out = False

    # Pages

    def show_page(self, name: str) -> None:
        """Show the list, what was left out, what more was found, or how they are chosen."""
        self._page = name
        self._work.shows_more = name == "more"
        self._work.shows_left_out = name == "left out"
        self._seen = None
        self.refresh()
        self._pane.view.viewport().update()

    def refresh(self) -> None:
        """Show the property as it is now."""
        one = self.desk.open
        self.foot_changed.emit()
        if one is None:
            return
        if self._page == "chosen" and self.chosen is not None and self._seen == "chosen":
            self.chosen.refresh()
            return
        state = self._state()
        if state != self._seen:
            self._seen = state
            self._build()
        self._say()
        self._show_hand()

    def _state(self) -> object:
        """Return what the content is made of; equal states need no new widgets."""
        one = self.desk.open
        assert one is not None
        if self._page == "chosen":
            return "chosen"
        shown = tuple(one for one in self._tending.clusters if not self._tending.is_left(one))
        left = tuple(pick for pick in one.place.picks if not pick.is_taken)
        key = one.findings.fingerprint if one.findings is not None else ""
        return (self._page, key, repr(shown), left, self.desk.preferences.units)

    def _build(self) -> None:
        """Make the page anew."""
        clear(self.content)
        self.rows.clear()
        self.chosen = None
        one = self.desk.open
        if self._page == "chosen":
            self._add_back("How they are chosen")
            self.chosen = ChosenPage(self.desk, self._open_table)
            self.content.addWidget(self.chosen)
            self.chosen.refresh()
        elif one is None or one.findings is None:
            self.content.addWidget(label("", "plain"))
        elif self._page == "left out":
            self._build_left_out()
        elif self._page == "more":
            self._build_more()
        else:
            self._build_list()

    def _add_back(self, title: str) -> None:
        """Add the way back to the list."""
        self.content.addWidget(link("‹ Spots", lambda: self.show_page("list")))
        self.content.addWidget(label(title, "head"))

    def _say(self) -> None:
        """Say what the picked spots catch together."""
        one = self.desk.open
        if self._page != "list":
            self.say("")
            return
        if one is None or one.findings is None:
            self.say("Spots are places where the ground narrows many trips.")
            return
        if not self._tending.clusters:
            self.say(self._said_nearest_miss())
            return
        taken = self._tending.taken
        if not taken:
            n = len(self._tending.clusters)
            self.say(f"{said_count(n, 'spot')} found, the best first. Nothing picked yet.")
            return
        share = self._tending.share_of(taken)
        n = len(taken)
        number = _NUMBERS[n] if n < len(_NUMBERS) else str(n)
        reach = self._work.said_reach()
        if share is None:
            total = "<b>Counting</b> what the picked catch together."
            if not self._runs.is_up_to_date:
                total = f"The <b>{number}</b> picked were found before the last change."
            self.words.setText(semibold(total))
        else:
            self.words.setText(
                semibold(
                    f"<b>{said_share(share)} trips</b> pass within {reach} of the {number} picked. "
                    "Chosen together, so that each catches trips the others miss."
                )
            )
        self.words.show()

    def _said_nearest_miss(self) -> str:
        """Return why there is no spot."""
        one = self.desk.open
        assert one is not None
        assert one.findings is not None
        left = one.findings.left_out
        miss = f" Nearest miss: {left[0].words}" if left else ""
        return f"No place passed the rules.{miss}"

    # The list

    def _build_list(self) -> None:
        """List the spots, then the ways to more."""
        one = self.desk.open
        assert one is not None
        assert one.findings is not None
        shown = [one for one in self._tending.clusters if not self._tending.is_left(one)]
        for cluster in shown:
            row = SpotRow(cluster, close_up(self._pane.view, cluster))
            row.ticked.connect(self._tick)
            row.chosen.connect(self._work.hold)
            self.rows[cluster.number] = row
        self.content.addWidget(_stacked(list(self.rows.values())))
        self.light = LightRow(self.desk, self._daylight)
        self.content.addWidget(self.light)
        self._add_ways()

    def _add_ways(self) -> None:
        """Add the ways to what else there is."""
        one = self.desk.open
        assert one is not None
        assert one.findings is not None
        n_more = len(one.findings.pinch_points) + len(one.findings.staging_spots)
        n_left = len(one.findings.left_out) + sum(not pick.is_taken for pick in one.place.picks)
        holder = QWidget()
        grid = QGridLayout(holder)
        grid.setContentsMargins(0, 0, 0, 0)
        n_columns = 2 if self.width() >= _TWO_COLUMNS_FROM * text_scale() else 1
        grid.setHorizontalSpacing(10)
        grid.setVerticalSpacing(0)
        ways = (
            (f"{n_more} more found", lambda: self.show_page("more"), "Pinch points, staging."),
            (
                f"{n_left} left out by a rule",
                lambda: self.show_page("left out"),
                "Which rule, and by how much.",
            ),
            ("Put one where I click", self._work.place, "A spot of your own. Key P."),
            (
                "How they are chosen",
                lambda: self.show_page("chosen"),
                "Every setting in plain words.",
            ),
        )
        for number, (words, act, tip) in enumerate(ways):
            grid.addWidget(
                link(words, act, tip=tip), number // n_columns, number % n_columns, Qt.AlignLeft
            )
        self.content.addWidget(holder)

    def _tick(self, number: int, is_taken: bool) -> None:
        """Take a spot along or not, and say what is missing without it."""
        cluster = self._work.cluster(number)
        if cluster is not None:
            self._tending.take(cluster, is_taken=is_taken)

    def _show_hand(self, _number: int = 0) -> None:
        """Show which spots are taken and which is in hand."""
        most = max((one.share_high for one in self._known_ranges()), default=0.0)
        shares = [one.share for one in self._tending.clusters]
        full = max([most, 0.25, *shares]) * 1.05
        for cluster in self._tending.clusters:
            row = self.rows.get(cluster.number)
            if row is not None:
                row.show_state(
                    is_taken=self._tending.is_taken(cluster),
                    is_held=cluster.number == self._work.in_hand,
                    full=full,
                )

    def _known_ranges(self) -> list[Cluster]:
        """Return the spots whose range is known."""
        return [one for one in self._tending.clusters if not math.isnan(one.share_high)]

    # Left out, and more

    def _build_left_out(self) -> None:
        """List the places that a rule or the person left out."""
        one = self.desk.open
        assert one is not None
        assert one.findings is not None
        self._add_back("Left out")
        for number, place in enumerate(one.findings.left_out):
            if number:
                self.content.addWidget(rule())
            words = f"<b>{said_share(place.share)} {place.trips}.</b> {place.words}"
            self.content.addWidget(label(words, "plain"))
            self.content.addWidget(
                link(
                    "Take it anyway",
                    partial(self._take_anyway, place.x_m, place.y_m, place.rule),
                    tip="It is kept with that note.",
                )
            )
        for cluster in self._tending.clusters:
            if self._tending.is_left(cluster):
                self.content.addWidget(rule())
                share = f"{said_share(cluster.share)} {cluster.trips}"
                self.content.addWidget(label(f"<b>{cluster.name}</b>, {share}: by you."))
                self.content.addWidget(
                    link("Put it back", partial(self._tending.take, cluster, is_taken=True))
                )
        if not one.findings.left_out and all(pick.is_taken for pick in one.place.picks):
            self.content.addWidget(label("No rule left out a place with many trips.", "plain"))

    def _take_anyway(self, x_m: float, y_m: float, rule_name: str) -> None:
        """Take a place that a rule left out, with a note of the rule."""
        self._tending.put(x_m, y_m, note=f"Mine, against {rule_name}")
        self.show_page("list")

    def _build_more(self) -> None:
        """List pinch points and staging spots."""
        one = self.desk.open
        assert one is not None
        assert one.findings is not None
        units = system(self.desk.preferences.units)
        self._add_back("More found")
        if not one.findings.pinch_points and not one.findings.staging_spots:
            self.content.addWidget(label("Nothing squeezes trips here.", "plain"))
        for number, pinch in enumerate(one.findings.pinch_points, start=1):
            head = f"<b>Pinch {number}</b>: {said_share(pinch.share)} trips, "
            width = said_length(pinch.width_m, units)
            self.content.addWidget(
                label(f"{head}{width} wide, {pinch.squeeze:.1f} times tighter.", "plain")
            )
            self.content.addWidget(label(why_pinch(pinch), "small"))
            self._add_show(pinch.x_m, pinch.y_m)
        for number, spot in enumerate(one.findings.staging_spots, start=1):
            words = f"<b>Staging {number}</b>: {said_share(spot.share)} {spot.trips}."
            self.content.addWidget(label(words, "plain"))
            self.content.addWidget(label(why_staging(spot), "small"))
            self._add_show(spot.x_m, spot.y_m)

    def _add_show(self, x_m: float, y_m: float) -> None:
        """Add the way to a place on the map, and to a spot there."""
        self.content.addWidget(
            link("Put a spot here", lambda: self._put_here(x_m, y_m), tip="As one of your own.")
        )
        self.content.addWidget(rule())

    def _put_here(self, x_m: float, y_m: float) -> None:
        """Put a spot at a pinch point or staging spot."""
        self._tending.put(x_m, y_m)
        self.show_page("list")


def _stacked(rows: list[SpotRow]) -> QWidget:
    """Return rows one below the other, a hairline between them."""
    holder = QWidget()
    column = QVBoxLayout(holder)
    column.setContentsMargins(0, 0, 0, 0)
    column.setSpacing(2)
    for row in rows:
        column.addWidget(row)
        column.addWidget(rule())
    return holder
