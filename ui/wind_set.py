"""The wind that the person set, and the answers that hang on it."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, field
from enum import Enum
from typing import Any, Final

from funnelfinder.daylight import Half
from funnelfinder.stands import Moment, Sit, WindTable
from funnelfinder.units import MILE_M
from funnelfinder.wind import Sky

from .workers.sit_tasks import Scent, Trees

MPH: Final = MILE_M / 3600.0


class Swing(Enum):
    """How the wind holds its direction; the value is what people read."""

    STEADY = "steady"
    SWINGS = "swings"
    ALL_OVER = "all over"


#: How far a wind that swings goes to each side, beyond the usual (judgement) [deg].
_SWINGS_DEG: Final = 45.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Wind:
    """The wind that the person set.

    ``from_deg`` is where it comes from [deg true], ``speed_m_s`` its speed [m/s].
    """

    from_deg: float = 315.0
    speed_m_s: float = 7 * MPH
    swing: Swing = Swing.STEADY
    sky: Sky = Sky.CLEAR

    def moment(self, half: Half) -> Moment:
        """Return when somebody sits, on this wind."""
        return Moment(
            half=half,
            from_deg=math.nan if self.swing is Swing.ALL_OVER else self.from_deg,
            speed_m_s=self.speed_m_s,
            sky=self.sky,
            spread_deg=_SWINGS_DEG if self.swing is Swing.SWINGS else 0.0,
        )


@dataclass(frozen=True, kw_only=True)
class Wish:
    """What is wanted of the worker: the question, its arguments, and what the answer belongs to."""

    task: Callable[..., Any]
    arguments: tuple[Any, ...]
    key: tuple[Any, ...]
    name: str


@dataclass(kw_only=True)
class Answers:
    """The newest answers, each with what it belongs to."""

    trees: Trees | None = None
    table: WindTable | None = None
    sits: tuple[Sit, ...] | None = None
    scent: Scent | None = None
    keys: dict[str, Any] = field(default_factory=dict)
