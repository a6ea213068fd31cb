"""Every setting in words: value, unit, range, source."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator
from enum import Enum
from itertools import groupby
from typing import Final

from funnelfinder.defaults import Entry, entries, shown_value
from funnelfinder.marks import Property

_COLUMNS_WIDE: Final = 88
_TOPICS: Final = {
    "ground": "Ground",
    "cost": "Cost of a step",
    "trips": "Trips",
    "pinch": "Pinch points",
    "scrapes": "Scrapes",
    "redraws": "Redraws",
    "season": "Season",
}


def settings_lines(place: Property) -> Iterator[str]:
    """Yield the settings of a property by topic, then its cover table."""
    for topic, group in groupby(entries(place.settings), key=lambda entry: entry.topic):
        title = _TOPICS.get(topic, topic.capitalize())
        yield from (title, "-" * len(title))
        for entry in group:
            yield from _entry_lines(entry)
        yield ""
    yield from _cover_lines(place)


def _entry_lines(entry: Entry) -> Iterator[str]:
    """Yield one setting: value, usual value, range, source; then what it means."""
    usual = shown_value(entry.default, entry.about)
    value = shown_value(entry.value, entry.about)
    mark = "" if entry.value == entry.default else f" (usual: {usual})"
    yield f"{entry.name} = {value}{mark}   {_said_range(entry)}"
    words = f"{entry.about.words} Source: {entry.about.source}."
    yield textwrap.indent(textwrap.fill(words, _COLUMNS_WIDE - 4), "    ")


def _said_range(entry: Entry) -> str:
    """Return the range of a setting, or its choices."""
    if isinstance(entry.default, Enum):
        return "one of " + ", ".join(choice.value for choice in type(entry.default))
    low, high = (shown_value(end, entry.about) for end in (entry.about.low, entry.about.high))
    return f"{low} to {high}"


def _cover_lines(place: Property) -> Iterator[str]:
    """Yield the cover table."""
    title = f"Cover table ({place.cover_table.legend})"
    yield from (title, "-" * len(title))
    yield f"{'code':>4}  {'class':<32} {'cost':>6}  {'range':>12}  source"
    for one in place.cover_table.classes:
        spread = f"{one.low:g} to {one.high:g}"
        yield f"{one.code:>4}  {one.name:<32} {one.resistance:>6g}  {spread:>12}  {one.source}"
