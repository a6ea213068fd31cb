"""What the pages on season, log and cameras share: the almanac, the plan, the records."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from .almanac import Almanac
from .camera_work import CameraWork
from .panels.cameras import CamerasPage
from .panels.later import LaterPanel
from .panels.work_table import TITLE, WorkTablePage
from .season_work import SeasonWork
from .stops import Stop

if TYPE_CHECKING:
    from .gestures import Point
    from .later import Sitting
    from .main_window import MainWindow


class Records:
    """Made once for a window; the log reaches the stands from here, for how rested each is."""

    def __init__(self, window: MainWindow, sitting: Sitting) -> None:
        self._window, self._sitting = window, sitting
        self.almanac = Almanac(window)
        self.season = SeasonWork(window.desk, window.runs, window.tending)
        self.cameras = CameraWork(window.desk, window.map, window.runs, self.season)
        window.desk.changed.connect(self._pass_log_on)
        window.opening.tables_found.connect(self._read_tables)

    def _pass_log_on(self) -> None:
        """Tell the stands what was sat."""
        one = self._window.desk.open
        self._sitting.sits.set_visits(one.log if one is not None else ())

    def _read_tables(self, paths: list[Path]) -> None:
        """Go to the cameras and read what was dropped."""
        window = self._window
        if window.desk.here is not Stop.LATER:
            window.go_to(Stop.LATER)
        panel = window.panel
        if isinstance(panel, LaterPanel):
            panel.show_page(CamerasPage.name)
        self.cameras.read(paths)

    def open_table(self) -> None:
        """Lay the work table on the bench."""
        window = self._window
        window.fitting.make_way()
        window.bench.lay(TITLE, WorkTablePage(window.desk), closed=window.panel.refresh)

    def has_band(self) -> bool:
        """Return whether the almanac lies at the foot of the map."""
        return self.almanac.band.isVisible()

    def look_at(self, at: Point) -> None:
        """Bring a place into the middle of the map."""
        view = self._window.map.view
        view.was_moved_by_hand = True
        view.look(replace(view.outlook, x_m=at[0], y_m=at[1]))
