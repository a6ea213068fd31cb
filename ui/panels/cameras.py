"""Cameras: what they recorded, which pairs are really walked, and where the next one helps most."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING

from PyQt5.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from ..camera_work import N_NEXT
from ..controls import label, link, rule
from ..dialogs.files import choose_camera_tables
from ..look.said import said_count
from ..stops import Stop
from .evidence_rows import CameraRow, PairRow, SpotRow
from .later_pages import LaterPage
from .step import Foot, clear

if TYPE_CHECKING:
    from PyQt5.QtWidgets import QPushButton

    from funnelfinder.analysis import Watched

    from ..camera_work import CameraWork
    from ..desk import Desk
    from ..gestures import Point
    from ..season_work import SeasonWork

_HOW = (
    "Bars run solid to the low end of the middle 95 of 100, with fine lines to the high end. "
    "Cameras a hundred yards apart differ by a factor of two for no reason; that is in the range."
)
_NONE = (
    "One table of when deer were seen, and where each camera hung: your own, or the two tables of "
    "the open exchange format for camera traps. Drop it on this window, or choose it."
)


class CamerasPage(LaterPage):
    """Evidence, beside the model that it mends."""

    name = "Cameras"
    icon = "camera"

    def __init__(
        self,
        desk: Desk,
        work: CameraWork,
        season: SeasonWork,
        look_at: Callable[[Point], None],
    ) -> None:
        super().__init__(desk)
        self._work, self._season, self._look_at = work, season, look_at
        self._seen: object = self
        self._is_entered = False
        self._rows = QVBoxLayout()
        self._rows.setSpacing(2)
        self.content.addLayout(self._rows)
        self.cameras: list[CameraRow] = []
        self.pairs: list[PairRow] = []
        self.spots: list[SpotRow] = []
        self.next: list[QPushButton] = []
        self.outs: dict[str, QPushButton] = {}
        work.changed.connect(self._work_changed)

    def words(self) -> str:
        """Say what there is."""
        log = self._work.log
        if log is None:
            return "What your cameras saw mends what the model guessed."
        nights = sum(stay.nights for stay in log.stays)
        seen = said_count(len(log.sightings), "sighting")
        return f"<b>{seen}</b> in {nights:.0f} camera-nights."

    def state_line(self) -> str:
        """Say how much there is."""
        log = self._work.log
        if log is None:
            return "Which trips are really walked."
        names = len({stay.name for stay in log.stays})
        return f"{said_count(names, 'camera')}, {said_count(len(log.sightings), 'sighting')}."

    def foot(self) -> Foot:
        """Add a table, stop, or go on."""
        work = self.desk.work
        if work is not None:
            return Foot(
                line=f"{work.words}.", button="Stop", act=self.desk.stop_work, share=work.share
            )
        if self._season.findings is None:
            return Foot(
                line="Cameras speak of spots; find those first.",
                button="Back to the spots",
                act=lambda: self.desk.go_to(Stop.SPOTS),
            )
        if self._work.is_stopped:
            return Foot(line="Stopped. What is here stays.", button="Go on", act=self._work.go_on)
        return Foot(
            line="Check cameras at noon, with gloves, on a wind that blows off the beds.",
            button="Add a camera table",
            act=self._choose,
        )

    def hint(self) -> str:
        """Say what is seen."""
        if self._work.newest is None:
            return ""
        return "Solid squares are your cameras; <b>dashed ones</b> are where the next tells most."

    def entered(self) -> None:
        """Ask what the cameras say, and draw them."""
        self._is_entered = True
        self._work.want(True)

    def left(self) -> None:
        """Put them away."""
        self._is_entered = False
        self._work.want(False)

    def _choose(self) -> None:
        """Ask for tables."""
        paths = choose_camera_tables(self)
        if paths:
            self._work.read(paths)

    def _work_changed(self) -> None:
        """Show new answers, behind a drawer that is shut too."""
        if self._is_entered:
            self.refresh()
            self.desk.hinted.emit()

    def refresh(self) -> None:
        """Show what cameras say now."""
        newest = self._work.newest
        seen = (newest, self._work.log, self._work.notes, self._work.is_asking)
        if not (isinstance(self._seen, tuple) and _same(seen, self._seen)):
            self._seen = seen
            self._build(newest)
        self.foot_changed.emit()

    def _build(self, newest: Watched | None) -> None:
        """Make the rows anew."""
        clear(self._rows)
        self.cameras, self.pairs, self.spots, self.next = [], [], [], []
        self.outs = {}
        if self._work.log is None:
            self._rows.addWidget(label(_NONE, "second"))
        elif newest is None:
            self._rows.addWidget(label("The records are being weighed.", "second"))
        else:
            self._add_cameras(newest)
            self._add_spots(newest)
            self._add_pairs(newest)
            self._add_next(newest)
            self._add_outs()
        for note in (*(newest.notes if newest is not None else ()), *self._work.notes):
            self._rows.addWidget(label(note, "small"))

    def _add_cameras(self, newest: Watched) -> None:
        """List the camera places."""
        self._rows.addWidget(label("Visits a night, and by day", "head"))
        most = max((one.visits.rate.high for one in newest.cameras), default=1.0) or 1.0
        for one in newest.cameras:
            row = CameraRow(one, most=most)
            self.cameras.append(row)
            self._rows.addWidget(row)
        self._rows.addWidget(label(_HOW, "small"))
        self._rows.addSpacing(6)

    def _add_outs(self) -> None:
        """Offer to take the records of a camera out."""
        log = self._work.log
        self._rows.addWidget(rule())
        for name in dict.fromkeys(stay.name for stay in log.stays) if log is not None else ():
            tip = "Its records; Undo brings them back."
            out = link(f"Take {name} out", partial(self._work.take_out, name), tip=tip)
            self.outs[name] = out
            self._rows.addWidget(out)

    def _add_spots(self, newest: Watched) -> None:
        """List the spots before and after."""
        if not newest.spots:
            return
        words = "Spots: dashed before, solid after"
        self._rows.addWidget(label(words, "head"))
        full = max(max(one.before.high, one.after.high) for one in newest.spots) or 1.0
        for one in newest.spots:
            row = SpotRow(one, full=full)
            self.spots.append(row)
            self._rows.addWidget(row)

    def _add_pairs(self, newest: Watched) -> None:
        """List which pairs are really walked."""
        self._rows.addSpacing(6)
        self._rows.addWidget(label("Which pairs are really walked", "head"))
        self._rows.addWidget(label("The dashed tick is what the model alone says.", "small"))
        full = max((max(one.share.high, one.model_share) for one in newest.pairs), default=1.0)
        for one in sorted(newest.pairs, key=lambda pair: -pair.share.mean):
            row = PairRow(one, full=full or 1.0)
            self.pairs.append(row)
            self._rows.addWidget(row)

    def _add_next(self, newest: Watched) -> None:
        """Say where the next camera would tell most."""
        if not newest.next_places:
            return
        self._rows.addSpacing(6)
        self._rows.addWidget(label("Where the next camera would tell most", "head"))
        self._rows.addWidget(
            label(
                f"Trips a night are known to ± {newest.spread:.2f}; "
                f"{newest.next_nights:.0f} nights there would leave:",
                "small",
            )
        )
        for number, place in enumerate(newest.next_places[:N_NEXT], 1):
            holder = QWidget()
            row = QHBoxLayout(holder)
            row.setContentsMargins(0, 0, 0, 0)
            name = place.name.replace("cluster", "spot")
            shown = link(
                f"{number}. {name[:1].upper()}{name[1:]}",
                partial(self._look_at, (place.x_m, place.y_m)),
                tip="Show it on the map.",
            )
            self.next.append(shown)
            row.addWidget(shown)
            row.addStretch(1)
            row.addWidget(label(f"± {place.spread:.2f}", "second", is_wrapped=False))
            self._rows.addWidget(holder)


def _same(one: tuple[object, ...], other: tuple[object, ...]) -> bool:
    """Return whether the same is shown."""
    pairs = zip(one, other, strict=True)
    return all(a is b or (isinstance(a, (bool, tuple)) and a == b) for a, b in pairs)
