"""Tonight: which stand to sit, on which wind, and why."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

from PyQt5.QtCore import Qt
from PyQt5.QtGui import QKeyEvent
from PyQt5.QtWidgets import QVBoxLayout, QWidget

from funnelfinder.daylight import Half, legal_light
from funnelfinder.stands import Sit
from funnelfinder.units import said_clock, said_share

from ..canvas.stand_slip import said_shots
from ..controls import label, link, rule
from ..controls.wind_dial import Petal
from ..dialogs.forecasts import choose_forecast
from ..sit_feet import no_stands_foot, work_foot
from ..stand_words import petal_of, said_wind
from ..stops import Stop
from .hour_row import HourRow
from .later_pages import LaterPage
from .sit_row import SitRow
from .step import Foot, clear
from .wind_box import WindBox

if TYPE_CHECKING:
    from ..desk import Desk
    from ..forecasts import Forecasts
    from ..sits import SitWork
    from ..stand_map import StandMap

CAUTION = "Harness from ground to ground, haul line, tell someone; walk out with a light."
_FIRST = 6
#: From this height of the window the dial stands open at first [px].
_ROOMY_PX = 1100


class TonightPage(LaterPage):
    """The sits of an evening or morning, the best first."""

    name = "Tonight"
    icon = "wind"

    def __init__(
        self, desk: Desk, sits: SitWork, stand_map: StandMap, forecasts: Forecasts
    ) -> None:
        super().__init__(desk)
        self._sits, self._map, self.forecasts = sits, stand_map, forecasts
        self.hour = HourRow(desk)
        self.content.addWidget(self.hour)
        self.set_wind = link("", self._toggle_wind, tip="Set the wind by hand.")
        self.content.addWidget(self.set_wind)
        self.wind = WindBox(desk, sits)
        self.wind.hide()
        self.content.addWidget(self.wind)
        self.content.addWidget(
            link(
                "Open a forecast file…",
                self._choose,
                tip="Hourly forecast of the US weather service, as JSON. Or drop it here.",
            )
        )
        self.said_forecast = label("", "small")
        self.content.addWidget(self.said_forecast)
        self.content.addWidget(rule())
        self._body = QWidget()
        self._inner = QVBoxLayout(self._body)
        self._inner.setContentsMargins(0, 0, 0, 0)
        self._inner.setSpacing(2)
        self.content.addWidget(self._body)
        self.rows: dict[str, SitRow] = {}
        self._shows_all = False
        self._seen: object = None
        sits.changed.connect(self._sits_changed)
        forecasts.changed.connect(self._sits_changed)

    # What it is called, and how far it is

    def title(self) -> str:
        """Return when: tonight, or another day."""
        return "Which sit" if self.desk.open is None else self.name

    def words(self) -> str:
        """Say the sun's times and legal light."""
        trees = self._sits.trees
        one = self.desk.open
        if trees is None or one is None:
            return "Which stand to sit, on which wind."
        begin, end = legal_light(trees.day, one.place.settings.daylight)
        if self.desk.hour.half is Half.EVENING:
            sun, light = f"Sunset {said_clock(trees.day.sunset)}", f"until {said_clock(end)}"
        else:
            sun, light = f"Sunrise {said_clock(trees.day.sunrise)}", f"from {said_clock(begin)}"
        return f"{sun}, light as set {light}. Local law decides."

    def state_line(self) -> str:
        """Say the hour and the wind."""
        if not self._sits.spots:
            return "Pick spots first."
        wind = said_wind(self._sits.wind, is_metric=self.desk.is_metric)
        return f"{self.desk.hour.words[:1].upper()}{self.desk.hour.words[1:]}, {wind}."

    def foot(self) -> Foot:
        """Show the best sit, or take it along."""
        missing = work_foot(self.desk, self._sits) or no_stands_foot(self.desk, self._sits)
        if missing is not None:
            return missing
        sits = self._sits.sits
        if not sits:
            return Foot(line="Ranking the sits.", caution=CAUTION)
        best = sits[0]
        if self._sits.in_hand:
            return Foot(
                caution=CAUTION,
                button="Next: take them along",
                act=lambda: self.desk.go_to(Stop.TAKE_ALONG),
            )
        return Foot(
            line=_said_best(best),
            caution=CAUTION,
            button=f"Show {best.stand.name} on the map",
            act=lambda: self._sits.hold(best.stand.name),
        )

    def hint(self) -> str:
        """Say what the hand can do."""
        if not self._sits.stands:
            return ""
        return "<b>Click</b> a stand to see its scent and its way in."

    def entered(self) -> None:
        """Show the stands on the map."""
        self._seen = None
        self._shows_all = False
        self._map.show(True)
        self.wind.setVisible(self.window().height() >= _ROOMY_PX)

    def left(self) -> None:
        """Put them away."""
        self._map.show(False)

    def step_back(self) -> bool:
        """Put the stand in hand down."""
        is_held = bool(self._sits.in_hand)
        self._sits.hold("")
        return is_held

    def use_key(self, event: QKeyEvent) -> bool:
        """Walk the sits in their order."""
        names = [one.stand.name for one in self._sits.sits or ()]
        if event.key() not in (Qt.Key_PageDown, Qt.Key_PageUp) or not names:
            return False
        step = 1 if event.key() == Qt.Key_PageDown else -1
        here = self._sits.in_hand
        at = names.index(here) + step if here in names else (0 if step > 0 else -1)
        self._sits.hold(names[at % len(names)])
        return True

    # What the person does

    def _toggle_wind(self) -> None:
        """Show the dial, or hide it."""
        self.wind.setVisible(not self.wind.isVisibleTo(self))
        self._say_wind()

    def _choose(self) -> None:
        """Ask for a forecast file."""
        path = choose_forecast(self)
        if path is not None:
            self.open_forecast(path)

    def open_forecast(self, path: Path) -> None:
        """Take the wind from a forecast file."""
        self.forecasts.open(path)

    def _hold(self, name: str) -> None:
        """Take a stand in hand, or put it down."""
        self._sits.hold("" if name == self._sits.in_hand else name)

    def _show_all(self) -> None:
        """Show the sits beyond the first few."""
        self._shows_all = True
        self._seen = None
        self.refresh()

    # What is shown

    def _sits_changed(self) -> None:
        """Show new answers."""
        if self.isVisible():
            self.refresh()
            self.desk.hinted.emit()

    def _say_wind(self) -> None:
        """Say the wind on the way to the dial."""
        wind = said_wind(self._sits.wind, is_metric=self.desk.is_metric)
        is_open = self.wind.isVisibleTo(self)
        sky = self._sits.wind.sky.value
        said = f"{wind[:1].upper()}{wind[1:]}, {sky} sky"
        self.set_wind.setText(f"{said} – {'hide the dial' if is_open else 'change'}")

    def refresh(self) -> None:
        """Show the sits as they are now."""
        has_any = bool(self._sits.stands)
        for one in (self.hour, self.set_wind):
            one.setVisible(has_any)
        self._say_wind()
        self.wind.refresh(self._sits.in_hand)
        self.said_forecast.setText(self.forecasts.words)
        self.said_forecast.setVisible(bool(self.forecasts.words))
        state: Any = (id(self._sits.sits), self._sits.in_hand, self._shows_all)
        if state != self._seen:
            self._seen = state
            self._build()
        self.foot_changed.emit()

    def _build(self) -> None:
        """List the sits, the one in hand with its reasons."""
        clear(self._inner)
        self.rows.clear()
        sits = self._sits.sits
        if sits is None:
            if self._sits.stands:
                self._inner.addWidget(label("Ranking the sits.", "second"))
            return
        shown = sits if self._shows_all else sits[:_FIRST]
        for number, sit in enumerate(shown, start=1):
            row = SitRow(sit.stand.name)
            is_held = sit.stand.name == self._sits.in_hand
            row.show_sit(
                f"{number}  {sit.stand.name}",
                said_share(sit.passing.light_share),
                _said_line(sit),
                self._petal(sit),
            )
            row.setChecked(is_held)
            row.clicked.connect(lambda _checked=False, name=sit.stand.name: self._hold(name))
            self.rows[sit.stand.name] = row
            self._inner.addWidget(row)
            if is_held:
                for words in (*sit.why, said_shots(sit.stand)):
                    self._inner.addWidget(label(words, "second"))
                self._inner.addWidget(rule())
        if len(shown) < len(sits):
            self._inner.addWidget(link(f"{len(sits) - len(shown)} more", self._show_all))
        if self._sits.trees is not None:
            for words in self._sits.trees.notes:
                self._inner.addWidget(label(words, "small"))

    def _petal(self, sit: Sit) -> Petal:
        """Return the petal of a sit."""
        one = self.desk.open
        assert one is not None
        own = one.place.settings.stands
        return petal_of(sit.alerted_part, own.alerted_few_share, own.alerted_many_share)


def _said_line(sit: Sit) -> str:
    """Return a sit in a line under its name."""
    quiet = ""
    if sit.way is None:
        quiet = " No way in."
    elif not sit.way.is_quiet:
        quiet = " No quiet way in on this wind."
    rest = "" if sit.rest > 0.995 else f" Rested {100 * sit.rest:.0f} of 100."
    return f"in legal light; {said_share(sit.alerted_part)} of these smell you.{quiet}{rest}"


def _said_best(sit: Sit) -> str:
    """Return the best sit in a sentence."""
    if sit.worth <= 0:
        return f"No sit pays on this wind; {sit.stand.name} loses least."
    return f"{sit.stand.name} is the best of them on this wind."
