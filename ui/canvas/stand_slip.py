"""What the slip of a stand says: the caution first, what it catches, and its deeds."""

from __future__ import annotations

from PyQt5.QtCore import Qt, pyqtSignal
from PyQt5.QtWidgets import QFrame, QHBoxLayout, QLabel, QVBoxLayout, QWidget

from funnelfinder.stands import Stand

from ..controls import Tick, label, link, semibold
from ..look import icon

#: What stands on the slip of every stand.
HARNESS = "Harness from ground to ground, haul line, tell someone."


def said_shots(stand: Stand) -> str:
    """Return what lies toward the shot, in words."""
    if not stand.in_range:
        return "Shots toward: no house, road or boundary that you marked."
    return f"Shots toward: {'; '.join(stand.in_range)}."


def caution_frame(words: str) -> tuple[QFrame, QLabel]:
    """Return words on straw with their sign, and the label that holds them."""
    frame = QFrame()
    frame.setObjectName("caution")
    row = QHBoxLayout(frame)
    row.setContentsMargins(10, 7, 10, 8)
    row.setSpacing(9)
    sign = QLabel()
    sign.setPixmap(icon("caution").pixmap(20, 20))
    sign.setAccessibleName("Caution")
    row.addWidget(sign, 0, Qt.AlignTop)
    said = label(words, "plain")
    row.addWidget(said, 1)
    return frame, said


class StandSlip(QWidget):
    """The words of a stand's slip.

    ``ticked`` tells that it is taken or not; ``moved``, ``closer`` and ``left_out`` what is asked
    for.
    """

    ticked = pyqtSignal(bool)
    moved = pyqtSignal()
    closer = pyqtSignal()
    left_out = pyqtSignal()

    def __init__(self, name: str) -> None:
        super().__init__()
        self.name = name
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(6)
        frame, self.caution = caution_frame(HARNESS)
        column.addWidget(frame)
        self.catch = label("", "plain")
        self.way = label("", "second")
        self.faults = label("", "second")
        for one in (self.catch, self.way, self.faults):
            column.addWidget(one)
        deeds = QHBoxLayout()
        deeds.setSpacing(10)
        self.tick = Tick("Take it", tip="This tree and no other for the spot, or take another too.")
        self.tick.clicked.connect(self.ticked.emit)
        deeds.addWidget(self.tick)
        deeds.addStretch(1)
        deeds.addWidget(link("Closer", self.closer.emit, tip="See tree and scrapes apart."))
        deeds.addWidget(link("Move", self.moved.emit, tip="Put it where you click."))
        deeds.addWidget(link("Leave", self.left_out.emit, tip="Leave this tree out."))
        column.addLayout(deeds)

    def show_stand(self, stand: Stand, *, catch: str, way: str) -> None:
        """Show a stand as it is now."""
        self.caution.setText(f"{HARNESS} {said_shots(stand)}")
        self.catch.setText(semibold(catch))
        self.way.setText(semibold(way))
        self.way.setVisible(bool(way))
        self.faults.setText(
            semibold(f"<b>Against a rule:</b> {'; '.join(stand.faults)}.") if stand.faults else ""
        )
        self.faults.setVisible(bool(stand.faults))
        self.tick.setChecked(stand.is_chosen)
