"""Settings as people read and type them."""

from __future__ import annotations

from dataclasses import dataclass, field, fields, replace
from enum import Enum
from typing import Any, Final

from funnelfinder.defaults.about import SHOWN_UNITS, About, shown_value
from funnelfinder.defaults.movement import CostSettings, GroundSettings, TripSettings
from funnelfinder.defaults.season import SeasonSettings
from funnelfinder.defaults.sitting import DaylightSettings, StandSettings, WindSettings
from funnelfinder.defaults.spots import PinchSettings, RedrawSettings, ScrapeSettings
from funnelfinder.errors import SettingError
from funnelfinder.units import FOOT_M, YARD_M


@dataclass(frozen=True, slots=True, kw_only=True)
class Settings:
    """All settings of a property, by topic."""

    ground: GroundSettings = field(default_factory=GroundSettings)
    cost: CostSettings = field(default_factory=CostSettings)
    trips: TripSettings = field(default_factory=TripSettings)
    pinch: PinchSettings = field(default_factory=PinchSettings)
    scrapes: ScrapeSettings = field(default_factory=ScrapeSettings)
    redraws: RedrawSettings = field(default_factory=RedrawSettings)
    season: SeasonSettings = field(default_factory=SeasonSettings)
    daylight: DaylightSettings = field(default_factory=DaylightSettings)
    wind: WindSettings = field(default_factory=WindSettings)
    stands: StandSettings = field(default_factory=StandSettings)


_UNIT_ENDS: Final = ("_ac_m2", "_m", "_deg")


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """One setting as people meet it: ``name``, ``value`` in the program's unit, what it is."""

    name: str
    topic: str
    attribute: str
    value: Any
    default: Any
    about: About


def _plain_name(attribute: str) -> str:
    """Return the attribute as a person types it, without its unit."""
    for end in _UNIT_ENDS:
        if attribute.endswith(end):
            attribute = attribute[: -len(end)]
            break
    return attribute.replace("_", "-")


def entries(settings: Settings) -> tuple[Entry, ...]:
    """Return every setting in order; names are unique across topics."""
    found = []
    for topic in fields(settings):
        group = getattr(settings, topic.name)
        for one in fields(group):
            found.append(
                Entry(
                    name=_plain_name(one.name),
                    topic=topic.name,
                    attribute=one.name,
                    value=getattr(group, one.name),
                    default=one.default,
                    about=one.metadata["about"],
                )
            )
    return tuple(found)


def with_setting(settings: Settings, name: str, text: str) -> Settings:
    """Return settings with one of them changed, as a person typed it.

    Parameters
    ----------
    settings : Settings
        What to start from.
    name : str
        A name of `entries`.
    text : str
        A number, with or without a unit (``60yd``, ``55 m``); without one it is in the unit shown.

    Raises
    ------
    SettingError
        If the name is unknown, the text no number of that unit, or the number out of range.
    """
    known = {entry.name: entry for entry in entries(settings)}
    entry = known.get(name.strip().lower().replace("_", "-"))
    if entry is None:
        raise SettingError(
            "There is no setting of that name.",
            where=name,
            remedy="Known are: " + ", ".join(sorted(known)) + ".",
        )
    value = _parsed(text, entry)
    group = replace(getattr(settings, entry.topic), **{entry.attribute: value})
    return replace(settings, **{entry.topic: group})


def _parsed(text: str, entry: Entry) -> Any:
    """Return the value that ``text`` means for ``entry``, in the program's unit."""
    if isinstance(entry.default, Enum):
        choices = {choice.value: choice for choice in type(entry.default)}
        if text.strip().lower() not in choices:
            raise SettingError(
                f"It cannot be {text!r}.",
                where=entry.name,
                remedy="Choose one of: " + ", ".join(choices) + ".",
            )
        return choices[text.strip().lower()]
    value = _number(text, entry)
    about = entry.about
    if not about.low - 1e-9 <= value <= about.high * (1 + 1e-9):
        raise SettingError(
            f"{text.strip()} is out of its range.",
            where=entry.name,
            remedy=f"Give {shown_value(about.low, about)} to {shown_value(about.high, about)}.",
        )
    return type(entry.default)(round(value) if isinstance(entry.default, int) else value)


def _number(text: str, entry: Entry) -> float:
    """Return the typed number in the program's unit."""
    word = text.strip().lower()
    unit = word.lstrip("+-0123456789.e").strip()
    number = word[: len(word) - len(unit)].strip() if unit else word
    lengths = {"yd": YARD_M, "yards": YARD_M, "ft": FOOT_M, "feet": FOOT_M, "m": 1.0}
    allowed = lengths if entry.about.shown in ("yd", "ft", "m") else {entry.about.shown: 1.0}
    allowed = {**allowed, "": SHOWN_UNITS[entry.about.shown]}
    allowed[entry.about.shown] = SHOWN_UNITS[entry.about.shown]
    try:
        return float(number) * allowed[unit]
    except (KeyError, ValueError) as error:
        raise SettingError(
            f"{text!r} is not a number with a fitting unit.",
            where=entry.name,
            remedy=f"Write it like {shown_value(entry.default, entry.about)!r}.",
        ) from error
