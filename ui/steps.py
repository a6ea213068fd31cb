"""The panel of every step; a further step is one line here and one file."""

from __future__ import annotations

from typing import TYPE_CHECKING

from .bringing import Bringing
from .credits import Credits
from .dialogs.files import choose_table
from .later import Sitting, make_pages
from .panels.ground import GroundPanel
from .panels.later import LaterPanel
from .panels.marks import MarksPanel
from .panels.spots import SpotsPanel
from .panels.step import StepPanel
from .panels.take_along import TakeAlongPanel
from .panels.trips import TripsPanel
from .stops import Stop
from .suggesting import Suggesting

if TYPE_CHECKING:
    from .main_window import MainWindow


def make_panels(window: MainWindow) -> dict[Stop, StepPanel]:
    """Return the panels by their stops."""
    bringing = Bringing(window.desk, window.backdrop_work.pictures)
    bringing.asks.connect(window.fitting.show_drawer)
    Credits(window.desk, window.map, bringing)
    suggesting = Suggesting(window.desk, window.map, window.map_work, window.runs)
    sitting = Sitting(window)
    panels: tuple[StepPanel, ...] = (
        GroundPanel(
            window.desk,
            add_grids=window.choose_grids,
            shape_boundary=window.map_work.shape_boundary,
            waiting=window.waiting,
            bringing=bringing,
            choose_table=lambda: choose_table(window),
        ),
        MarksPanel(window.desk, draw=window.draw, suggesting=suggesting),
        TripsPanel(
            window.desk,
            runs=window.runs,
            following=window.following,
            spot_work=window.spot_work,
            daylight=sitting.daylight,
            open_table=window.open_table,
        ),
        SpotsPanel(
            window.desk,
            runs=window.runs,
            tending=window.tending,
            spot_work=window.spot_work,
            daylight=sitting.daylight,
            pane=window.map,
            open_table=window.open_table,
        ),
        TakeAlongPanel(
            window.desk,
            runs=window.runs,
            tending=window.tending,
            spot_work=window.spot_work,
            bench=window.bench,
            sits=sitting.sits,
        ),
        LaterPanel(window.desk, make_pages(window, sitting)),
    )
    return {panel.stop: panel for panel in panels}
