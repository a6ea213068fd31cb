"""How well the air mixes: Turner's stability classes."""

from __future__ import annotations

from enum import IntEnum
from typing import Final

import numpy as np


class Stability(IntEnum):
    """Stability classes from very mixed (A) to very still (F); the value is the row of tables."""

    A = 0
    B = 1
    C = 2
    D = 3
    E = 4
    F = 5


#: Lowest wind speed of each row [m/s] and classes for net radiation 4, 3, 2, 1, 0, -1, -2
#: (Turner 1964, as in EPA-454/R-99-005, tables 6-4 to 6-6; its class 7 counts as F).
_SPEEDS: Final = (0.0, 0.75, 1.85, 2.85, 3.35, 3.85, 4.85, 5.45, 5.95)
_TABLE: Final = (
    "1123467",
    "1223467",
    "1234456",
    "2234456",
    "2234445",
    "2334445",
    "3344445",
    "3344444",
    "3444444",
)
#: Spread of the wind's direction by class [deg] (EPA-454/R-99-005, middle of each range).
SPREAD_DEG: Final = (25.0, 20.0, 15.0, 10.0, 5.6, 3.0)


def net_radiation(sun_deg: float, cloud_tenths: float, *, is_night: bool, is_low: bool) -> int:
    """Return Turner's index of net radiation.

    Parameters
    ----------
    sun_deg : float
        Height of the sun [deg].
    cloud_tenths : float
        Share of the sky that is covered [tenths].
    is_night : bool
        From an hour before sunset to an hour after sunrise.
    is_low : bool
        Whether the clouds hang below 7,000 feet.
    """
    if is_low and cloud_tenths >= 9.5:
        return 0
    if is_night:
        return -2 if cloud_tenths <= 4 else -1
    index = 1 + sum(sun_deg > edge for edge in (15, 35, 60))
    if cloud_tenths > 5:
        index = max(index - (2 if is_low else int(cloud_tenths >= 9.5)), 1)
    return index


def stability_of(speed_m_s: float, index: int) -> Stability:
    """Return the class of a wind speed and an index of net radiation.

    Examples
    --------
    >>> stability_of(2.0, -2).name
    'F'
    """
    row = int(np.searchsorted(_SPEEDS, speed_m_s, side="right")) - 1
    return Stability(min(int(_TABLE[max(row, 0)][4 - index]), 6) - 1)
