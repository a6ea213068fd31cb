"""A season's walks as an iCalendar file that common calendars import, and as a table.

References
----------
.. [1] RFC 5545, Internet Calendaring and Scheduling Core Object Specification.
"""

from __future__ import annotations

import csv
import hashlib
import io
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Final

from icalendar import Alarm, Calendar, Event

from funnelfinder import __version__
from funnelfinder.errors import ExportError
from funnelfinder.files.whole_file import write_whole
from funnelfinder.plan import Plan, Walk, walk_words
from funnelfinder.plan.words import task_words
from funnelfinder.season import hours_of, zone_of
from funnelfinder.units import yards

#: The evening before, so that there is time to pack and to look at the wind (judgement).
_REMIND_BEFORE: Final = timedelta(hours=15)
_COLUMNS: Final = (
    "date",
    "latest",
    "hours",
    "area",
    "cluster",
    "spot",
    "kind",
    "action",
    "phase",
    "scent",
    "words",
    "way_in",
    "way_yards",
    "way_minutes",
    "stand",
    "not_with_wind_from",
    "rule",
    "source",
)


def calendar_bytes(plan: Plan, *, time_zone: str, made_at: datetime) -> bytes:
    """Return the walks of a plan as an iCalendar file.

    Parameters
    ----------
    plan : Plan
        The season's work.
    time_zone : str
        IANA name; empty writes floating times, which every calendar shows by its own clock.
    made_at : datetime
        When the file is made, with a time zone.
    """
    calendar = Calendar()
    calendar.add("prodid", f"-//funnelfinder//{__version__}//EN")
    calendar.add("version", "2.0")
    calendar.add("calscale", "GREGORIAN")
    calendar.add("method", "PUBLISH")
    for walk in plan.walks:
        calendar.add_component(_event(plan, walk, time_zone, made_at))
    if time_zone and plan.walks:
        calendar.add_missing_timezones(
            first_date=plan.walks[0].on - timedelta(days=400),
            last_date=plan.walks[-1].on + timedelta(days=400),
        )
    return bytes(calendar.to_ical())


def _event(plan: Plan, walk: Walk, time_zone: str, made_at: datetime) -> Event:
    """Return a walk as an event with its reminder."""
    hours = hours_of(walk.hours)
    if hours is None:
        raise ExportError(f"A walk has no hours: {walk.hours!r}.", where=f"{walk.on}")
    zone = zone_of(time_zone) if time_zone else None
    names = ", ".join(dict.fromkeys(task.spot.label for task in walk.tasks))
    actions = ", ".join(dict.fromkeys(task.action.value for task in walk.tasks))
    event = Event()
    event.add("uid", _uid(plan, walk))
    event.add("dtstamp", made_at.astimezone(UTC))
    event.add("dtstart", datetime.combine(walk.on, hours[0], tzinfo=zone))
    event.add("dtend", datetime.combine(walk.on, hours[1], tzinfo=zone))
    event.add("summary", f"{plan.property_name}: {actions} at {names}")
    lines = [walk_words(walk), *map(task_words, walk.tasks), *plan.cautions]
    event.add("description", "\n".join(lines))
    event.add("location", plan.property_name)
    alarm = Alarm()
    alarm.add("action", "DISPLAY")
    alarm.add("description", f"{plan.property_name}: {actions}")
    alarm.add("trigger", -_REMIND_BEFORE)
    event.add_component(alarm)
    return event


def _uid(plan: Plan, walk: Walk) -> str:
    """Return what names an event, the same each time, so that a later file replaces it."""
    spots = [task.spot.number for task in walk.tasks]
    words = f"{plan.property_name}|{plan.peak_on}|{walk.on}|{walk.area}|{walk.hours}|{spots}"
    return f"{hashlib.sha256(words.encode()).hexdigest()[:32]}@funnelfinder"


def plan_csv(plan: Plan) -> str:
    """Return a plan as a table, one row for each task."""
    out = io.StringIO()
    writer = csv.writer(out)
    writer.writerow(_COLUMNS)
    for walk in plan.walks:
        for task in walk.tasks:
            writer.writerow(
                [
                    task.on.isoformat(),
                    task.latest.isoformat(),
                    walk.hours,
                    walk.area,
                    task.spot.number,
                    task.spot.name,
                    task.spot.kind,
                    task.action.value,
                    task.phase.value,
                    task.scent,
                    task.words,
                    walk.way_in,
                    *_way_cells(walk),
                    walk.stand,
                    " ".join(walk.winds),
                    task.rule,
                    task.source,
                ]
            )
    return out.getvalue()


def _way_cells(walk: Walk) -> tuple[str, str]:
    """Return how long all ways of a walk are, empty where none was sought."""
    ways = [way for way in walk.ways if way is not None]
    if not ways:
        return "", ""
    length, minutes = (sum(getattr(way, name) for way in ways) for name in ("length_m", "minutes"))
    return f"{yards(length):.0f}", f"{minutes:.0f}"


def write_calendar(plan: Plan, path: Path, *, time_zone: str, made_at: datetime) -> None:
    """Write a plan as ``.ics`` or ``.csv``, whole or not at all.

    Raises
    ------
    ExportError
        If the file cannot be written, or its name ends otherwise.
    """
    suffix = path.suffix.lower()
    if suffix == ".ics":
        content = calendar_bytes(plan, time_zone=time_zone, made_at=made_at)
    elif suffix == ".csv":
        content = plan_csv(plan).encode()
    else:
        raise ExportError(
            "A plan cannot be written so.", where=str(path), remedy="End its name in .ics or .csv."
        )
    write_whole(path, content)
