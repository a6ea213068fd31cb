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
from funnelfinder.stands.sits import Moment, air_of, alerted_shares, comers_of, within_of
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
        Share of all trips that would come within reach in legal light but are alerted first, by
        wind, evening and morning; never more than is caught.
    """

    stands: tuple[Stand, ...]
    caught: FloatArray
    alerted: FloatArray

    @property
    def worth(self) -> FloatArray:
        """Caught less alerted, (stands, 16, 2)."""
        return np.asarray(self.caught[:, None, :] - self.alerted)

    @property
    def alerted_part(self) -> FloatArray:
        """Of the trips that would come within reach in legal light, the part alerted first.

        (stands, 16, 2); 0 where none would come. This is what counts as few, some or many.
        """
        caught = self.caught[:, None, :]
        return np.asarray(self.alerted / np.where(caught > 0, caught, np.inf))

    def is_huntable(self, settings: StandSettings) -> BoolArray:
        """Return where a sit is worth more than nothing and alerts not too many of its trips."""
        few = self.alerted_part <= settings.alerted_many_share
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

    def row(stand: Stand) -> tuple[list[float], list[list[float]]]:
        within = within_of(base, stand)
        comers = [comers_of(base, within, clock) for clock in clocks]
        alerted = [
            [alerted_shares(base, stand, *one)[0] for one in zip(comers, both, strict=True)]
            for both in airs
        ]
        return [float(base.walks.weight @ one.light) for one in comers], alerted

    with ThreadPoolExecutor(_AT_A_TIME) as pool:
        rows = list(pool.map(row, stands))
    caught, alerted = [one for one, _ in rows], [one for _, one in rows]
    return WindTable(
        stands=tuple(stands),
        caught=frozen(np.array(caught, dtype=np.float64).reshape(-1, 2)),
        alerted=frozen(np.array(alerted, dtype=np.float64).reshape(-1, 16, 2)),
    )


def said_alerted(part: float, settings: StandSettings) -> str:
    """Return how many of its trips a sit alerts, in a word that needs no colour.

    ``part`` is `WindTable.alerted_part` or `Sit.alerted_part`.

    Examples
    --------
    >>> said_alerted(0.03, StandSettings()), said_alerted(0.3, StandSettings())
    ('few', 'many')
    """
    if part < settings.alerted_few_share:
        return "few"
    return "some" if part <= settings.alerted_many_share else "many"
