"""The work table: what is done at which kind of spot, when, how often, and what that rests on.

It is shipped as ``data/work.csv``; a person may keep a changed copy with the property.
"""

from __future__ import annotations

import csv
import io
import re
from dataclasses import dataclass, fields
from datetime import time
from enum import Enum
from functools import cache
from importlib.resources import files
from typing import Final

from funnelfinder.errors import SettingError
from funnelfinder.season.scents import Scent

#: Kinds of spot, as clusters name them.
SPOT_KINDS: Final = ("field edge", "staging", "pinch", "travel")
#: Height of the licking branch above the bare ground: common practice, no source; Kile &
#: Marchinton 1977, Am. Midl. Nat. 97:257, measured 76 to 178 cm.
BRANCH_CM: Final = (120, 150)
BRANCH_SEEN_CM: Final = (76, 178)
BRANCH_WORDS: Final = (
    f"Licking branch {BRANCH_CM[0]} to {BRANCH_CM[1]} cm (about 4 to 5 feet) above the bare "
    "ground: a live, bendy limb that hangs over it, at least as thick as a finger, of a kind "
    "that deer here already use."
)
_MOST_DAYS: Final = 400
_AMOUNTS: Final = ("", "sparing", "full")


class Action(Enum):
    """What is done; the value is the word in the table."""

    OPEN = "open"
    ADD = "add scrapes"
    FRESHEN = "freshen"
    HANG_CAMERA = "hang camera"
    CHECK_CAMERA = "check camera"
    MOVE_CAMERA = "move camera"
    HANG_STAND = "hang stand"
    SIT = "sit"
    MOVE_SCRAPE = "move scrape"
    LEAVE = "leave alone"
    GAP = "visit gap"


#: What touches scrapes.
SCRAPE_ACTIONS: Final = (Action.OPEN, Action.ADD, Action.FRESHEN)
#: Rows that forbid instead of asking for something.
LIMITS: Final = (Action.LEAVE, Action.GAP)


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkRule:
    """One row of the table.

    Parameters
    ----------
    rule : str
        Its name, unique in the table.
    action : Action
        What is done.
    at : tuple of str
        Kinds of spot.
    from_day, to_day : int
        First and last day, counted from the peak breeding date.
    every_days : int
        Least number of days between two such visits; 0 for once.
    scent : Scent
        Kind of scent; what the person allows decides whether it is named.
    amount : str
        Empty, ``sparing`` or ``full``.
    scrapes : int
        How many scrapes at most.
    hours : str
        When in the day, as ``11:00-14:00``; empty where nothing is done.
    words, source : str
        What is said, and what it rests on.
    """

    rule: str
    action: Action
    at: tuple[str, ...]
    from_day: int
    to_day: int
    every_days: int = 0
    scent: Scent = Scent.NONE
    amount: str = ""
    scrapes: int = 0
    hours: str = ""
    words: str = ""
    source: str = "the user's table"

    def __post_init__(self) -> None:
        faults = {
            "It has no name.": not self.rule,
            "It is for no known kind of spot.": not self.at or not set(self.at) <= set(SPOT_KINDS),
            "Its days are not in order within 400 of the peak.": not (
                -_MOST_DAYS <= self.from_day <= self.to_day <= _MOST_DAYS
            ),
            "Its least days between visits are below 0, or missing for a gap.": self.every_days < 0
            or (self.action is Action.GAP and self.every_days == 0),
            "Its amount is none of: empty, sparing, full.": self.amount not in _AMOUNTS,
            "Its number of scrapes is not 0 to 3.": not 0 <= self.scrapes <= 3,
            "Its hours are not written as 11:00-14:00.": self.action not in LIMITS
            and hours_of(self.hours) is None,
        }
        for fault, is_so in faults.items():
            if is_so:
                raise SettingError(
                    fault, where=f"work rule {self.rule}", remedy="Mend that row of the table."
                )


def hours_of(text: str) -> tuple[time, time] | None:
    """Return begin and end of hours like ``11:00-14:00``, None where they are none.

    Examples
    --------
    >>> hours_of("11:00-14:30")
    (datetime.time(11, 0), datetime.time(14, 30))
    """
    found = re.fullmatch(
        r"([01]\d|2[0-3]):([0-5]\d)-([01]\d|2[0-3]):([0-5]\d)", text, flags=re.ASCII
    )
    if not found:
        return None
    begin, end = time(int(found[1]), int(found[2])), time(int(found[3]), int(found[4]))
    return (begin, end) if begin < end else None


def rules_from_csv(text: str, *, where: str = "work table") -> tuple[WorkRule, ...]:
    """Return the rules of a table.

    Raises
    ------
    SettingError
        If a column is missing, a row cannot be used, or a name stands twice.
    """
    reader = csv.DictReader(io.StringIO(text))
    columns = [one.name for one in fields(WorkRule)]
    missing = [name for name in columns if name not in (reader.fieldnames or ())]
    if missing:
        raise SettingError(
            f"The column {missing[0]} is missing.",
            where=where,
            remedy="Write the shipped table to a file and change that.",
        )
    rules = tuple(_rule(row, f"{where}, line {reader.line_num}") for row in reader)
    names = [one.rule for one in rules]
    if not rules or len(set(names)) != len(names):
        raise SettingError(
            "It has no row, or two of one name.", where=where, remedy="Name each rule once."
        )
    return rules


def _rule(row: dict[str, str], where: str) -> WorkRule:
    """Return the rule of a row."""
    values = {key: (value or "").strip() for key, value in row.items() if key}
    try:
        return WorkRule(
            rule=values["rule"],
            action=Action(values["action"]),
            at=tuple(kind.strip() for kind in values["at"].split(";") if kind.strip()),
            from_day=int(values["from_day"]),
            to_day=int(values["to_day"]),
            every_days=int(values["every_days"] or 0),
            scent=Scent(values["scent"] or "none"),
            amount=values["amount"],
            scrapes=int(values["scrapes"] or 0),
            hours=values["hours"],
            words=values["words"],
            source=values["source"],
        )
    except SettingError:
        raise
    except ValueError as error:
        raise SettingError(
            f"A cell cannot be used: {error}.", where=where, remedy="Mend that row of the table."
        ) from error


def rules_to_csv(rules: tuple[WorkRule, ...]) -> str:
    """Return rules as the text of a table that `rules_from_csv` reads."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    names = [one.name for one in fields(WorkRule)]
    writer.writerow(names)
    for rule in rules:
        writer.writerow([_cell(getattr(rule, name)) for name in names])
    return out.getvalue()


def _cell(value: object) -> object:
    """Return a value as a cell."""
    if isinstance(value, tuple):
        return "; ".join(value)
    return value.value if isinstance(value, Enum) else value


@cache
def shipped_rules() -> tuple[WorkRule, ...]:
    """Return the rules that are shipped."""
    text = files("funnelfinder.data").joinpath("work.csv").read_text(encoding="utf-8")
    return rules_from_csv(text)
