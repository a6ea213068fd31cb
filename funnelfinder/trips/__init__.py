"""The trips that deer make: where they run, how many, and single ones drawn."""

from funnelfinder.trips.demand import demand
from funnelfinder.trips.drawn import DrawnTrips, draw_trips
from funnelfinder.trips.pairs import PairTrips, pair_trips, passage_per_m
from funnelfinder.trips.solver import Solver, factor
from funnelfinder.trips.stencil import Stencil, make_stencil
from funnelfinder.trips.wander import between, kappa_per_m, spread_half_way_m, usable_wander_m

__all__ = [
    "DrawnTrips",
    "PairTrips",
    "Solver",
    "Stencil",
    "between",
    "demand",
    "draw_trips",
    "factor",
    "kappa_per_m",
    "make_stencil",
    "pair_trips",
    "passage_per_m",
    "spread_half_way_m",
    "usable_wander_m",
]
