"""What cameras recorded: where each hung, for how long, and which deer it saw when.

A person keeps these with the property and may take any of it back, so a `CameraLog` is changed
only by making another.
"""

from __future__ import annotations

import math
import uuid
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta
from enum import Enum

from funnelfinder.errors import RecordError


class Deer(Enum):
    """What a record shows, most telling first; the value is the word that people write."""

    MATURE_BUCK = "mature buck"
    BUCK = "buck"
    DOE = "doe"
    FAWN = "fawn"
    ANY = "deer"


@dataclass(frozen=True, slots=True, kw_only=True)
class CameraStay:
    """One camera while it hung at one place, up to when its card was last read.

    Parameters
    ----------
    name : str
        What the person calls the camera or its place.
    begun, ended : str
        When it was hung, and taken down or last read, as ``2026-10-03T16:00:00-04:00``.
    x_m, y_m : float
        Where it hung [m].
    note : str
        What the person wrote about it.
    key : str
        Names this stay, and stays the same.

    Raises
    ------
    RecordError
        If it has no name or place, or did not end after it began.
    """

    name: str
    begun: str
    ended: str
    x_m: float
    y_m: float
    note: str = ""
    key: str = field(default_factory=lambda: uuid.uuid4().hex)

    def __post_init__(self) -> None:
        where = f"camera {self.name}".strip()
        if not self.name:
            raise RecordError("A camera has no name.", where="cameras", remedy="Give it one.")
        if not (math.isfinite(self.x_m) and math.isfinite(self.y_m)):
            raise RecordError("It has no place.", where=where, remedy="Say where it hung.")
        if self.nights <= 0:
            raise RecordError(
                "It ended before it began.", where=where, remedy="Mend the two times."
            )

    @property
    def nights(self) -> float:
        """Its days and parts of days."""
        return (read_time(self.ended) - read_time(self.begun)) / timedelta(days=1)


@dataclass(frozen=True, slots=True, kw_only=True)
class Sighting:
    """Deer on one camera at one time; ``stay`` is the key of the camera's stay.

    Raises
    ------
    RecordError
        If the time is none, or no deer was seen.
    """

    stay: str
    at: str
    deer: Deer = Deer.ANY
    n_deer: int = 1
    note: str = ""

    def __post_init__(self) -> None:
        read_time(self.at)
        if self.n_deer < 1:
            raise RecordError(
                f"{self.n_deer} deer are none.",
                where=f"sighting of {self.at}",
                remedy="Leave it out, or give 1 or more.",
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class CameraLog:
    """All stays and sightings of a property.

    Raises
    ------
    RecordError
        If two stays have one key, or a sighting belongs to none.
    """

    stays: tuple[CameraStay, ...] = ()
    sightings: tuple[Sighting, ...] = ()

    def __post_init__(self) -> None:
        keys = {stay.key for stay in self.stays}
        if len(keys) != len(self.stays) or any(one.stay not in keys for one in self.sightings):
            raise RecordError(
                "A camera stands twice in it, or a sighting is of no camera in it.",
                where="camera records",
                remedy="Add the camera's table again.",
            )

    def with_records(self, more: CameraLog) -> CameraLog:
        """Return the log with more records; a stay that is known is replaced, so none counts twice.

        A stay is known by its name and by when it began: a card read again later brings the same
        stay with a later end.
        """
        new = {(stay.name, stay.begun) for stay in more.stays}
        kept = self
        for stay in self.stays:
            if (stay.name, stay.begun) in new:
                kept = kept.without(stay.key)
        return CameraLog(
            stays=(*kept.stays, *more.stays), sightings=(*kept.sightings, *more.sightings)
        )

    def without(self, key: str) -> CameraLog:
        """Return the log without a stay and its sightings."""
        return CameraLog(
            stays=tuple(stay for stay in self.stays if stay.key != key),
            sightings=tuple(one for one in self.sightings if one.stay != key),
        )

    def between(self, since: datetime | None, until: datetime | None) -> CameraLog:
        """Return what lies between two times; stays are cut to them, those outside are left out."""
        stays = tuple(
            replace(stay, begun=begun.isoformat(), ended=ended.isoformat())
            for stay in self.stays
            for begun, ended in [_cut(stay, since, until)]
            if begun < ended
        )
        spans = {stay.key: (read_time(stay.begun), read_time(stay.ended)) for stay in stays}
        return CameraLog(
            stays=stays,
            sightings=tuple(
                one
                for one in self.sightings
                if one.stay in spans
                and spans[one.stay][0] <= read_time(one.at) <= spans[one.stay][1]
            ),
        )


def _cut(
    stay: CameraStay, since: datetime | None, until: datetime | None
) -> tuple[datetime, datetime]:
    """Return begin and end of a stay within two times."""
    begun, ended = read_time(stay.begun), read_time(stay.ended)
    return max(begun, since or begun), min(ended, until or ended)


def read_time(text: str, *, where: str = "camera records") -> datetime:
    """Return a time with its zone.

    Raises
    ------
    RecordError
        If the text is none, or does not tell its zone.

    Examples
    --------
    >>> read_time("2026-11-07T06:40:00-05:00").hour
    6
    """
    try:
        found = datetime.fromisoformat(text)
    except (TypeError, ValueError) as error:
        raise RecordError(f"{text!r} is no time.", where=where) from error
    if found.tzinfo is None:
        raise RecordError(
            f"{text!r} does not tell its time zone.",
            where=where,
            remedy="Write it like 2026-11-07T06:40:00-05:00.",
        )
    return found
