"""How the window looks: colours, fonts, icons, and how numbers are written."""

from .fonts import font, set_text_scale, text_scale
from .icons import draw_icon, icon, program_icon
from .style import dress

__all__ = [
    "draw_icon",
    "dress",
    "font",
    "icon",
    "program_icon",
    "set_text_scale",
    "text_scale",
]
