"""The map picture: a sheet to print and hang on the wall, as PNG or PDF."""

from funnelfinder.files.map_picture.draw import draw_map
from funnelfinder.files.map_picture.layout import Paper

__all__ = ["Paper", "draw_map"]
