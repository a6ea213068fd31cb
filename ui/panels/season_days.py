"""Days of the year as people type and read them."""

from __future__ import annotations

import re
from datetime import date
from typing import Final

from funnelfinder.errors import SettingError
from funnelfinder.season import month_day

_MONTHS: Final = tuple(f"{date(2000, month, 1):%B}" for month in range(1, 13))
_LEAST_LETTERS: Final = 3


def typed_day(text: str, *, where: str) -> str:
    """Return a typed day of the year as ``MM-DD``; an empty text gives an empty one.

    Raises
    ------
    SettingError
        If it is no day of the year.

    Examples
    --------
    >>> [typed_day(text, where="day") for text in ("15 Nov", "november 15", "11/15", "11-15", "")]
    ['11-15', '11-15', '11-15', '11-15', '']
    """
    plain = " ".join(re.sub(r"[,.]", " ", text).lower().split())
    if not plain:
        return ""
    named = re.fullmatch(r"(?:(\d{1,2}) ([a-z]+)|([a-z]+) (\d{1,2}))", plain, flags=re.ASCII)
    if named:
        word, day = named[2] or named[3], named[1] or named[4]
        months = [k for k, name in enumerate(_MONTHS, 1) if name.lower().startswith(word)]
        if len(word) >= _LEAST_LETTERS and months:
            plain = f"{months[0]}-{day}"
    elif re.fullmatch(r"\d{1,2}/\d{1,2}", plain, flags=re.ASCII):
        plain = plain.replace("/", "-")
    try:
        month, day_of = month_day(plain, where=where)
    except SettingError as error:
        raise SettingError(
            f"{text.strip()!r} is no day of the year.",
            where=where,
            remedy="Type it like 15 November, or 11-15.",
        ) from error
    return f"{month:02d}-{day_of:02d}"


def said_month_day(text: str) -> str:
    """Return a day of the year as people read it.

    Examples
    --------
    >>> said_month_day("11-15"), said_month_day("")
    ('15 November', '')
    """
    if not text:
        return ""
    month, day = month_day(text)
    return f"{day} {_MONTHS[month - 1]}"


def typed_date(text: str, today: date, *, where: str = "log") -> str:
    """Return a typed date as ``2026-10-03``; one without a year is the last such day.

    Raises
    ------
    SettingError
        If it is no date.

    Examples
    --------
    >>> typed_date("3 Oct", date(2026, 11, 25)), typed_date("12-30", date(2026, 11, 25))
    ('2026-10-03', '2025-12-30')
    >>> typed_date("2026-10-03", date(2026, 11, 25)), typed_date("", date(2026, 11, 25))
    ('2026-10-03', '2026-11-25')
    """
    plain = text.strip()
    if not plain or plain.lower() == "today":
        return today.isoformat()
    if re.fullmatch(r"\d{4}-\d{2}-\d{2}", plain, flags=re.ASCII):
        try:
            return date.fromisoformat(plain).isoformat()
        except ValueError as error:
            raise SettingError(
                f"{plain!r} is no date.", where=where, remedy="Type it like 2026-10-03."
            ) from error
    year = re.search(r"\b(20\d{2})$", plain, flags=re.ASCII)
    month, day = month_day(typed_day(plain[: year.start()] if year else plain, where=where))
    for number in [int(year[1])] if year else [today.year, today.year - 1, today.year - 2]:
        try:
            found = date(number, month, day)
        except ValueError:
            continue
        if year or found <= today:
            return found.isoformat()
    raise SettingError(f"{plain!r} is no date.", where=where, remedy="Type it like 2026-10-03.")
