"""What the columns of a row say of a mark."""

from __future__ import annotations

import json
import math
from typing import Any, Final

from funnelfinder.errors import MarkError
from funnelfinder.files.outlines_in.kind_words import plain_word
from funnelfinder.marks import WHO

#: The phases of the season, as marks name them.
PHASES: Final = ("late summer", "early season", "pre-rut", "seeking", "peak breeding", "late")

_NAMES: Final = ("name",)
_NOTES: Final = ("note", "description", "desc", "cmt")
_CLASSES: Final = ("class", "cover_class")
_PHASE_START: Final = "weight_"
_KEPT: Final = "phase_weights"
_HIGHEST_CODE: Final = 255


def columns_said(row: dict[str, Any], where: str) -> dict[str, Any]:
    """Return the arguments of a `Mark` that the columns of a row give; blank ones are left out.

    Parameters
    ----------
    row : dict
        Values by column name in lower case.
    where : str
        What to call the row in errors.

    Raises
    ------
    MarkError
        If a value is no number, out of range, or names an unknown deer or phase.
    """
    said: dict[str, Any] = {
        "name": _text(row, _NAMES),
        "note": _text(row, _NOTES),
        "crop": _text(row, ("crop",)),
        "phase_weights": _phase_weights(row, where),
        "height_m": _number(row, "height_m", where),
        "width_m": _number(row, "width_m", where),
        "cover_class": _code(row, where),
        "weight": _number(row, "weight", where),
        "who": _who(row, where),
    }
    return {name: value for name, value in said.items() if value not in (None, "", {})}


def _text(row: dict[str, Any], columns: tuple[str, ...]) -> str:
    """Return the first of the columns that holds a text."""
    for column in columns:
        value = row.get(column)
        if isinstance(value, str) and value.strip():
            return value.strip()
        if isinstance(value, int | float) and not math.isnan(value):
            return f"{value:g}"
    return ""


def _number(row: dict[str, Any], column: str, where: str) -> float | None:
    """Return a positive number of a column, None where it is blank."""
    value = row.get(column)
    if value is None or value == "" or (isinstance(value, float) and math.isnan(value)):
        return None
    try:
        number = float(value)
    except (TypeError, ValueError):
        number = math.nan
    if not 0 < number < math.inf:
        raise MarkError(
            f"Its column {column} holds {value!r}, which is no number above 0.",
            where=where,
            remedy="Write a plain number, in metres for heights and widths.",
        )
    return number


def _code(row: dict[str, Any], where: str) -> int | None:
    """Return the class code of a row, None where it has none."""
    text = _text(row, _CLASSES)
    if not text:
        return None
    if not text.isdecimal() or int(text) > _HIGHEST_CODE:
        raise MarkError(
            f"Its column class holds {text!r}, which is no class code.",
            where=where,
            remedy="Write a code of your land-cover legend, such as 41.",
        )
    return int(text)


def _who(row: dict[str, Any], where: str) -> str:
    """Return who beds there, empty where the row does not say."""
    text = _text(row, ("who",)).lower()
    if text and text not in WHO:
        raise MarkError(
            f"Its column who holds {text!r}.", where=where, remedy="Say buck, doe or either."
        )
    return text


def _phase_weights(row: dict[str, Any], where: str) -> dict[str, float]:
    """Return the weights by phase that a row gives."""
    found = {}
    row = {**row, **_kept_weights(row, where)}
    for column in row:
        if column.startswith(_PHASE_START):
            weight = _number(row, column, where)
            if weight is not None:
                found[_phase(column, where)] = weight
    return found


def _kept_weights(row: dict[str, Any], where: str) -> dict[str, Any]:
    """Return the weights by phase as columns, from the one column of a property file."""
    text = _text(row, (_KEPT,))
    try:
        kept = json.loads(text or "{}")
    except ValueError:
        kept = None
    if not isinstance(kept, dict):
        raise MarkError(
            f"Its column {_KEPT} holds {text!r}, which is no list of weights.",
            where=where,
            remedy='Write {"pre-rut": 0.5}, or a column weight_pre_rut.',
        )
    return {f"{_PHASE_START}{phase}": weight for phase, weight in kept.items()}


def _phase(column: str, where: str) -> str:
    """Return the phase that a column names, in full or by its first letters.

    Shapefiles cut column names to ten letters, which leaves three of the phase.
    """
    word = plain_word(column.removeprefix(_PHASE_START))
    by_word = {plain_word(phase): phase for phase in PHASES}
    begun = [phase for known, phase in by_word.items() if word and known.startswith(word)]
    if word in by_word:
        return by_word[word]
    if len(begun) == 1:
        return begun[0]
    raise MarkError(
        f"Its column {column} names no phase.",
        where=where,
        remedy="The phases are: " + ", ".join(PHASES) + "; write weight_pre_rut, for example.",
    )
