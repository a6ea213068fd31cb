"""The almanac: the date moves the phase of the season, and the phase moves the trips."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING, Any, Final

import numpy as np
from PyQt5.QtCore import QObject, QTimer, pyqtSignal

from funnelfinder.analysis import Findings, Tally
from funnelfinder.declination import lon_lat_deg
from funnelfinder.errors import FunnelFinderError
from funnelfinder.marks import Property
from funnelfinder.season import Phase, peak_for, phase_on, words_for
from funnelfinder.sun import sun_day, zone_of
from funnelfinder.units import said_share

from . import edits
from .canvas.almanac_band import AFTER_DAYS, BEFORE_DAYS, AlmanacBand, Season, Sun
from .canvas.slip import SlipWords
from .workers import BrokenWork, start_job
from .workers.tasks import count_spots

if TYPE_CHECKING:
    from .main_window import MainWindow

#: The band moves on when the date comes this near to its end [days].
_EDGE_DAYS: Final = 10
#: Trips are walked for another phase once keys rest for so long [ms].
_REST_MS: Final = 350
#: Sun times are reckoned every so many days and are even between them.
_SUN_EVERY_DAYS: Final = 5
_LOW_BELOW: Final = 520
#: Spots that the slip of a phase tells of, where the map is so high.
_N_TOLD: Final = 6
_ROOMY_PX: Final = 540
_NARROW_BELOW: Final = 480


class Almanac(QObject):
    """Keeps band, date, phase and legend together.

    The phase that trips are run for is a choice of the property, which can be taken back: moving
    the date into another phase changes it, and taking that back moves the date.
    """

    #: Sun times were reckoned, for tests.
    sun_known = pyqtSignal()

    def __init__(self, window: MainWindow) -> None:
        super().__init__(window)
        self._desk, self._runs = window.desk, window.runs
        self._pane, self._fitting = window.map, window
        self.band = AlmanacBand(window.map)
        self.band.hide()
        self.today: Callable[[], date] = lambda: datetime.now().astimezone().date()
        self._suns: dict[Any, dict[date, Sun | None]] = {}
        self._asked: set[Any] = set()
        self._seen_phase = ""
        self._first: date | None = None
        self._is_moving = False
        self._phases_of: Any = None
        self._known_phases: tuple[Phase, ...] = ()
        self._compares: tuple[Property, str] | None = None
        self._rest = QTimer(self)
        self._rest.setSingleShot(True)
        self._rest.setInterval(_REST_MS)
        self._rest.timeout.connect(self._follow)
        self.band.line.picked.connect(self._pick)
        self.band.line.settled.connect(self._rest.start)
        self.band.line.home.connect(self._go_home)
        self.band.half_chosen.connect(lambda half: self._desk.hour.set(half=half))
        self._desk.opened.connect(self._opened)
        self._desk.changed.connect(self._changed)
        self._desk.hour.changed.connect(self._hour_changed)
        self._desk.preferences_changed.connect(self.show)
        window.following.walked.connect(self._count_again)
        window.ground_work.when = self.legend_words
        window.map.view.resized.connect(self._fit)
        self._ground = window.ground_work

    # What counts

    @property
    def _place(self) -> Property | None:
        """The open property where its peak is known."""
        one = self._desk.open
        return one.place if one is not None and one.place.peak_breeding else None

    def phase_of(self, place: Property, on: date) -> Phase:
        """Return the phase of a day."""
        velvet = place.season.velvet
        return phase_on(on, place.peak_breeding, place.settings.season, velvet=velvet)

    def legend_words(self) -> str:
        """Return what the legend says beside the figures: phase and light."""
        place = self._desk.open.place if self._desk.open is not None else None
        if place is None:
            return ""
        whole = "whole season" if place.peak_breeding else ""
        parts = [place.season.phase or whole]
        parts.append(self._ground.light_words)
        return ", ".join(filter(None, parts))

    # Changes

    def _opened(self) -> None:
        """Begin at today, or at the nearest day of the phase that the findings are of."""
        place, self._first = self._place, None
        self._rest.stop()
        self._compares = None
        self._seen_phase = place.season.phase if place is not None else ""
        if place is not None:
            self._move_into(place, self._seen_phase, self.today())
        self.show()

    def _changed(self) -> None:
        """Follow a change of the property: a phase that was taken back moves the date."""
        place = self._place
        phase = place.season.phase if place is not None else ""
        was, self._seen_phase = self._seen_phase, phase
        if place is not None and phase != was and phase:
            self._move_into(place, phase, self._desk.hour.on)
        self.show()
        self._ground.show_when()

    def _move_into(self, place: Property, phase: str, near: date) -> None:
        """Move the date to the day of a phase that is nearest to a day; trips are as they are."""
        days = (near + timedelta(days=side * far) for far in range(366) for side in (-1, 1))
        fitting = (day for day in days if not phase or self.phase_of(place, day).value == phase)
        self._is_moving = True
        self._desk.hour.set(on=next(fitting, near))
        self._is_moving = False

    def _hour_changed(self) -> None:
        """Show another date; trips follow once the hand rests."""
        self.show()
        self._ground.show_when()
        if not self.band.line.is_held and not self._is_moving:
            self._rest.start()

    def _pick(self, on: date) -> None:
        """Take a date that was pointed at."""
        self._desk.hour.set(on=on)

    def _go_home(self) -> None:
        """Go back to today."""
        self._first = None
        self._desk.hour.set(on=self.today())
        self.show()

    def _follow(self) -> None:
        """Run trips for the phase of the date, if it is another."""
        place = self._place
        if place is None or self.band.line.is_held:
            return
        phase = self.phase_of(place, self._desk.hour.on).value
        if phase != place.season.phase:
            self._seen_phase = phase
            before = place
            if self._desk.do(edits.set_phase(phase)):
                self._compares = (before, phase)

    # What a phase changed

    def _count_again(self) -> None:
        """Count the spots for a new phase, for the slip that says what it changed."""
        one = self._desk.open
        wanted, self._compares = self._compares, None
        if one is None or wanted is None or one.findings is None or not one.findings.clusters:
            return
        if one.place.season.phase != wanted[1] or self._runs.is_up_to_date:
            return
        place, findings = one.place, one.findings
        ticket = self._runs.worker.ask(count_spots, place, findings)
        ticket.done.connect(lambda tally: self._tell_phase(tally, place, findings))
        ticket.failed.connect(self._failed)

    def _tell_phase(self, tally: Tally, place: Property, findings: Findings) -> None:
        """Lay the slip of a phase: what deer do, and the spots that changed most."""
        one = self._desk.open
        if one is None or one.place is not place or one.findings is not findings:
            return
        phase = Phase(place.season.phase)
        changes = sorted(
            (
                (abs(tally.share_of([cluster.number]) - cluster.share), cluster)
                for cluster in findings.clusters
            ),
            key=lambda change: (-change[0], change[1].number),
        )
        rows = [
            (
                f"{cluster.number} {cluster.name}",
                f"{100 * cluster.share:.0f} → {said_share(tally.share_of([cluster.number]))}",
            )
            for _, cluster in changes[: _N_TOLD if self._pane.height() > _ROOMY_PX else 2]
        ]
        self._desk.tell(
            SlipWords(
                title=f"{phase.value.capitalize()}",
                body=words_for(phase).words,
                rows=rows,
                actions=((f"Find the spots of this phase{self._runs.said_s}", self._runs.run),),
                width=318,
            )
        )

    def _failed(self, error: Exception) -> None:
        """Go on without the slip; what is wrong with the trips is told by the walk itself."""
        if isinstance(error, BrokenWork):
            raise error

    # The band

    def show(self) -> None:
        """Show the band as it is now, or hide it where there is no peak or no room."""
        place = self._place
        if place is None:
            self._fit()
            return
        season = self._season(place)
        hour = self._desk.hour
        phase = self.phase_of(place, hour.on)
        self.band.show_hour(season, hour.on, hour.half, self.today(), words_for(phase).words)
        self._fit()

    def _season(self, place: Property) -> Season:
        """Return the days of the band; it moves on where the date comes to its end."""
        on = self._desk.hour.on
        n_days = BEFORE_DAYS + AFTER_DAYS + 1
        first = self._first
        if first is None:
            first = peak_for(on, place.peak_breeding) - timedelta(days=BEFORE_DAYS)
        last = first + timedelta(days=n_days - 1)
        if on < first + timedelta(days=1):
            first = on - timedelta(days=_EDGE_DAYS)
        elif on > last - timedelta(days=1):
            first = on - timedelta(days=n_days - 1 - _EDGE_DAYS)
        self._first = first
        days = [first + timedelta(days=k) for k in range(n_days)]
        known = self._sun_of(place, days)
        return Season(
            first=first,
            phases=self._phases(place, days),
            suns=tuple(known.get(day) for day in days),
        )

    def _phases(self, place: Property, days: list[date]) -> tuple[Phase, ...]:
        """Return the phase of each day; kept until what they hang on changes."""
        key = (days[0], place.peak_breeding, place.season.velvet, place.settings.season)
        if self._phases_of != key:
            self._phases_of = key
            self._known_phases = tuple(self.phase_of(place, day) for day in days)
        return self._known_phases

    def _sun_of(self, place: Property, days: list[date]) -> dict[date, Sun | None]:
        """Return the sun's times that are known; those that are not are reckoned in a thread."""
        middle = place.boundary.centroid
        key = (round(middle.x, -3), round(middle.y, -3), place.epsg, place.time_zone)
        known = self._suns.setdefault(key, {})
        missing = [day for day in days if day not in known]
        ask = (key, days[0])
        if missing and ask not in self._asked:
            self._asked.add(ask)
            zone = place.time_zone
            at = (middle.x, middle.y, place.epsg)
            start_job(
                lambda _progress: (key, suns(at, zone, missing)),
                done=self._take_suns,
                failed=self._desk.tell_error,
            )
        return known

    def _take_suns(self, made: tuple[Any, dict[date, Sun | None]]) -> None:
        """Draw the sun's times."""
        key, known = made
        self._suns.setdefault(key, {}).update(known)
        self.show()
        self.sun_known.emit()

    def _fit(self) -> None:
        """Give the band its room at the foot of the map, where there is some."""
        window = self._fitting
        scale = self.band.high() / 64
        is_low = window.height() < _LOW_BELOW * scale
        is_narrow = self._pane.width() < _NARROW_BELOW * scale
        has_room = self._place is not None and not is_low and not is_narrow
        self._pane.set_foot(self.band if has_room else None, self.band.high())
        if not has_room:
            self.band.hide()


