"""How many trips each bed sends to each food source, and which pairs make none."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np
import shapely

from funnelfinder.defaults import TripSettings
from funnelfinder.errors import NoWayError
from funnelfinder.ground import Patch
from funnelfinder.kernels import FloatArray
from funnelfinder.marks import DOES_BED
from funnelfinder.units import said_length

#: How much of the bucks' trips between beds starts at a bed, by who beds there (judgement).
_SEEKS: Final = {"buck": 1.0, "either": 0.5, "doe": 0.0}


def demand(
    beds: Sequence[Patch],
    foods: Sequence[Patch],
    cost_m: FloatArray,
    settings: TripSettings,
) -> tuple[FloatArray, tuple[str, ...]]:
    """Return the share of all trips that each pair makes, and notes on pairs left out.

    Bed i sends its trips to food j in proportion to v_j exp(−L_ij/δ); beds count by their weight.

    Parameters
    ----------
    beds, foods : sequences of Patch
        What trips link.
    cost_m : (beds, foods) float64
        Least-cost distances; infinite where there is no way.
    settings : TripSettings
        δ, and the distances beyond and below which a pair makes no trips.

    Returns
    -------
    (beds, foods) float64, tuple of str
        Shares that sum to 1, and one sentence for each pair or bed left out.

    Raises
    ------
    NoWayError
        If a bed has no way to any food, or no pair is left.
    """
    for bed, row in zip(beds, cost_m, strict=True):
        if row.size and not np.isfinite(row).any():
            raise NoWayError(
                f"No way leads from {bed.label} to any food.",
                where=bed.label,
                remedy="Mark a gap in what closes it off, or move the bed.",
            )
    is_in, notes = _linked(beds, foods, cost_m, settings)
    pull = np.zeros(cost_m.shape)
    weights = np.array([food.mark.weight for food in foods])
    pull[is_in] = np.exp(-cost_m[is_in] / settings.demand_length_m)
    pull *= weights
    used = np.array([bed.mark.weight for bed in beds]) * is_in.any(axis=1)
    if not used.any():
        raise NoWayError(
            "No bed and food source lie at a distance that trips cover.",
            remedy="Mark food within "
            f"{said_length(settings.too_far_m)} of a bed, or raise too-far. " + " ".join(notes),
        )
    shares = _by_bed(beds, foods, pull, settings) * (used / used.sum())[:, None]
    for bed, row in zip(beds, is_in, strict=True):
        if not row.any():
            notes.append(f"{bed.label} sends no trips: no food is left for it.")
    return shares, tuple(notes)


def _by_bed(
    beds: Sequence[Patch], foods: Sequence[Patch], pull: FloatArray, settings: TripSettings
) -> FloatArray:
    """Return how each bed shares out its own trips; bucks send a set share to beds of does."""
    is_goal = np.array([food.mark.crop == DOES_BED for food in foods], dtype=bool)
    to_food, to_does = (np.where(one, pull, 0.0) for one in (~is_goal, is_goal))
    food_total, does_total = to_food.sum(axis=1), to_does.sum(axis=1)
    share = settings.bed_to_bed * np.array([_SEEKS[bed.mark.who] for bed in beds])
    share = np.where(does_total > 0, np.where(food_total > 0, share, 1.0), 0.0)
    food_part, does_part = (
        part / np.where(total > 0, total, 1.0)[:, None]
        for part, total in ((to_food, food_total), (to_does, does_total))
    )
    return np.asarray((1.0 - share)[:, None] * food_part + share[:, None] * does_part)


def _linked(
    beds: Sequence[Patch], foods: Sequence[Patch], cost_m: FloatArray, settings: TripSettings
) -> tuple[np.ndarray, list[str]]:
    """Return which pairs make trips, and why the others do not."""
    is_in = np.zeros(cost_m.shape, dtype=bool)
    notes = []
    for i, bed in enumerate(beds):
        for j, food in enumerate(foods):
            if food.mark.crop == DOES_BED and (
                _SEEKS[bed.mark.who] == 0 or bed.mark.geometry.equals(food.mark.geometry)
            ):
                continue
            words = f"{bed.label} to {food.label}"
            apart = shapely.distance(bed.mark.geometry, food.mark.geometry)
            if not np.isfinite(cost_m[i, j]):
                notes.append(f"{words}: no way leads there, left out.")
            elif cost_m[i, j] > settings.too_far_m:
                notes.append(f"{words} is {_far(cost_m[i, j])}: too far for one walk, left out.")
            elif apart < settings.too_near_m:
                notes.append(f"{words} is {said_length(apart)}: too near for a walk, left out.")
            else:
                is_in[i, j] = True
    return is_in, notes


def _far(cost_m: float) -> str:
    """Return a least-cost distance in words."""
    return f"{said_length(cost_m)} of walking on good ground"
