"""Tables of the season that are shipped as CSV: breeding dates, words by phase, food by phase."""

from __future__ import annotations

import csv
import io
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from funnelfinder.errors import SettingError
from funnelfinder.season.phases import Phase


@dataclass(frozen=True, slots=True, kw_only=True)
class PublishedPeak:
    """A breeding date that somebody published.

    ``peak``, ``first`` and ``last`` are ``MM-DD``; ``measure`` says what the date is, ``sure``
    whether the study was read, or its figure at second hand or from memory.
    """

    place: str
    area: str
    peak: str
    first: str
    last: str
    measure: str
    source: str
    year: str
    sure: str

    @property
    def label(self) -> str:
        """Place and area."""
        return f"{self.place}, {self.area}" if self.area else self.place


@dataclass(frozen=True, slots=True, kw_only=True)
class PhaseWords:
    """What deer do in a phase, or what matters at one kind of spot, and what that rests on."""

    phase: Phase
    at: str
    words: str
    source: str


def _rows(name: str) -> list[dict[str, str]]:
    """Return the rows of a shipped table."""
    text = files("funnelfinder.data").joinpath(f"{name}.csv").read_text(encoding="utf-8")
    return list(csv.DictReader(io.StringIO(text)))


@cache
def published_peaks() -> tuple[PublishedPeak, ...]:
    """Return every published date that is shipped."""
    return tuple(PublishedPeak(**row) for row in _rows("breeding"))


def published_peak(words: str) -> PublishedPeak:
    """Return the date for a state, or for an area of it as ``Georgia, Clinch``.

    Raises
    ------
    SettingError
        If there is none, or the state has several areas and none of them is named.

    Examples
    --------
    >>> published_peak("alabama").peak
    '01-21'
    """
    place, _, area = (part.strip().lower() for part in words.partition(","))
    here = [one for one in published_peaks() if one.place.lower() == place]
    if not here:
        raise SettingError(
            f"No breeding date for {words!r} is shipped.",
            where="place",
            remedy="Give the date that your state agency publishes, as --peak 11-15.",
        )
    fitting = [one for one in here if one.area.lower().startswith(area) and (area or not one.area)]
    if len(here) == 1 and not area:
        fitting = here
    if len(fitting) != 1:
        known = "; ".join(one.label for one in here)
        raise SettingError(
            f"{words!r} does not name one area.", where="place", remedy=f"Choose one of: {known}."
        )
    return fitting[0]


@cache
def phase_words() -> tuple[PhaseWords, ...]:
    """Return what is said of every phase."""
    return tuple(
        PhaseWords(
            phase=Phase(row["phase"]), at=row["at"], words=row["words"], source=row["source"]
        )
        for row in _rows("phases")
    )


def words_for(phase: Phase, at: str = "deer") -> PhaseWords:
    """Return what deer do in a phase, or what matters there at a kind of spot."""
    return next(one for one in phase_words() if one.phase is phase and one.at == at)


@cache
def _food_rows() -> dict[str, dict[Phase, float]]:
    """Return the factors of every crop name that is known."""
    found = {}
    for row in _rows("food_phases"):
        factors = {phase: float(row[phase.value]) for phase in Phase}
        for name in (row["crop"], *row["also"].split(";")):
            if name.strip():
                found[name.strip()] = factors
    return found


def food_factor(crop: str, phase: Phase) -> float:
    """Return how much a crop pulls in a phase, 1 for a crop that is not known.

    Examples
    --------
    >>> food_factor("Acorns", Phase.PRE_RUT), food_factor("gravel", Phase.LATE)
    (2.0, 1.0)
    """
    return _food_rows().get(" ".join(crop.lower().split()), {}).get(phase, 1.0)
