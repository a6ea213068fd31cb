"""The wind by hand: the dial with its arrow, speed, how it holds, and the sky."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
from PyQt5.QtCore import Qt
from PyQt5.QtWidgets import QHBoxLayout, QSlider, QVBoxLayout, QWidget

from funnelfinder.daylight import Half
from funnelfinder.kernels import FloatArray
from funnelfinder.stands import WINDS_DEG
from funnelfinder.units import said_share
from funnelfinder.wind import Sky, said_compass

from ..controls import Segments, label
from ..controls.wind_dial import N_PETALS, STEP_DEG, Petal, WindDial
from ..stand_words import is_calm, petal_of, said_shapes, said_speed, said_unsure
from ..wind_set import MPH, Swing

if TYPE_CHECKING:
    from ..desk import Desk
    from ..sits import SitWork

_MOST_MPH = 30


class WindBox(QWidget):
    """Shows and sets the wind; the petals are those of one stand, or the best of all."""

    def __init__(self, desk: Desk, sits: SitWork) -> None:
        super().__init__()
        self._desk, self._sits = desk, sits
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(6)
        self.dial = WindDial()
        self.dial.setToolTip("Drag the arrow to where the wind comes from. Arrow keys turn it.")
        self.dial.turned.connect(self._turned)
        self.dial.sped.connect(lambda by: self._blow(self._mph() + by))
        self.dial.pointed.connect(self._pointed)
        column.addWidget(self.dial)
        self.behind = label("", "small")
        column.addWidget(self.behind)
        row = QHBoxLayout()
        row.setSpacing(10)
        self.speed = QSlider(Qt.Horizontal)
        self.speed.setRange(0, _MOST_MPH)
        self.speed.setAccessibleName("Speed of the wind")
        self.speed.setToolTip("How hard it blows. Arrow keys.")
        self.speed.valueChanged.connect(self._blow)
        self.said_speed = label("", "plain", is_wrapped=False)
        row.addWidget(self.speed, 1)
        row.addWidget(self.said_speed)
        column.addLayout(row)
        self.swing = Segments([one.value for one in Swing], name="How the wind holds")
        self.swing.setToolTip("Steady, swinging to both sides, or from everywhere in turn.")
        self.swing.chosen.connect(lambda word: sits.set_wind(replace(sits.wind, swing=Swing(word))))
        column.addWidget(self.swing)
        self.sky = Segments([one.value for one in Sky], name="The sky")
        self.sky.setToolTip("How much cloud; low: fog, rain or snow. Clear skies let air drain.")
        self.sky.chosen.connect(lambda word: sits.set_wind(replace(sits.wind, sky=Sky(word))))
        column.addWidget(self.sky)
        self.unsure = label("", "small")
        column.addWidget(self.unsure)
        self._shares: FloatArray | None = None
        self._whose: tuple[str, ...] = ()
        self._is_showing = False

    # What the person does

    def _mph(self) -> int:
        """Return the speed that is set [mph]."""
        return round(self._sits.wind.speed_m_s / MPH)

    def _turned(self, from_deg: float) -> None:
        """Take the wind from another direction; one that came from everywhere holds then."""
        wind = replace(self._sits.wind, from_deg=from_deg)
        if wind.swing is Swing.ALL_OVER:
            wind = replace(wind, swing=Swing.STEADY)
        self._sits.set_wind(wind)

    def _blow(self, mph: int) -> None:
        """Take another speed."""
        if not self._is_showing:
            speed = min(max(mph, 0), _MOST_MPH) * MPH
            self._sits.set_wind(replace(self._sits.wind, speed_m_s=speed))

    def _pointed(self, number: int) -> None:
        """Say the numbers behind the petal that is pointed at, or what the shapes mean."""
        self.behind.setText(self.dial.tip_of(number) if number >= 0 else self._said_here())

    # What is shown

    def refresh(self, name: str = "") -> None:
        """Show the wind, and the petals of a stand, or without one the best of all."""
        wind = self._sits.wind
        self._is_showing = True
        self.speed.setValue(self._mph())
        self._is_showing = False
        speed = said_speed(wind.speed_m_s, is_metric=self._desk.is_metric)
        self.said_speed.setText("calm" if is_calm(wind) else speed)
        self.swing.choose(wind.swing.value)
        self.sky.choose(wind.sky.value)
        self.unsure.setText(said_unsure(wind))
        self.unsure.setVisible(bool(said_unsure(wind)))
        is_all_over = wind.swing is Swing.ALL_OVER or is_calm(wind)
        middle = "Calm" if is_calm(wind) else "All over" if is_all_over else ""
        first = middle or said_compass(wind.from_deg)
        self.dial.show_wind(math.nan if is_all_over else wind.from_deg, first, speed)
        self._shares, self._whose = self._petals_of(name)
        self._show_petals()
        self.behind.setText(self._said_here())

    def _petals_of(self, name: str) -> tuple[FloatArray | None, tuple[str, ...]]:
        """Return the share alerted by wind, and which stand each share is of."""
        if name:
            return self._sits.alerted(name), (name,) * N_PETALS
        table = self._sits.table
        if table is None or not table.stands:
            return None, ()
        half = list(Half).index(self._desk.hour.half)
        best = table.worth[:, :, half].argmax(axis=0)
        whose = tuple(table.stands[row].name for row in best)
        return table.alerted_part[best, np.arange(N_PETALS), half], whose

    def _show_petals(self) -> None:
        """Show the petals and the words behind them."""
        one = self._desk.open
        if self._shares is None or one is None:
            self.dial.show_petals((Petal.UNKNOWN,) * N_PETALS, ("",) * N_PETALS)
            return
        own = one.place.settings.stands
        petals = [
            petal_of(float(share), own.alerted_few_share, own.alerted_many_share)
            for share in self._shares
        ]
        tips = [
            f"{said_compass(deg)}, at {whose}: {said_share(float(share))} of those that come in"
            " legal light smell you first."
            for deg, share, whose in zip(WINDS_DEG, self._shares, self._whose, strict=True)
        ]
        self.dial.show_petals(petals, tips)

    def _said_here(self) -> str:
        """Return the numbers of the wind that is set, and what the shapes mean."""
        one, wind = self._desk.open, self._sits.wind
        key = said_shapes(one.place.settings.stands) if one is not None else ""
        if self._shares is None or wind.swing is Swing.ALL_OVER or is_calm(wind):
            return key
        return f"{self.dial.tip_of(round(wind.from_deg / STEP_DEG))} {key}"
