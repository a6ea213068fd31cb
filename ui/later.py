"""The pages of Later in the order of their rows; a further page is one line here and one file."""

from __future__ import annotations

from typing import TYPE_CHECKING

from .daylight_work import Daylight
from .forecasts import Forecasts
from .panels.cameras import CamerasPage
from .panels.later import LaterPanel
from .panels.later_pages import LaterPage
from .panels.log import LogPage
from .panels.season import SeasonPage
from .panels.stands import StandsPage
from .panels.tonight import TonightPage
from .records import Records
from .sits import SitWork
from .stand_map import StandMap
from .stops import Stop

if TYPE_CHECKING:
    from .main_window import MainWindow


class Sitting:
    """What the pages on stands and sits share; the other steps ask it for the stands."""

    def __init__(self, window: MainWindow) -> None:
        self.sits = SitWork(window.desk, window.runs, window.tending)
        self.stand_map = StandMap(window.desk, window.map, self.sits, window.map_work)
        self.forecasts = Forecasts(window.desk, self.sits)
        window.opening.asked_first.append(self.forecasts.takes)
        self.forecasts.taken.connect(lambda: _show_tonight(window))
        self.daylight = Daylight(
            window.desk,
            window.runs,
            window.tending,
            ground_work=window.ground_work,
            following=window.following,
        )
        window.spot_work.said_light = self.daylight.said_of
        self.daylight.changed.connect(window.spot_work.show_light)


def _show_tonight(window: MainWindow) -> None:
    """Go to the page that a forecast is for."""
    if window.desk.here is not Stop.LATER:
        window.go_to(Stop.LATER)
    panel = window.panel
    if isinstance(panel, LaterPanel):
        panel.show_page(TonightPage.name)


def make_pages(window: MainWindow, sitting: Sitting) -> tuple[LaterPage, ...]:
    """Return the pages."""
    records = Records(window, sitting)
    return (
        StandsPage(window.desk, sitting.sits, sitting.stand_map),
        TonightPage(window.desk, sitting.sits, sitting.stand_map, sitting.forecasts),
        SeasonPage(window.desk, records.season, records.open_table, records.has_band),
        LogPage(window.desk, records.season),
        CamerasPage(window.desk, records.cameras, records.season, records.look_at),
    )
