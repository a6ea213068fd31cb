"""The wind table: what each stand is worth on each of 16 winds, evening and morning."""

from __future__ import annotations

from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from typing import Final

import numpy as np

from funnelfinder.daylight import Half
from funnelfinder.defaults import StandSettings
from funnelfinder.grid import frozen
from funnelfinder.kernels import BoolArray, FloatArray
from funnelfinder.stands.base import StandBase
from funnelfinder.stands.sits import Moment, air_of, alerted_share, passing_of, within_of
from funnelfinder.stands.spots import Stand
from funnelfinder.wind import Sky

#: The winds of a table, by where they come from [deg from true north].
WINDS_DEG: Final = tuple(22.5 * k for k in range(16))
#: The kernels leave the interpreter lock, and two cores are common.
_AT_A_TIME: Final = 2


@dataclass(frozen=True, kw_only=True)
class WindTable:
    """What stands are worth by wind.

    Parameters
    ----------
    stands : tuple of Stand
        The rows.
    caught : (stands, 2) float64
        Share of trips caught in legal light, evening and morning; no wind changes it.
    alerted : (stands, 16, 2) float64
        Share of trips alerted first, by wind, evening and morning.
    """

    stands: tuple[Stand, ...]
    caught: FloatArray
    alerted: FloatArray

    @property
    def worth(self) -> FloatArray:
        """Caught less alerted, (stands, 16, 2)."""
        return np.asarray(self.caught[:, None, :] - self.alerted)

    def is_huntable(self, settings: StandSettings) -> BoolArray:
        """Return where a sit is worth more than nothing and alerts not too many."""
        few = self.alerted <= settings.alerted_many_share
        return np.asarray((self.worth > 0) & few)


def wind_table(
    base: StandBase,
    stands: Sequence[Stand],
    *,
    speed_m_s: float = 3.0,
    sky: Sky = Sky.CLEAR,
) -> WindTable:
    """Return what stands are worth on each of 16 winds of one speed.

    Parameters
    ----------
    base, stands
        Ground and trees.
    speed_m_s : float
        Speed of the wind [m/s].
    sky : Sky
        Cloud.
    """
    clocks = [base.clock(half) for half in Half]
    airs = [
        [
            air_of(base, Moment(half=half, from_deg=deg, speed_m_s=speed_m_s, sky=sky))
            for half in Half
        ]
        for deg in WINDS_DEG
    ]

    def row(stand: Stand) -> list[list[float]]:
        within = within_of(base, stand)
        return [
            [
                alerted_share(base, stand, within, air, half)
                for air, half in zip(both, Half, strict=True)
            ]
            for both in airs
        ]

    with ThreadPoolExecutor(_AT_A_TIME) as pool:
        alerted = list(pool.map(row, stands))
    caught = [
        [passing_of(base, within_of(base, one), clock).light_share for clock in clocks]
        for one in stands
    ]
    return WindTable(
        stands=tuple(stands),
        caught=frozen(np.array(caught, dtype=np.float64).reshape(-1, 2)),
        alerted=frozen(np.array(alerted, dtype=np.float64).reshape(-1, 16, 2)),
    )


def said_alerted(share: float, settings: StandSettings) -> str:
    """Return how many trips a sit alerts, in a word that needs no colour.

    Examples
    --------
    >>> said_alerted(0.03, StandSettings()), said_alerted(0.3, StandSettings())
    ('few', 'many')
    """
    if share < settings.alerted_few_share:
        return "few"
    return "some" if share <= settings.alerted_many_share else "many"
