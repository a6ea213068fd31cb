"""Every colour of map, paper and window, once.

A printed map and a pencil: paper, grey relief, ink. Colour means two things only, warm is where
trips run and petrol is what a person holds in hand. The values are judgement; contrast by WCAG 2.1
and distances for the colour-blind are checked by the tests.
"""

from __future__ import annotations

from typing import Final

import numpy as np

from funnelfinder.kernels import AnyArray, FloatArray

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

WATER: Final = "#A9C0C8"
BANK: Final = "#6E8B97"
CONTOUR: Final = "#7A5C3E"
#: Opacity of a contour line, and of every fifth.
CONTOUR_OPACITY: Final = (0.26, 0.38)

#: Relief from the brightest slope to the deepest shade.
LIT: Final = "#FFFDF6"
LEVEL: Final = "#EFECE2"
SHADE: Final = "#BBB9B2"
DEEP: Final = "#97979A"
WOODS_TINT: Final = "#E1E4D7"
OPEN_TINT: Final = "#F8F2DD"
#: What level ground in the woods looks like in the end.
LEVEL_WOODS: Final = "#D8DACD"

#: Passage from few trips to many: even steps in CAM02-UCS, lightness falls all the way.
RAMP: Final = (
    "#F4C7A2",
    "#EBAC82",
    "#E09068",
    "#CF7657",
    "#BA5E49",
    "#A4483F",
    "#8C373B",
    "#712C39",
    "#552434",
)


def rgb(colour: str) -> tuple[int, int, int]:
    """Return red, green and blue, 0 to 255.

    Examples
    --------
    >>> rgb("#0F5C66")
    (15, 92, 102)
    """
    return int(colour[1:3], 16), int(colour[3:5], 16), int(colour[5:7], 16)


def greyed(colours: AnyArray) -> FloatArray:
    """Return what a black-and-white printer makes of colours, all three channels equal.

    Parameters
    ----------
    colours : (..., 3) float or uint8
        Red, green, blue, 0 to 255.

    References
    ----------
    .. [1] ITU-R BT.601-7, 2011, section 2.5.1: luma from red, green and blue.

    Examples
    --------
    >>> greyed(np.array([255, 0, 0])).round(3)
    array([76.245, 76.245, 76.245])
    """
    luma = np.asarray(colours, dtype=np.float64) @ np.array([0.299, 0.587, 0.114])
    return np.repeat(luma[..., None], 3, axis=-1)
