"""Least-cost paths, and the routes of a property as a graph."""

from funnelfinder.travel_network.moves import Moves, Walkable, moves_of
from funnelfinder.travel_network.network import Link, TravelNetwork, travel_network
from funnelfinder.travel_network.paths import (
    Path,
    Search,
    cost_distance,
    cost_distances,
    detour_share,
    least_cost_path,
    pair_costs,
    pair_paths,
)
from funnelfinder.travel_network.routes import (
    Route,
    Stretch,
    importance_m,
    routes,
    separate_routes,
    stretches,
)

__all__ = [
    "Link",
    "Moves",
    "Path",
    "Route",
    "Search",
    "Stretch",
    "TravelNetwork",
    "Walkable",
    "cost_distance",
    "cost_distances",
    "detour_share",
    "importance_m",
    "least_cost_path",
    "moves_of",
    "pair_costs",
    "pair_paths",
    "routes",
    "separate_routes",
    "stretches",
    "travel_network",
]
