"""Controls of our own drawing."""

from .buttons import BigTile, DrawnButton, IconWord, Tile
from .choices import USE_STOPS, USE_WORDS, FiveStops, Segments, nearest_use, row_height
from .words import label, link, plain_button, rule, solid_button

__all__ = [
    "USE_STOPS",
    "USE_WORDS",
    "BigTile",
    "DrawnButton",
    "FiveStops",
    "IconWord",
    "Segments",
    "Tile",
    "label",
    "link",
    "nearest_use",
    "plain_button",
    "row_height",
    "rule",
    "solid_button",
]
