"""What a person chose for the season, kept with the property."""

from __future__ import annotations

from dataclasses import dataclass, field
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from funnelfinder.errors import SettingError
from funnelfinder.season.phases import Phase, month_day
from funnelfinder.season.rules import WorkRule, shipped_rules
from funnelfinder.season.scents import Allowance


@dataclass(frozen=True, slots=True, kw_only=True)
class SeasonChoices:
    """Choices for the season.

    Parameters
    ----------
    phase : str
        Phase that trips are run for, as `Phase` words it; empty for the whole season.
    opening, velvet : str
        Opening of the season and the day on which bucks here shed velvet, as ``MM-DD``; empty
        until the person sets them.
    allowance : Allowance
        What scent is allowed where they hunt.
    may_enter_core : bool
        Whether work in a buck's core may be planned.
    rules : tuple of WorkRule
        The work table.

    Raises
    ------
    SettingError
        If a day or phase is none.
    """

    phase: str = ""
    opening: str = ""
    velvet: str = ""
    allowance: Allowance = Allowance.UNKNOWN
    may_enter_core: bool = False
    rules: tuple[WorkRule, ...] = field(default_factory=shipped_rules)

    def __post_init__(self) -> None:
        for name, text in (("season opening", self.opening), ("velvet", self.velvet)):
            if text:
                month_day(text, where=name)
        phases = [phase.value for phase in Phase]
        if self.phase and self.phase not in phases:
            raise SettingError(
                f"{self.phase!r} is no phase.",
                where="phase",
                remedy="Choose one of: " + ", ".join(phases) + ".",
            )


def zone_of(name: str) -> ZoneInfo:
    """Return the time zone of a name such as ``America/New_York``.

    Raises
    ------
    SettingError
        If there is none of that name.
    """
    try:
        return ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError) as error:
        raise SettingError(
            f"There is no time zone {name!r}.",
            where="time zone",
            remedy="Write it like America/New_York or America/Chicago.",
        ) from error
