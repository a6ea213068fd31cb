"""Controls of our own drawing."""

from .buttons import BigTile, DrawnButton, IconWord, Tile
from .choices import USE_STOPS, USE_WORDS, FiveStops, Segments, nearest_use, row_height
from .share_bar import draw_share_bar
from .tables import typed_table
from .ticks import Tick
from .wander_picture import WanderPicture
from .words import label, link, plain_button, rule, semibold, solid_button

__all__ = [
    "USE_STOPS",
    "USE_WORDS",
    "BigTile",
    "DrawnButton",
    "FiveStops",
    "IconWord",
    "Segments",
    "Tick",
    "Tile",
    "WanderPicture",
    "draw_share_bar",
    "label",
    "link",
    "nearest_use",
    "plain_button",
    "row_height",
    "rule",
    "semibold",
    "solid_button",
    "typed_table",
]
