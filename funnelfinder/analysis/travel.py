"""From a ground to its trips: what both a full run and each redraw do."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from funnelfinder.cost import CostSurface
from funnelfinder.defaults import TripSettings
from funnelfinder.errors import MarkError
from funnelfinder.ground import Ground
from funnelfinder.kernels import FloatArray
from funnelfinder.travel_network import Moves, Search, cost_distances, pair_costs
from funnelfinder.trips import between, demand, kappa_per_m, usable_wander_m


@dataclass(frozen=True, kw_only=True)
class Demand:
    """Which pairs make trips: shares (beds, foods), least costs and lengths [m], and notes.

    ``to_foods`` are the searches from each food source, in order.
    """

    shares: FloatArray
    cost_m: FloatArray
    length_m: FloatArray
    to_foods: tuple[Search, ...]
    notes: tuple[str, ...]


def check_marks(ground: Ground) -> None:
    """Raise `MarkError` unless the ground has a bed and a food source."""
    for patches, kind, words in (
        (ground.beds, "bed", "Mark where deer bed"),
        (ground.foods, "food", "Mark what they walk to"),
    ):
        if not patches:
            raise MarkError(
                f"The property has no {kind} on its grids.",
                where=f"no {kind}",
                remedy=f"{words}: trips need one bed and one food source.",
            )


def travel_demand(
    ground: Ground,
    moves: Moves,
    settings: TripSettings,
    *,
    to_foods: Sequence[Search] | None = None,
) -> Demand:
    """Return how many trips each pair makes, with the searches from each food source.

    ``to_foods`` are those searches, where they are known from before.

    Raises
    ------
    NoWayError
        If a bed has no way to any food, or no pair is left.
    """
    to_foods = to_foods or cost_distances(moves, [food.cells for food in ground.foods])
    cost_m, length_m = pair_costs(moves, ground.beds, ground.foods, to_foods=to_foods)
    shares, notes = demand(ground.beds, ground.foods, cost_m, settings)
    return Demand(
        shares=shares, cost_m=cost_m, length_m=length_m, to_foods=tuple(to_foods), notes=notes
    )


def straightness(
    ground: Ground, surface: CostSurface, settings: TripSettings
) -> tuple[float, tuple[str, ...]]:
    """Return κ [1/m] of the wander that the cells can show, and a note where it was raised."""
    box = between(ground.beds, ground.foods, ground.grid.shape)
    wander_m, notes = usable_wander_m(settings.wander_m, surface.cost, ground.grid.cell_m, box)
    return kappa_per_m(wander_m), notes
