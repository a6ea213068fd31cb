"""Closing a property: all is written, and it is remembered for the start."""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING

from PyQt5.QtWidgets import QDialog

from funnelfinder.units import acres

from .dialogs.questions import Question
from .remembered import Recent, remember_property
from .stops import stop_states

if TYPE_CHECKING:
    from .main_window import MainWindow


class Leaving:
    """Closes the property that is open."""

    def __init__(self, window: MainWindow) -> None:
        self._window = window

    def close(self) -> bool:
        """Close the property and show the start; false if the person stays."""
        one = self._window.desk.open
        if one is None:
            self._window.desk.set_open(None)
            return True
        self._window.desk.stop_work()
        self.remember()
        if not one.close():
            stay = Question(
                "A change is not written yet",
                f"{one.unkept[0] if one.unkept else ''} If you leave now, the change is lost.",
                "Stay",
                "Leave without it",
                self._window,
            )
            if stay.exec_() == QDialog.Accepted:
                return False
            one.keeper.forget()
            one.let_go()
        self._window.map.close_slip()
        self._window.desk.set_open(None)
        return True

    def remember(self) -> None:
        """Remember the property among those of late, with a small picture."""
        one = self._window.desk.open
        if one is None:
            return
        states = stop_states(
            one.place, one.grids, one.findings, is_up_to_date=self._window.runs.is_up_to_date
        )
        reached = [state for state in states if state.sign.name != "NOT_YET"]
        recent = Recent(
            path=str(one.path.resolve()),
            name=one.place.name,
            acres=acres(one.place.boundary.area),
            when=datetime.now().isoformat(timespec="minutes"),
            step=self._window.desk.here.value,
            words=f"{reached[-1].stop.value}: {reached[-1].words}" if reached else "",
        )
        remember_property(recent)
        picture = self._window.ground_work.small_picture()
        if picture is not None:
            picture.save(str(recent.picture))