def suns(at: tuple[float, float, int], zone_name: str, days: list[date]) -> dict[date, Sun | None]:
    """Return the sun's times by the place's own clock for days in order; None where it stays up.

    Between days that are reckoned, the sun's times move evenly; the clock is that of each day, so
    that a change of the clock is a step on its own day.

    Parameters
    ----------
    at : (float, float, int)
        Easting and northing [m], and the code of the UTM zone.
    zone_name : str
        As America/New_York; empty guesses it from the longitude.
    days : list of date
        In order, without a gap.
    """
    lon, lat = (float(v) for v in lon_lat_deg(np.array([[at[0], at[1]]]), at[2])[0])
    zone, _ = zone_of(zone_name, lon)
    wanted = sorted({*days[::_SUN_EVERY_DAYS], days[-1]})
    rows: list[tuple[int, float, float]] = []
    for day in wanted:
        try:
            sun = sun_day(lat, lon, day, zone)
        except FunnelFinderError:
            return dict.fromkeys(days)
        rows.append((day.toordinal(), _standard_min(sun.sunrise), _standard_min(sun.sunset)))
    ordinals, rises, sets = (np.array(part, dtype=np.float64) for part in zip(*rows, strict=True))
    found: dict[date, Sun | None] = {}
    for day in days:
        noon = datetime(day.year, day.month, day.day, 12, tzinfo=zone)
        shift = (noon.utcoffset() or timedelta()).total_seconds() / 60
        found[day] = Sun(
            rise_min=float(np.interp(day.toordinal(), ordinals, rises)) + shift,
            set_min=float(np.interp(day.toordinal(), ordinals, sets)) + shift,
        )
    return found


def _standard_min(edge: datetime) -> float:
    """Return a time in minutes after midnight of its own day, without the clock's offset."""
    offset = (edge.utcoffset() or timedelta()).total_seconds() / 60
    return edge.hour * 60 + edge.minute + edge.second / 60 - offset
