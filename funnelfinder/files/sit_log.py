"""Sits made before, from a CSV file with the columns date and cluster (or stand)."""

from __future__ import annotations

import csv
import re
from datetime import date
from pathlib import Path

from funnelfinder.errors import RecordError


def read_sits(path: Path | str) -> dict[int, list[date]]:
    """Return the dates on which each cluster was hunted.

    Raises
    ------
    RecordError
        If it cannot be read or a row cannot be understood.
    """
    file = Path(path)
    try:
        with file.open(encoding="utf-8-sig", newline="") as stream:
            rows = [
                {str(k).strip().lower(): v for k, v in r.items()} for r in csv.DictReader(stream)
            ]
    except (OSError, UnicodeDecodeError, csv.Error) as error:
        raise RecordError("The log of sits cannot be read.", where=str(file)) from error
    found: dict[int, list[date]] = {}
    for number, row in enumerate(rows, start=2):
        spot = re.match(r"[SsCc]?(\d+)", (row.get("stand") or row.get("cluster") or "").strip())
        try:
            on = date.fromisoformat((row.get("date") or "").strip())
        except ValueError as error:
            raise _unread(file, number) from error
        if spot is None:
            raise _unread(file, number)
        found.setdefault(int(spot[1]), []).append(on)
    return found


def _unread(file: Path, number: int) -> RecordError:
    """Return what to say of a row that cannot be understood."""
    return RecordError(
        "It has no date and stand.",
        where=f"{file}, line {number}",
        remedy="Write rows like 2026-11-08,S1A under the heading date,stand.",
    )
