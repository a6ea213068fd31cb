"""The colours of the window: paper, ink, and one accent; the same as on the printed map.

Colour on the map means two things only: warm is where trips run, petrol is what is in the hand.
"""

from __future__ import annotations

from typing import Final

from PyQt5.QtGui import QColor

from funnelfinder.shading import (
    BANK,
    CONTOUR,
    CONTOUR_OPACITY,
    GREY_INK,
    INK,
    PALE_INK,
    PAPER,
    PETROL,
    PETROL_PRESSED,
    PRESS,
    RAMP,
    ROSE,
    RULE,
    STRAW,
    WASH,
    WATER,
    WELL,
)

__all__ = [
    "BANK",
    "CONTOUR",
    "CONTOUR_OPACITY",
    "GREY_INK",
    "INK",
    "PALE_INK",
    "PAPER",
    "PETROL",
    "PETROL_PRESSED",
    "PRESS",
    "RAMP",
    "ROSE",
    "RULE",
    "STRAW",
    "WASH",
    "WATER",
    "WELL",
    "WHITE",
    "colour",
]

WHITE: Final = "#FFFFFF"


def colour(value: str, share: float = 1.0) -> QColor:
    """Return a colour that covers ``share`` of what lies under it."""
    made = QColor(value)
    made.setAlphaF(share)
    return made
