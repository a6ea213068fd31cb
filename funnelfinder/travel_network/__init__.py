"""Least-cost paths, and the routes of a property as a graph."""

from funnelfinder.travel_network.moves import Moves, Walkable, moves_of
from funnelfinder.travel_network.paths import (
    Path,
    Search,
    cost_distance,
    detour_share,
    least_cost_path,
    pair_costs,
    pair_paths,
)

__all__ = [
    "Moves",
    "Path",
    "Search",
    "Walkable",
    "cost_distance",
    "detour_share",
    "least_cost_path",
    "moves_of",
    "pair_costs",
    "pair_paths",
]
