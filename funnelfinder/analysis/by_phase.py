"""The model follows the season: food by phase, and trips from bed to bed while bucks seek."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date

from funnelfinder.marks import DOES_BED, Mark, MarkKind, Property
from funnelfinder.season import Phase, food_factor, peak_for, phase_on, said_day

#: A bed of whoever is half a bed of does (judgement).
_DOES: dict[str, float] = {"doe": 1.0, "either": 0.5}


@dataclass(frozen=True, slots=True, kw_only=True)
class PhaseOfDay:
    """The part of the season that a day lies in, None where not known, and how that is known."""

    phase: Phase | None
    words: str


def phase_of_day(place: Property, on: date, *, forced: Phase | None = None) -> PhaseOfDay:
    """Return the part of the season that counts on a day, for times, food and demand.

    It follows the date once the person set the local peak breeding date. Without one it is the
    phase that the person runs trips for, or else none: the times outside the rut, and food as it
    was marked.

    Parameters
    ----------
    place : Property
        With its peak, and the season's settings.
    on : date
        The day.
    forced : Phase, optional
        What the person says that it is, whatever the date.
    """
    if forced is not None:
        return PhaseOfDay(phase=forced, words=f"Part of the season: {forced.value}, as you said.")
    if place.peak_breeding:
        peak = peak_for(on, place.peak_breeding)
        velvet = place.season.velvet
        found = phase_on(on, place.peak_breeding, place.settings.season, velvet=velvet)
        return PhaseOfDay(
            phase=found, words=f"Part of the season: {found.value} ({_said_days(on, peak)})."
        )
    unknown = "no local peak breeding date is set"
    if place.season.phase:
        chosen = Phase(place.season.phase)
        words = f"Part of the season: {chosen.value}, as trips were run; {unknown}."
        return PhaseOfDay(phase=chosen, words=words)
    return PhaseOfDay(
        phase=None,
        words=f"Part of the season: unknown, for {unknown}; times outside the rut and food as you"
        " marked it count. Set the peak breeding date of the season.",
    )


def _said_days(on: date, peak: date) -> str:
    """Return how far a day is from the peak."""
    days = (on - peak).days
    if days == 0:
        return f"the peak itself, {said_day(peak)}, give or take a week"
    n = f"{abs(days)} day" + ("s" if abs(days) > 1 else "")
    return f"{n} {'before' if days < 0 else 'after'} the peak of about {said_day(peak)}"


def place_for_phase(place: Property, phase: str) -> Property:
    """Return a property as trips run on it in a phase of the season.

    Food weighs as its mark says for the phase, or else its weight times the crop's factor. While
    bucks seek and at peak breeding, beds of does become goals: bucks send a set share of their
    trips there. Beds stay beds, so that every rule that keeps off them holds.

    Parameters
    ----------
    place : Property
        As the person drew it.
    phase : str
        A word of `Phase`; empty changes nothing.
    """
    if not phase:
        return place
    now = Phase(phase)
    marks = tuple(_in_phase(mark, now) for mark in place.marks)
    share = {
        Phase.SEEKING: place.settings.season.bed_to_bed_seeking,
        Phase.PEAK_BREEDING: place.settings.season.bed_to_bed_peak,
    }.get(now, 0.0)
    goals = tuple(_goals(place)) if share > 0 else ()
    trips = replace(place.settings.trips, bed_to_bed=share)
    return replace(place, marks=(*marks, *goals), settings=replace(place.settings, trips=trips))


def _in_phase(mark: Mark, phase: Phase) -> Mark:
    """Return a mark with the weight that it has in a phase."""
    if mark.kind is not MarkKind.FOOD:
        return mark
    usual = mark.weight * food_factor(mark.crop, phase)
    return replace(mark, weight=mark.phase_weights.get(phase.value) or usual)


def _goals(place: Property) -> Iterator[Mark]:
    """Yield the beds of does as goals of trips."""
    for bed in place.of_kind(MarkKind.BED):
        if bed.who in _DOES:
            yield Mark(
                kind=MarkKind.FOOD,
                geometry=bed.geometry,
                name=f"{bed.label} (does)",
                weight=bed.weight * _DOES[bed.who],
                crop=DOES_BED,
                key=f"{bed.key}-does",
            )
