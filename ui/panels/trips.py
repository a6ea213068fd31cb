"""Trips: how far deer stray, how hard the ground is hunted, and who walks where."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Final

from PyQt5.QtCore import QRectF, QSize, Qt
from PyQt5.QtGui import QColor, QFontMetricsF, QPainter, QPaintEvent
from PyQt5.QtWidgets import QHBoxLayout, QSizePolicy, QSlider, QVBoxLayout, QWidget

from funnelfinder.defaults import Pressure, Settings, entries
from funnelfinder.units import YARD_M, said_length, said_share

from .. import edits
from ..controls import Segments, Tick, WanderPicture, label, link, rule
from ..look import colours
from ..look.fonts import font, scaled
from ..look.said import said_count, system
from ..stops import Stop
from .light_row import LightRow
from .step import Foot, StepPanel, clear

if TYPE_CHECKING:
    from ..daylight_work import Daylight
    from ..following import Following
    from ..runs import Runs
    from ..spot_work import SpotWork

#: Deer on the way to feed walk about so fast [m/min] (judgement).
_WALK_M_MIN: Final = 12.0
#: The way between the two ends of the small drawing [yd].
_DRAWN_YD: Final = 400.0


class PairRow(QWidget):
    """One pair of bed and food: how far, how long, how many."""

    def __init__(self, bed: str, food: str, length_m: float, share: float, units: object) -> None:
        super().__init__()
        self._first = f"{bed} → {food}"
        minutes = f"{length_m / _WALK_M_MIN:.0f} min"
        self._second = f"{said_length(length_m, units)}, {minutes}"  # type: ignore[arg-type]
        self._figure = said_share(share)
        self.setAccessibleName(f"{bed} to {food}, {self._second}, {self._figure} trips")
        self.setSizePolicy(QSizePolicy.Expanding, QSizePolicy.Fixed)

    def sizeHint(self) -> QSize:
        """Return the height of two lines."""
        return QSize(240, scaled(16) + scaled(15) + 22)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw names, figure, and a hairline under them."""
        painter = QPainter(self)
        try:
            painter.setFont(font(16, bold=True))
            metrics = QFontMetricsF(painter.font())
            room = self.width() - metrics.horizontalAdvance(self._figure) - 10
            painter.setPen(QColor(colours.INK))
            line = scaled(16) + 6.0
            first = QRectF(0, 4, room, line)
            right = QRectF(0, 4, self.width(), line)
            painter.drawText(right, int(Qt.AlignRight | Qt.AlignVCenter), self._figure)
            painter.setFont(font(16))
            metrics = QFontMetricsF(painter.font())
            words = metrics.elidedText(self._first, Qt.ElideMiddle, room)
            painter.drawText(first, int(Qt.AlignLeft | Qt.AlignVCenter), words)
            painter.setFont(font(15))
            painter.setPen(QColor(colours.GREY_INK))
            second = QRectF(0, 4 + line, self.width(), scaled(15) + 6.0)
            painter.drawText(second, int(Qt.AlignLeft | Qt.AlignVCenter), self._second)
            painter.setPen(QColor(colours.RULE))
            painter.drawLine(0, self.height() - 1, self.width(), self.height() - 1)
        finally:
            painter.end()


