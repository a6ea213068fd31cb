"""The pages of Later in the order of their rows; a further page is one line here and one file."""

from __future__ import annotations

from typing import TYPE_CHECKING

from .almanac import Almanac
from .daylight_work import Daylight
from .forecasts import Forecasts
from .panels.later_pages import LaterPage
from .panels.stands import StandsPage
from .panels.tonight import TonightPage
from .sits import SitWork
from .stand_map import StandMap

if TYPE_CHECKING:
    from .main_window import MainWindow


class Sitting:
    """What the pages on stands and sits share; the other steps ask it for the stands."""

    def __init__(self, window: MainWindow) -> None:
        self.sits = SitWork(window.desk, window.runs, window.tending)
        self.stand_map = StandMap(window.desk, window.map, self.sits, window.map_work)
        self.forecasts = Forecasts(window.desk, self.sits)
        self.daylight = Daylight(
            window.desk,
            window.runs,
            window.tending,
            ground_work=window.ground_work,
            following=window.following,
        )
        window.spot_work.said_light = self.daylight.said_of
        self.daylight.changed.connect(window.spot_work.show_light)


def make_pages(window: MainWindow, sitting: Sitting) -> tuple[LaterPage, ...]:
    """Return the pages."""
    Almanac(window)
    return (
        StandsPage(window.desk, sitting.sits, sitting.stand_map),
        TonightPage(window.desk, sitting.sits, sitting.stand_map, sitting.forecasts),
    )
