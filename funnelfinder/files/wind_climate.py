"""How often each wind blows at a place, from a CSV file of hourly direction and speed."""

from __future__ import annotations

import csv
import math
from dataclasses import dataclass
from pathlib import Path
from typing import Final

import numpy as np

from funnelfinder.errors import RecordError
from funnelfinder.grid import frozen
from funnelfinder.kernels import FloatArray
from funnelfinder.units import MILE_M
from funnelfinder.wind import compass_deg
from funnelfinder.wind.air import CALM_M_S

_DIRECTION: Final = ("wind_from_deg", "direction", "wind_direction", "from")
_SPEED: Final = {
    "speed_m_s": 1.0,
    "speed_mph": MILE_M / 3600,
    "speed_kt": 1852 / 3600,
    "speed_km_h": 1 / 3.6,
}
#: No wind blows faster, in any of these units.
_FASTEST: Final = 300.0


@dataclass(frozen=True, kw_only=True)
class WindClimate:
    """How often each of 16 winds blows, (16,) summing to 1, and the share of calm hours."""

    weight: FloatArray
    calm_share: float
    n_hours: int


def read_wind_climate(path: Path | str) -> WindClimate:
    """Return the wind climate of a file with a direction and a speed in each row.

    Calm and variable hours are counted and left out of the weights.

    Raises
    ------
    RecordError
        If it cannot be read, a column is missing, or a row cannot be understood.
    """
    file = Path(path)
    try:
        with file.open(encoding="utf-8-sig", newline="") as stream:
            rows = list(csv.DictReader(stream))
    except (OSError, UnicodeDecodeError, csv.Error) as error:
        raise RecordError("The wind climate cannot be read.", where=str(file)) from error
    columns = {str(name).strip().lower(): name for name in (rows[0] if rows else {})}
    direction = next((columns[one] for one in _DIRECTION if one in columns), None)
    speed = next((one for one in _SPEED if one in columns), None)
    if direction is None or speed is None:
        raise RecordError(
            "It has no column of direction or of speed, or no rows.",
            where=str(file),
            remedy=f"Name them {_DIRECTION[0]} and one of {', '.join(_SPEED)}.",
        )
    weight, n_calm = np.zeros(16), 0
    for number, row in enumerate(rows, start=2):
        deg, speed_m_s = _read(row[direction], row[columns[speed]], f"{file}, line {number}")
        if math.isnan(deg) or speed_m_s * _SPEED[speed] < CALM_M_S:
            n_calm += 1
        else:
            weight[round(deg / 22.5) % 16] += 1.0
    if weight.sum() == 0:
        raise RecordError("Every hour in it is calm.", where=str(file))
    return WindClimate(
        weight=frozen(weight / weight.sum()), calm_share=n_calm / len(rows), n_hours=len(rows)
    )


def _read(direction: str | None, speed: str | None, where: str) -> tuple[float, float]:
    """Return direction [deg] and speed of one row."""
    try:
        found, deg = float(speed or ""), compass_deg(direction or "variable")
    except ValueError as error:
        raise _no_wind(direction, speed, where) from error
    if not 0 <= found < _FASTEST:
        raise _no_wind(direction, speed, where)
    return deg, found


def _no_wind(direction: str | None, speed: str | None, where: str) -> RecordError:
    """Return what to say of a row that is no wind."""
    return RecordError(
        f"{direction!r} and {speed!r} are no wind.",
        where=where,
        remedy="Write a direction like 315 or NW, and a speed from 0 on.",
    )