class TripsPanel(StepPanel):
    """Settings of the trips, and the pairs that are walked."""

    stop = Stop.TRIPS
    title = "Trips"

    def __init__(
        self,
        desk: object,
        *,
        runs: Runs,
        following: Following,
        spot_work: SpotWork,
        daylight: Daylight,
        open_table: Callable[[], None],
    ) -> None:
        super().__init__(desk)  # type: ignore[arg-type]
        self._runs, self._following, self._spot_work = runs, following, spot_work
        self._is_showing = False
        self._pairs_seen: object = None
        self._make_wander()
        self._make_pressure()
        self.content.addWidget(rule())
        self._pairs = QVBoxLayout()
        self._pairs.setSpacing(0)
        self.content.addLayout(self._pairs)
        self.single = Tick("Draw 40 single trips", tip="Fine lines: what one deer might do.")
        self.single.clicked.connect(self._draw_single)
        self.content.addWidget(self.single)
        self.light = LightRow(self.desk, daylight)
        self.content.addWidget(self.light)
        self.content.addWidget(rule())
        self.content.addWidget(
            label("The cover table is judgement, not measured on deer.", "second")
        )
        tip = "What a yard through each kind of cover costs a deer."
        self.content.addWidget(link("Open the table", open_table, tip=tip))

    def _make_wander(self) -> None:
        """Lay out the wander with its small drawing."""
        self._asked = label("", "plain")
        self.content.addWidget(self._asked)
        self.picture = WanderPicture()
        self.content.addWidget(self.picture)
        about = next(e.about for e in entries(Settings()) if e.name == "wander")
        self.wander = QSlider(Qt.Horizontal)
        self.wander.setRange(round(about.low / YARD_M / 5), round(about.high / YARD_M / 5))
        self.wander.setPageStep(4)
        self.wander.setAccessibleName("How far deer stray from the best way")
        self.wander.setToolTip("Left: all on one way. Right: spread over the ground. Arrow keys.")
        self.wander.valueChanged.connect(self._wandered)
        self.wander.sliderReleased.connect(self._keep_wander)
        self.content.addWidget(self.wander)
        self.content.addWidget(
            label("Tracked does strayed more, about 145. Lower it only for tight cover.", "small")
        )

    def _make_pressure(self) -> None:
        """Lay out how hard the ground is hunted."""
        row = QHBoxLayout()
        row.addWidget(label("How hard is it hunted?", "plain", is_wrapped=False))
        row.addStretch(1)
        self.content.addSpacing(2)
        self.content.addLayout(row)
        self.pressure = Segments([one.value for one in Pressure], name="How hard it is hunted")
        self.pressure.setToolTip(
            "Light: a hunter for 250 acres or more. Heavy: a hunter for 75 acres or less. "
            "Hunted deer shun the open."
        )
        self.pressure.chosen.connect(lambda word: self.desk.do(edits.set_setting("pressure", word)))
        self.content.addWidget(self.pressure)

    def foot(self) -> Foot:
        """Run, stop, or go on."""
        work = self.desk.work
        if work is not None:
            return Foot(
                line=f"{work.words}.", button="Stop", act=self.desk.stop_work, share=work.share
            )
        one = self.desk.open
        if not self._runs.can_run:
            return Foot(
                line="Trips need grids, one bed and one food.",
                button="Find the trips",
                is_ready=False,
            )
        if one is None or (one.findings is None and not self._following.is_current):
            return Foot(
                line="All that trips need is here.", button="Find the trips", act=self._runs.run
            )
        if not self._following.is_current:
            return Foot(
                line=f"{self._runs.said_change} since these trips were found.",
                button=f"Bring up to date{self._runs.said_s}",
                act=self._runs.run,
            )
        return Foot(
            line="The trips are up to date.",
            button="Next: look at the spots",
            act=lambda: self.desk.go_to(Stop.SPOTS),
        )

    def hint(self) -> str:
        """Say what is seen."""
        if self._following.is_current:
            return "This is where trips would run. <b>Darker is more.</b>"
        return ""

    def refresh(self) -> None:
        """Show settings and pairs as they are now."""
        one = self.desk.open
        self.foot_changed.emit()
        if one is None:
            return
        self._is_showing = True
        trips = one.place.settings.trips
        if not self.wander.isSliderDown():
            self.wander.setValue(round(trips.wander_m / YARD_M / 5))
        self._say_wander()
        self.pressure.choose(one.place.settings.cost.pressure.value)
        self.single.setEnabled(one.findings is not None)
        self._is_showing = False
        self._show_pairs()

    def _show_pairs(self) -> None:
        """List who walks where."""
        one = self.desk.open
        assert one is not None
        newer = self._following.newest if self._following.is_newer else None
        seen = (newer, one.findings, self.desk.preferences.units, self._following.is_current)
        if self._pairs_seen is not None and all(
            a is b or (isinstance(a, (str, bool)) and a == b)
            for a, b in zip(seen, self._pairs_seen, strict=True)  # type: ignore[call-overload]
        ):
            return
        self._pairs_seen = seen
        clear(self._pairs)
        units = system(self.desk.preferences.units)
        rows: list[tuple[str, str, float, float]] = []
        notes: tuple[str, ...] = ()
        if newer is not None:
            rows = [(bed, food, far, share) for bed, food, share, far in newer.demand]
            notes = newer.notes
        elif one.findings is not None:
            rows = [(p.bed, p.food, p.walked_m, p.demand) for p in one.findings.pairs]
            notes = one.findings.notes
        if not rows:
            self.say("Deer walk from where they bed to what they eat, and stray on the way.")
            return
        self.say(f"{said_count(len(rows), 'pair')} of bed and food are walked.")
        for bed, food, far, share in sorted(rows, key=lambda row: -row[3]):
            self._pairs.addWidget(PairRow(bed, food, far, share, units))
        for note in notes:
            self._pairs.addSpacing(6)
            self._pairs.addWidget(label(note, "small"))

    def _say_wander(self) -> None:
        """Say and draw the wander that the slider shows."""
        yards = self.wander.value() * 5
        units = system(self.desk.preferences.units)
        far = said_length(yards * YARD_M, units)
        self._asked.setText(f"How far do deer stray from the best way? About {far}.")
        self.picture.show_share(yards / _DRAWN_YD)

    def _wandered(self, _value: int) -> None:
        """Follow the slider; keys count at once, a drag when it is let go."""
        self._say_wander()
        if not self._is_showing and not self.wander.isSliderDown():
            self._keep_wander()

    def _keep_wander(self) -> None:
        """Keep the wander that the slider shows."""
        one = self.desk.open
        yards = self.wander.value() * 5
        if one is not None and abs(one.place.settings.trips.wander_m / YARD_M - yards) > 2.4:
            self.desk.do(edits.set_setting("wander", f"{yards}yd"))

    def _draw_single(self, is_wanted: bool) -> None:
        """Draw single trips, or not."""
        self._spot_work.shows_single_trips = is_wanted
        self.desk.changed.emit()
