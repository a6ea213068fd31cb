"""What the slip of a spot says: why it is there, how tight it is, and how sure we are."""

from __future__ import annotations

import math

from PyQt5.QtCore import QRectF, QSize, Qt, pyqtSignal
from PyQt5.QtGui import QColor, QFontMetricsF, QPainter, QPaintEvent, QPen
from PyQt5.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from funnelfinder.pinch_points import PinchPoint
from funnelfinder.scrapes import Cluster
from funnelfinder.units import UnitSystem, said_length, said_share

from ..controls import Tick, label, link, rule, semibold
from ..look import colours
from ..look.fonts import font, scaled


class SqueezeBars(QWidget):
    """Two bars to the same scale: how wide trips run on even ground, and here."""

    def __init__(self, pinch: PinchPoint, units: UnitSystem) -> None:
        super().__init__()
        self._pinch, self._units = pinch, units
        self.setAccessibleName("Squeeze")
        self.setAccessibleDescription(
            f"{said_length(pinch.width_m, units)} here, "
            f"{said_length(pinch.even_width_m, units)} on even ground"
        )
        self.setToolTip("Squeeze: how many times narrower trips run here than on even ground.")

    def sizeHint(self) -> QSize:
        """Return room for both bars and their words."""
        return QSize(240, 2 * scaled(15) + 32)

    def minimumSizeHint(self) -> QSize:
        """Return the same height."""
        return QSize(160, self.sizeHint().height())

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the bars."""
        painter = QPainter(self)
        try:
            painter.setRenderHint(QPainter.Antialiasing, True)
            self._draw(painter)
        finally:
            painter.end()

    def _draw(self, painter: QPainter) -> None:
        """Draw the wide bar, its words, the narrow bar and its words."""
        wide = self.width() - 4.0
        petrol = QColor(colours.PETROL)
        painter.setPen(QPen(petrol, 1.6))
        painter.setBrush(Qt.NoBrush)
        painter.drawRoundedRect(QRectF(2, 3, wide, 7), 2, 2)
        painter.setFont(font(15))
        painter.setPen(QColor(colours.GREY_INK))
        line = scaled(15) + 4.0
        even = f"{said_length(self._pinch.even_width_m, self._units)} on even ground"
        painter.drawText(QRectF(2, 12, wide, line), int(Qt.AlignLeft | Qt.AlignVCenter), even)
        top = 16 + line
        bar = max(wide * self._pinch.width_m / max(self._pinch.even_width_m, 1e-9), 6.0)
        painter.setFont(font(15, bold=True))
        painter.setPen(petrol)
        tight = f"{self._pinch.squeeze:.1f}× tighter"
        painter.drawText(QRectF(2, top, wide, line), int(Qt.AlignLeft | Qt.AlignVCenter), tight)
        left = QFontMetricsF(painter.font()).horizontalAdvance(tight) + 14
        here = f"{said_length(self._pinch.width_m, self._units)} here"
        words = QFontMetricsF(painter.font()).horizontalAdvance(here)
        bar = min(bar, max(wide - left - words - 10, 8.0))
        painter.setPen(Qt.NoPen)
        painter.setBrush(petrol)
        painter.drawRect(QRectF(left, top + line / 2 - 4, bar, 9))
        painter.setPen(QColor(colours.INK))
        at = QRectF(left + bar + 8, top, wide, line)
        painter.drawText(at, int(Qt.AlignLeft | Qt.AlignVCenter), here)


class SpotSlip(QWidget):
    """The words of a spot's slip, and its deeds.

    ``ticked`` tells that it is taken along or not, ``moved`` and ``left_out`` what is asked for.
    """

    ticked = pyqtSignal(bool)
    moved = pyqtSignal()
    left_out = pyqtSignal()

    def __init__(
        self,
        cluster: Cluster,
        pinch: PinchPoint | None,
        *,
        reach_m: float,
        units: UnitSystem,
        is_taken: bool,
    ) -> None:
        super().__init__()
        self.number = cluster.number
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(6)
        column.addWidget(label(said_catch(cluster, reach_m, units), "plain"))
        self.light = label("", "plain")
        self.light.hide()
        column.addWidget(self.light)
        if pinch is not None:
            column.addWidget(SqueezeBars(pinch, units))
        why = said_why(cluster, pinch)
        if why:
            column.addWidget(label(why, "plain"))
        column.addWidget(rule())
        column.addWidget(label(said_how_sure(cluster), "second"))
        deeds = QHBoxLayout()
        deeds.setSpacing(10)
        self.tick = Tick("Take it", tip="Take this spot along, or not. Key Space.")
        self.tick.setChecked(is_taken)
        self.tick.clicked.connect(self.ticked.emit)
        deeds.addWidget(self.tick)
        deeds.addStretch(1)
        deeds.addWidget(link("Move", self.moved.emit, tip="Put it where you click."))
        deeds.addWidget(
            link("Leave out", self.left_out.emit, tip="The next run looks for another place.")
        )
        column.addLayout(deeds)

    def show_light(self, words: str) -> None:
        """Show how its trips come in legal light; without words nothing is said."""
        self.light.setText(semibold(words))
        self.light.setVisible(bool(words))

    def show_taken(self, is_taken: bool) -> None:
        """Show whether it is taken along."""
        self.tick.setChecked(is_taken)


def said_catch(cluster: Cluster, reach_m: float, units: UnitSystem) -> str:
    """Return how many trips a spot catches, in words."""
    n = len(cluster.scrapes_m)
    count = {2: "two", 3: "three"}.get(n, str(n))
    reach = said_length(reach_m, units)
    caught = f"{said_share(cluster.share)} {cluster.trips}"
    return f"<b>{caught}</b> pass within {reach} of its {count} scrapes."


def said_why(cluster: Cluster, pinch: PinchPoint | None) -> str:
    """Return why a spot is there: the measured reasons, or what the run said."""
    share = f"{said_share(cluster.share)} {cluster.trips}"
    sentences = [one.strip() for one in cluster.why.split(". ") if one.strip()]
    kept = [one.rstrip(".") + "." for one in sentences if share not in one]
    reasons = [one for one in (pinch.reasons if pinch is not None else ()) if one not in kept]
    words = list(dict.fromkeys([*kept, *reasons]))
    seen: list[str] = []
    for one in words:
        if not any(one.rstrip(".") in other for other in seen):
            seen.append(one)
    return " ".join(seen)


def said_how_sure(cluster: Cluster) -> str:
    """Return how sure a spot is, in words."""
    if cluster.n_redraws == 0 or math.isnan(cluster.steadiness):
        return "<b>How sure:</b> not tested. A model, until a camera agrees."
    low = 100 * cluster.share_low
    stayed = round(cluster.steadiness * cluster.n_redraws)
    return (
        f"<b>How sure:</b> {low:.0f} to {said_share(cluster.share_high)} when the cost table is "
        f"varied; chosen again in {stayed} of {cluster.n_redraws} tries. A model, until a camera "
        "agrees."
    )
