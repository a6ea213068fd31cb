"""The model follows the season: food by phase, and trips from bed to bed while bucks seek."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from funnelfinder.marks import DOES_BED, Mark, MarkKind, Property
from funnelfinder.season import Phase, food_factor

#: A bed of whoever is half a bed of does (judgement).
_DOES: dict[str, float] = {"doe": 1.0, "either": 0.5}


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
