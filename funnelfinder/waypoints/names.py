"""Short names: receivers cut long ones, and names cut short clash."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable
from typing import Final

#: Longest name; older receivers keep no more (common practice, no source).
NAME_LENGTH: Final = 10

#: Trade words and how they are said in six letters, the tightest first.
_TELLING: Final = {
    "inside corner": "CORNER",
    "ditch head": "DITCH",
    "field edge": "EDGE",
    "corner": "CORNER",
    "saddle": "SADDLE",
    "bench": "BENCH",
    "crossing": "CROSS",
    "ditch": "DITCH",
    "draw": "DRAW",
    "neck": "NECK",
    "gap": "GAP",
    "point": "POINT",
}


def short_name(stem: str, otherwise: str, *, telling: str = "", own: str = "") -> str:
    """Return a stem, a hyphen and one telling word, as long as there is room.

    Parameters
    ----------
    stem : str
        What makes the name unique and sortable, of A-Z and 0-9.
    otherwise : str
        The word where nothing better is known.
    telling : str
        Text that may hold a trade word, which then is the word.
    own : str
        What the person calls it, used where no trade word is found.

    Examples
    --------
    >>> short_name("C1A", "PINCH", telling="East saddle")
    'C1A-SADDLE'
    >>> short_name("C1B", "PINCH", own="Old oak")
    'C1B-OLDOAK'
    """
    found = next((said for word, said in _TELLING.items() if _holds(telling, word)), "")
    room = max(NAME_LENGTH - len(stem) - 1, 0)
    word = (found or _cut_words(own, room) or otherwise)[:room]
    return f"{stem}-{word}" if word else stem[:NAME_LENGTH]


def _holds(text: str, word: str) -> bool:
    """Return whether a trade word stands in a text; a pinch point is not a point."""
    return re.search(rf"(?<!pinch )\b{word}\b", text.lower()) is not None


def _cut_words(text: str, room: int) -> str:
    """Return as many whole words of a text as there is room for, at least a piece of the first.

    Examples
    --------
    >>> _cut_words("Bean field, edge", 6), _cut_words("Old oak", 6), _cut_words("Persimmons", 6)
    ('BEAN', 'OLDOAK', 'PERSIM')
    """
    words = [word for word in map(_letters, text.split()) if word]
    kept = "".join(words[:1])
    for word in words[1:]:
        if len(kept) + len(word) > room:
            break
        kept += word
    return kept[:room]


def _letters(text: str) -> str:
    """Return the A-Z and 0-9 of a text, accents dropped.

    Examples
    --------
    >>> _letters("Old Öak #2")
    'OLDOAK2'
    """
    flat = unicodedata.normalize("NFKD", text).encode("ascii", "ignore").decode("ascii")
    return re.sub(r"[^A-Z0-9]", "", flat.upper())


def unique_names(names: Iterable[str]) -> list[str]:
    """Return the names, a counter at the end of those that stood already.

    Examples
    --------
    >>> unique_names(["P01-SADDLE", "P01-SADDLE"])
    ['P01-SADDLE', 'P01-SADD-2']
    """
    kept: dict[str, None] = {}
    for name in names:
        free, count = name, 1
        while free in kept:
            count += 1
            free = f"{name[: NAME_LENGTH - len(str(count)) - 1].rstrip('-')}-{count}"
        kept[free] = None
    return list(kept)
