"""What every setting carries: its unit for people, its range, and where the number comes from.

"judgement" and "common practice, no source" are sources too: they say that nobody measured it.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import Enum
from typing import Any, Final

from funnelfinder.units import ACRE_M2, FOOT_M, YARD_M

JUDGEMENT: Final = "judgement"
COMMON: Final = "common practice, no source"

#: What one of the shown unit is in the unit that the program computes in.
SHOWN_UNITS: Final[dict[str, float]] = {
    "yd": YARD_M,
    "ft": FOOT_M,
    "ac": ACRE_M2,
    "m": 1.0,
    "%": 0.01,
    "deg": 1.0,
    "min": 1.0,
    "m/min": 1.0,
    "m/s": 1.0,
    "": 1.0,
}


@dataclass(frozen=True, slots=True, kw_only=True)
class About:
    """What a setting is: its unit for people, its range in the program's unit, and its source."""

    shown: str
    low: float
    high: float
    source: str
    words: str


def setting(default: Any, *, shown: str, low: float, high: float, source: str, words: str) -> Any:
    """Return a dataclass field that carries what the number means; range in the shown unit."""
    scale = SHOWN_UNITS[shown]
    about = About(shown=shown, low=low * scale, high=high * scale, source=source, words=words)
    value = default if isinstance(default, Enum) else type(default)(default * scale)
    return field(default=value, metadata={"about": about})


def shown_value(value: Any, about: About) -> str:
    """Return a value with its unit as people read it.

    Examples
    --------
    >>> about = About(shown="yd", low=0, high=200, source=JUDGEMENT, words="How far.")
    >>> shown_value(91.44, about)
    '100 yd'
    """
    if isinstance(value, Enum):
        return str(value.value)
    number = value / SHOWN_UNITS[about.shown]
    return f"{number:.6g} {about.shown}".strip()
