"""The words by which people name kinds of marks."""

from __future__ import annotations

import re
from typing import Final

from funnelfinder.marks import MarkKind

#: Other words for a kind, in the singular, with hyphens.
_OTHER_WORDS: Final[dict[str, MarkKind]] = {
    "bedding": MarkKind.BED,
    "bedding-area": MarkKind.BED,
    "bed-area": MarkKind.BED,
    "buck-bed": MarkKind.BED,
    "doe-bed": MarkKind.BED,
    "food-source": MarkKind.FOOD,
    "food-plot": MarkKind.FOOD,
    "feeding": MarkKind.FOOD,
    "feeding-area": MarkKind.FOOD,
    "field": MarkKind.FOOD,
    "plot": MarkKind.FOOD,
    "core-area": MarkKind.CORE,
    "land-cover": MarkKind.COVER,
    "pond": MarkKind.WATER,
    "lake": MarkKind.WATER,
    "building": MarkKind.HOUSE,
    "fence-line": MarkKind.FENCE,
    "fenceline": MarkKind.FENCE,
    "stream": MarkKind.CREEK,
    "fence-gap": MarkKind.GAP,
    "creek-crossing": MarkKind.CROSSING,
    "parking": MarkKind.WAY_IN,
    "entry": MarkKind.WAY_IN,
    "access": MarkKind.WAY_IN,
    "wayin": MarkKind.WAY_IN,
    "way-in": MarkKind.WAY_IN,
    "ways-in": MarkKind.WAY_IN,
    "keepoff": MarkKind.KEEP_OFF,
    "keep-out": MarkKind.KEEP_OFF,
    "deer-trail": MarkKind.TRAIL,
    "track": MarkKind.TRACKS,
    "deer-track": MarkKind.TRACKS,
}
_BY_WORD: Final = {**{kind.value: kind for kind in MarkKind}, **_OTHER_WORDS}
_BOUNDARY: Final = frozenset(
    {"boundary", "boundarie", "property", "propertie", "property-boundary", "parcel", "outline"}
)


def plain_word(text: str) -> str:
    """Return a word in lower case with hyphens.

    Examples
    --------
    >>> plain_word(" Keep_Off ")
    'keep-off'
    """
    return re.sub(r"[\s_\-]+", "-", text.strip().lower()).strip("-")


def kind_of_word(text: str) -> MarkKind | None:
    """Return the kind that a word means, in singular or plural, or None.

    Examples
    --------
    >>> kind_of_word("Fences"), kind_of_word("ditches"), kind_of_word("Keep off")
    (<MarkKind.FENCE: 'fence'>, <MarkKind.DITCH: 'ditch'>, <MarkKind.KEEP_OFF: 'keep-off'>)
    """
    word = plain_word(text)
    for form in (word, word.removesuffix("s"), word.removesuffix("es")):
        if form in _BY_WORD:
            return _BY_WORD[form]
    return None


def who_of_word(text: str) -> str:
    """Return who beds in a bed of this name: ``buck``, ``doe`` or ``either``.

    Examples
    --------
    >>> who_of_word("Doe beds")
    'doe'
    """
    return next((who for who in ("buck", "doe") if plain_word(text).startswith(who)), "either")


def is_boundary_word(text: str) -> bool:
    """Return whether a word names the boundary itself.

    Examples
    --------
    >>> is_boundary_word("Property boundary"), is_boundary_word("beds")
    (True, False)
    """
    return plain_word(text).removesuffix("s") in _BOUNDARY


def known_kinds() -> str:
    """Return all kinds in one line."""
    return ", ".join(kind.value for kind in MarkKind)
