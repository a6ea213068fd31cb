"""What header and map show of the open property, beside the step itself."""

from __future__ import annotations

from typing import TYPE_CHECKING

from funnelfinder.units import said_area, said_clock

from .canvas.slip import SlipWords
from .look.said import system
from .stops import profile

if TYPE_CHECKING:
    from .main_window import MainWindow


class Showing:
    """Shows profile, passage, what is kept and what runs."""

    def __init__(self, window: MainWindow) -> None:
        self._window = window

    def show_profile(self) -> None:
        """Lay the footpath over the property's own profile."""
        one = self._window.desk.open
        self._window.header.footpath.show_profile(profile(one.grids if one is not None else None))

    def show_findings(self) -> None:
        """Show passage."""
        one = self._window.desk.open
        if one is None or one.findings is None:
            self._window.ground_work.show_passage(None)
        else:
            self._window.ground_work.is_up_to_date = self._window.following.is_current
            self._window.ground_work.show_passage(one.findings.passage, one.findings.grid)

    def show_kept(self) -> None:
        """Say that all is kept, or what is held."""
        one = self._window.desk.open
        if one is None:
            return
        area = said_area(one.place.boundary.area, system(self._window.desk.preferences.units))
        if one.is_only_looking:
            kept = "Only looking"
        elif one.unkept is not None:
            kept = "Not all is kept yet"
        else:
            kept = f"All kept, {said_clock(one.kept_at)}"
        self._window.header.show_name(one.place.name, f"{area} · {kept}")
        if one.unkept is not None and self._window.map.slip is None:
            error, deed = one.unkept
            said = str(error).rstrip(".")
            self._window.desk.tell(
                SlipWords(
                    title="Not kept yet",
                    body=f"{said}. Your last change, {deed}, is held and written as soon as "
                    "that can be.",
                    actions=(("Try again", one.keeper.try_again),),
                    is_trouble=True,
                )
            )

    def show_work(self) -> None:
        """Show how far long work is."""
        work = self._window.desk.work
        self._window.header.footpath.show_progress(work.share if work is not None else None)
        self._window.start.note.setText(
            f"{work.words}…"
            if work is not None
            else "Everything stays on this computer. Nobody is asked unless you say so."
        )
        self._window.column.show_foot()
