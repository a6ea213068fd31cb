"""The fonts that the program brings, at the size that the person reads."""

from __future__ import annotations

from importlib.resources import files
from typing import Final

from PyQt5.QtGui import QFont, QFontDatabase
from PyQt5.QtWidgets import QApplication

SANS: Final = "Source Sans Pro"
SERIF: Final = "Source Serif Pro"
SMALLEST_SCALE: Final = 0.9
LARGEST_SCALE: Final = 1.6
_FILES: Final = (
    "SourceSansPro-Regular.ttf",
    "SourceSansPro-It.ttf",
    "SourceSansPro-Semibold.ttf",
    "SourceSerifPro-Semibold.ttf",
)


def load_fonts() -> tuple[str, ...]:
    """Make the fonts known to Qt and return the families that were read."""
    folder = files("funnelfinder.data").joinpath("fonts")
    families: list[str] = []
    for name in _FILES:
        number = QFontDatabase.addApplicationFontFromData(folder.joinpath(name).read_bytes())
        families += QFontDatabase.applicationFontFamilies(number)
    return tuple(dict.fromkeys(families))


def text_scale() -> float:
    """Return how many times larger than usual the person reads, 0.9 to 1.6."""
    app = QApplication.instance()
    scale = app.property("text_scale") if app is not None else None
    return float(scale) if scale else 1.0


def set_text_scale(scale: float) -> float:
    """Set the text size and return what was set, kept to 0.9 to 1.6."""
    kept = min(max(scale, SMALLEST_SCALE), LARGEST_SCALE)
    app = QApplication.instance()
    if app is not None:
        app.setProperty("text_scale", kept)
    return kept


def scaled(size_px: float) -> int:
    """Return a text size in whole pixels at the person's text size."""
    return max(round(size_px * text_scale()), 1)


def font(size_px: float, *, bold: bool = False, italic: bool = False, serif: bool = False) -> QFont:
    """Return the program's font at a size in logical pixels; bold is semibold."""
    made = QFont(SERIF if serif else SANS)
    made.setPixelSize(scaled(size_px))
    made.setWeight(QFont.DemiBold if bold or serif else QFont.Normal)
    made.setItalic(italic)
    made.setHintingPreference(QFont.PreferNoHinting)
    return made
