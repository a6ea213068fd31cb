"""Other costs, weights and wanders that could as well be true, drawn within their ranges."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field, replace

import numpy as np

from funnelfinder.barriers import Barrier
from funnelfinder.defaults import CostSettings, RedrawSettings
from funnelfinder.ground import Ground
from funnelfinder.land_cover import CoverClass, CoverTable
from funnelfinder.marks import MarkKind, Property


@dataclass(frozen=True, kw_only=True)
class Draw:
    """Factors on what the property says; 1 leaves a thing as it is.

    ``resistance`` is by class code, ``lines`` by kind of barrier, ``beds`` and ``foods`` by key.
    """

    resistance: Mapping[int, float] = field(default_factory=dict)
    exposure: float = 1.0
    people: float = 1.0
    lines: Mapping[MarkKind, float] = field(default_factory=dict)
    wander: float = 1.0
    beds: Mapping[str, float] = field(default_factory=dict)
    foods: Mapping[str, float] = field(default_factory=dict)


@dataclass(frozen=True, kw_only=True)
class Ends:
    """One thing that results may hang on, drawn at both ends of its range."""

    what: str
    low: Draw
    high: Draw


def random_draw(
    classes: tuple[CoverClass, ...], settings: RedrawSettings, rng: np.random.Generator
) -> Draw:
    """Return factors drawn log-uniformly within the ranges, wander within its share.

    Parameters
    ----------
    classes : tuple of CoverClass
        The classes that occur.
    settings : RedrawSettings
        How wide to draw; spread 0 gives factors of exactly 1.
    rng : Generator
        Where chance comes from.
    """
    # Every number is drawn whatever occurs, so that one class more does not shift the others.
    places = rng.random(256)
    strengths = rng.random(5) * 2.0 - 1.0
    most = settings.spread * math.log(settings.strength_factor)
    return Draw(
        resistance={
            one.code: _within(one, float(places[one.code]), settings.spread) for one in classes
        },
        exposure=math.exp(most * strengths[0]),
        people=math.exp(most * strengths[1]),
        lines={
            kind: math.exp(most * strengths[2 + k])
            for k, kind in enumerate((MarkKind.FENCE, MarkKind.DITCH, MarkKind.CREEK))
        },
        wander=1.0 + settings.spread * settings.wander_spread * (2.0 * rng.random() - 1.0),
    )


def _within(one: CoverClass, place: float, spread: float) -> float:
    """Return the factor that puts a class at a place (0 to 1) of its range, in logarithms."""
    low = spread * math.log(one.low / one.resistance)
    high = spread * math.log(one.high / one.resistance)
    return math.exp(low + place * (high - low))


def drawn_table(table: CoverTable, draw: Draw) -> CoverTable:
    """Return the cover table under a draw; no class gets cheaper than 1."""
    return table.with_resistances(
        {
            one.code: max(1.0, one.resistance * draw.resistance.get(one.code, 1.0))
            for one in table.classes
        }
    )


def drawn_costs(costs: CostSettings, draw: Draw) -> CostSettings:
    """Return the cost settings under a draw."""
    return replace(
        costs,
        exposure_light=costs.exposure_light * draw.exposure,
        exposure_moderate=costs.exposure_moderate * draw.exposure,
        exposure_heavy=costs.exposure_heavy * draw.exposure,
        house_strength=costs.house_strength * draw.people,
        road_strength=costs.road_strength * draw.people,
    )


def drawn_barriers(barriers: tuple[Barrier, ...], draw: Draw) -> tuple[Barrier, ...]:
    """Return the lines under a draw; a closed one stays closed."""
    return tuple(
        replace(one, cost_m=one.cost_m * draw.lines.get(one.kind, 1.0)) for one in barriers
    )


def ends_of(place: Property, ground: Ground, settings: RedrawSettings) -> list[Ends]:
    """Return what the result may hang on, each at both ends of its range, the rest as it is."""
    table = place.cover_table
    present = [table.by_code[code] for code in np.unique(ground.cover) if code in table.by_code]
    groups = {
        "what woods and brush cost": [one for one in present if one.is_woody],
        "what open ground costs": [one for one in present if one.is_open],
        "what other ground costs": [
            one for one in present if not (one.is_woody or one.is_open or one.is_hole)
        ],
    }
    factor = settings.strength_factor**settings.spread
    found = [_cover_ends(what, classes, settings) for what, classes in groups.items() if classes]
    if ground.is_open.any():
        low, high = Draw(exposure=1.0 / factor), Draw(exposure=factor)
        found.append(Ends(what="how much deer shun the open", low=low, high=high))
    if np.isfinite([ground.to_house_m.min(), ground.to_built_m.min()]).any():
        low, high = Draw(people=1.0 / factor), Draw(people=factor)
        found.append(Ends(what="how much deer shun people", low=low, high=high))
    for kind in dict.fromkeys(one.kind for one in ground.barriers if math.isfinite(one.cost_m)):
        found.append(
            Ends(
                what=f"what crossing a {kind.value} costs",
                low=Draw(lines={kind: 1.0 / factor}),
                high=Draw(lines={kind: factor}),
            )
        )
    wander = settings.spread * settings.wander_spread
    found.append(
        Ends(what="how far trips stray", low=Draw(wander=1 - wander), high=Draw(wander=1 + wander))
    )
    return found + _weight_ends(ground, factor)


def _cover_ends(what: str, classes: list[CoverClass], settings: RedrawSettings) -> Ends:
    """Return a group of classes at the low and at the high end of their ranges."""
    low, high = (
        Draw(resistance={one.code: _within(one, end, settings.spread) for one in classes})
        for end in (0.0, 1.0)
    )
    return Ends(what=what, low=low, high=high)


def _weight_ends(ground: Ground, factor: float) -> list[Ends]:
    """Return the use of each bed and food halved and doubled, where there are several."""
    low, high = 1.0 / factor, factor
    beds, foods = (
        [patch.mark for patch in patches] if len(patches) > 1 else []
        for patches in (ground.beds, ground.foods)
    )
    return [
        Ends(
            what=f"how much {bed.label} is used",
            low=Draw(beds={bed.key: low}),
            high=Draw(beds={bed.key: high}),
        )
        for bed in beds
    ] + [
        Ends(
            what=f"how much {food.label} is used",
            low=Draw(foods={food.key: low}),
            high=Draw(foods={food.key: high}),
        )
        for food in foods
    ]
