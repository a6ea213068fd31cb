"""The phases of the season, counted in days from the local peak breeding date.

Nothing here is known to the day: a population's own mean shifts with a standard deviation of 4
days between years (Dye et al. 2012, Wildl. Soc. Bull.), so dates are shown as "about".
"""

from __future__ import annotations

import calendar
import re
from dataclasses import dataclass
from datetime import date, timedelta
from enum import Enum
from typing import Final

from funnelfinder.defaults import SeasonSettings
from funnelfinder.errors import SettingError

#: How far shown dates may be off [days]: twice the SD between years (Dye et al. 2012).
UNSURE_DAYS: Final = 7
#: Days from the peak after which a day belongs to the next peak.
_HALF_YEAR_DAYS: Final = 182
#: A doe that was not bred comes in heat again after so many days (state agency texts).
SECOND_PEAK_DAYS: Final = 28


class Phase(Enum):
    """Part of the season; the value is the word that people read."""

    LATE_SUMMER = "late summer"
    EARLY_SEASON = "early season"
    PRE_RUT = "pre-rut"
    SEEKING = "seeking"
    PEAK_BREEDING = "peak breeding"
    LATE = "late"


@dataclass(frozen=True, slots=True, kw_only=True)
class Span:
    """One phase of one season: its first and last day."""

    phase: Phase
    first: date
    last: date


def month_day(text: str, *, where: str = "peak breeding") -> tuple[int, int]:
    """Return the month and day of a text like ``11-15``; 29 February is allowed.

    Raises
    ------
    SettingError
        If it is no such day.

    Examples
    --------
    >>> month_day("01-21")
    (1, 21)
    """
    found = re.fullmatch(r"(\d{1,2})-(\d{1,2})", text.strip(), flags=re.ASCII)
    month, day = (int(found[1]), int(found[2])) if found else (0, 0)
    if not 1 <= month <= 12 or not 1 <= day <= calendar.monthrange(2000, month)[1]:
        raise SettingError(
            f"{text!r} is no day of the year.",
            where=where,
            remedy="Write month and day, as 11-15 for the 15th of November.",
        )
    return month, day


def day_in(year: int, text: str) -> date:
    """Return the day of a year that a text like ``11-15`` names.

    Examples
    --------
    >>> day_in(2027, "02-29")
    datetime.date(2027, 2, 28)
    """
    month, day = month_day(text)
    return date(year, month, min(day, calendar.monthrange(year, month)[1]))


def peak_for(day: date, peak: str) -> date:
    """Return the peak of the season that a day belongs to: the nearest one.

    Examples
    --------
    >>> peak_for(date(2026, 12, 20), "01-21")
    datetime.date(2027, 1, 21)
    """
    years = (day.year - 1, day.year, day.year + 1)
    return min((day_in(year, peak) for year in years), key=lambda one: (abs(day - one), one))


def phase_starts(peak_on: date, settings: SeasonSettings, *, velvet: str = "") -> dict[Phase, int]:
    """Return the first day of each phase in days from the peak.

    Where the day is known on which bucks here shed their velvet, the early season begins with it,
    as long as it stays before the pre-rut.
    """
    early = settings.early_season_day
    if velvet:
        shed = (peak_for(peak_on - timedelta(days=70), velvet) - peak_on).days
        if -_HALF_YEAR_DAYS < shed < settings.pre_rut_day:
            early = shed
    return {
        Phase.LATE_SUMMER: -_HALF_YEAR_DAYS,
        Phase.EARLY_SEASON: early,
        Phase.PRE_RUT: settings.pre_rut_day,
        Phase.SEEKING: settings.seeking_day,
        Phase.PEAK_BREEDING: settings.peak_breeding_day,
        Phase.LATE: settings.late_day,
    }


def phase_on(day: date, peak: str, settings: SeasonSettings, *, velvet: str = "") -> Phase:
    """Return the phase that a day lies in.

    Examples
    --------
    >>> phase_on(date(2026, 10, 31), "11-15", SeasonSettings())
    <Phase.SEEKING: 'seeking'>
    """
    peak_on = peak_for(day, peak)
    offset = (day - peak_on).days
    found = Phase.LATE_SUMMER
    for phase, start in phase_starts(peak_on, settings, velvet=velvet).items():
        if offset >= start:
            found = phase
    return found


def spans(peak_on: date, settings: SeasonSettings, *, velvet: str = "") -> tuple[Span, ...]:
    """Return the phases of the season of one peak, in order, without a gap."""
    starts = list(phase_starts(peak_on, settings, velvet=velvet).items())
    ends = [start - 1 for _, start in starts[1:]] + [_HALF_YEAR_DAYS]
    return tuple(
        Span(
            phase=phase,
            first=peak_on + timedelta(days=start),
            last=peak_on + timedelta(days=end),
        )
        for (phase, start), end in zip(starts, ends, strict=True)
    )


def said_day(day: date) -> str:
    """Return a day as people write it.

    Examples
    --------
    >>> said_day(date(2026, 11, 5))
    '5 November 2026'
    """
    return f"{day.day} {day:%B %Y}"


def said_about(day: date) -> str:
    """Return a day to the third of its month, since nothing is known to the day.

    Examples
    --------
    >>> said_about(date(2026, 10, 25))
    'late October'
    """
    third = ("early", "mid-", "late")[min((day.day - 1) // 10, 2)]
    return f"{third}{day:%B}" if third.endswith("-") else f"{third} {day:%B}"
