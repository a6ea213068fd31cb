"""From a property to its factorised ground: the first stages of a run, kept for the next.

Beds, and food in the woods, change no cell: when only they move, the ground, its costs and their
factorisation stay as they are, and solves are all that is left to do.
"""

from __future__ import annotations

from dataclasses import dataclass

from funnelfinder.analysis.fingerprints import fingerprint
from funnelfinder.analysis.travel import Demand, straightness, travel_demand
from funnelfinder.analysis.workings import Workings
from funnelfinder.cost import CostSurface, cost_surface
from funnelfinder.ground import Grids, Ground, prepare_ground, with_walkers, without_walkers
from funnelfinder.marks import Property
from funnelfinder.progress import Progress
from funnelfinder.travel_network import Moves, cost_distances, moves_of
from funnelfinder.trips import Solver, factor


@dataclass(frozen=True, kw_only=True)
class Weighed:
    """A ground with its costs, their factorisation, and who walks how much.

    ``solver_key`` is the fingerprint of what made the solver; ``notes`` say where wander was
    raised.
    """

    ground: Ground
    surface: CostSurface
    moves: Moves
    solver: Solver
    solver_key: str
    kappa_per_m: float
    wanted: Demand
    notes: tuple[str, ...]


def laid_ground(
    place: Property,
    grids: Grids,
    work: Workings,
    progress: Progress,
    *,
    laid: Property | None = None,
) -> tuple[Ground, str]:
    """Return the ground of a property, and the fingerprint of all of it but beds and foods.

    With ``laid``, cells are those of that property, and only beds and foods are of ``place``.
    """
    still = without_walkers(laid or place)
    key = fingerprint(
        still.epsg,
        still.boundary,
        still.marks,
        still.settings.ground,
        still.settings.cost,
        still.cover_table,
        work.grids_key(grids),
    )
    ground = work.stage(
        "Reading the ground",
        key,
        lambda: prepare_ground(still, grids),
        progress=progress,
        share=0.0,
    )
    return with_walkers(ground, place), key


def weighed(
    ground: Ground, ground_key: str, place: Property, work: Workings, progress: Progress
) -> Weighed:
    """Return a ground that is ready for solves.

    Raises
    ------
    NoWayError
        If a bed has no way to any food, or no pair is left.
    """
    settings = place.settings
    surface, cost_key = work.kept(
        "costs", ground_key, lambda: _with_key(cost_surface(ground, settings.cost))
    )
    moves = work.stage(
        "Measuring the steps", cost_key, lambda: moves_of(surface), progress=progress, share=0.15
    )
    food_cells = [food.cells for food in ground.foods]
    to_foods = work.kept(
        "ways to food",
        fingerprint(cost_key, food_cells),
        lambda: cost_distances(moves, food_cells),
    )
    wanted = travel_demand(ground, moves, settings.trips, to_foods=to_foods)
    kappa, notes = straightness(ground, surface, settings.trips)
    solver_key = fingerprint(cost_key, kappa)
    solver = work.stage(
        "Weighing the ground",
        solver_key,
        lambda: factor(surface, kappa),
        progress=progress,
        share=0.2,
    )
    return Weighed(
        ground=ground,
        surface=surface,
        moves=moves,
        solver=solver,
        solver_key=solver_key,
        kappa_per_m=kappa,
        wanted=wanted,
        notes=notes,
    )


def _with_key(surface: CostSurface) -> tuple[CostSurface, str]:
    """Return a surface with its fingerprint, which takes as long as it is large."""
    return surface, fingerprint(surface)
