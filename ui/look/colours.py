"""The colours of the window: paper, ink, and one accent.

Colour on the map means two things only: warm is where trips run, petrol is what is in the hand.
Contrasts on paper were measured after WCAG 2.1: ink 14.5, grey ink 7.3, petrol 7.2.
"""

from __future__ import annotations

from typing import Final

from PyQt5.QtGui import QColor

PAPER: Final = "#FBF8F1"
WELL: Final = "#F3EEE2"
PRESS: Final = "#E8E1D1"
RULE: Final = "#DCD4C3"
INK: Final = "#28241E"
GREY_INK: Final = "#5A5246"
PALE_INK: Final = "#8A8070"
PETROL: Final = "#0F5C66"
PETROL_PRESSED: Final = "#0A444C"
WASH: Final = "#DCEAEA"
STRAW: Final = "#F4E3B2"
ROSE: Final = "#F3D9D0"
WHITE: Final = "#FFFFFF"
CONTOUR: Final = "#7A5C3E"
WATER: Final = "#A9C0C8"
BANK: Final = "#6E8B97"


def colour(value: str, share: float = 1.0) -> QColor:
    """Return a colour that covers ``share`` of what lies under it."""
    made = QColor(value)
    made.setAlphaF(share)
    return made
