"""The trips of each bed-food pair: visits, net flow, soft distance, passage."""

from __future__ import annotations

from collections.abc import MutableMapping, Sequence
from dataclasses import dataclass, fields, replace
from functools import cached_property

import numpy as np

from funnelfinder.errors import NoWayError
from funnelfinder.ground import Patch
from funnelfinder.kernels import FloatArray, IntArray
from funnelfinder.kernels.flow import flux, mean_walked
from funnelfinder.trips.solver import Solver
from funnelfinder.trips.stencil import Stencil

#: Below this a reach has left the range of numbers; such cells are cut off for practical ends.
_FAINT = 1e-290
#: So many right-hand sides are solved together (4 take three quarters of the time of 4 times one).
_AT_A_TIME = 4
#: Number of bed and food, q, z and b of a pair.
_Way = tuple[int, int, FloatArray, FloatArray, FloatArray]


@dataclass(frozen=True, kw_only=True)
class PairTrips:
    """All trips from one bed to one food source.

    Parameters
    ----------
    bed, food : Patch
        What they link.
    demand : float
        Share of all trips.
    stencil : Stencil
        The edges they run on.
    starts, reach, ends, visits : (n,) float64
        Over kept cells: share of trips that begin there (b), chance z, rate q, and G.
    """

    bed: Patch
    food: Patch
    demand: float
    stencil: Stencil
    starts: FloatArray
    reach: FloatArray
    ends: FloatArray
    visits: FloatArray

    @property
    def label(self) -> str:
        """The pair in words."""
        return f"{self.bed.label} to {self.food.label}"

    @cached_property
    def soft_distance_m(self) -> FloatArray:
        """D = ln(z_T / z) / κ on the grid, 0 where trips end; NaN outside, infinite if cut off."""
        flow_in = self.ends * self.visits
        z_end = float((flow_in * self.reach).sum() / flow_in.sum())
        with np.errstate(divide="ignore"):
            distance = (np.log(z_end) - np.log(self.reach)) / self.stencil.kappa_per_m
        return self.stencil.on_grid(distance)

    @cached_property
    def flux_per_m(self) -> tuple[FloatArray, FloatArray]:
        """Net flow density eastward and northward on the grid [share of the pair's trips / m]."""
        edges = self.stencil.weights
        east, north = flux(
            edges.indptr,
            edges.indices,
            edges.data,
            self.stencil.rows,
            self.stencil.cols,
            self.visits,
            self.reach,
        )
        cell_m = self.stencil.grid.cell_m
        return (
            self.stencil.on_grid(east / cell_m, outside=0.0),
            self.stencil.on_grid(north / cell_m, outside=0.0),
        )

    @cached_property
    def density_per_m(self) -> FloatArray:
        """Net trips that cross a place on the grid [share of the pair's trips / m of front]."""
        return np.hypot(*self.flux_per_m)

    def sent(self, bed: Patch, food: Patch, demand: float) -> PairTrips:
        """Return the same trips under other names and demand, with the fields made so far."""
        other = replace(self, bed=bed, food=food, demand=demand)
        names = {one.name for one in fields(self)}
        made = {name: value for name, value in vars(self).items() if name not in names}
        vars(other).update(made)
        return other

    def net_flow(self, start: IntArray, end: IntArray, weights: FloatArray) -> FloatArray:
        """Return the net flow f from kept cells ``start`` to ``end`` over edges of ``weights``."""
        return np.asarray(
            weights * (self.visits[start] * self.reach[end] - self.visits[end] * self.reach[start])
        )

    def walked_m(self) -> FloatArray:
        """Return the mean length that trips have walked when they pass a cell, on the grid [m]."""
        return self._walked_m

    @cached_property
    def _walked_m(self) -> FloatArray:
        """The lengths walked, made once; they do not hang on demand."""
        edges = self.stencil.weights
        rows, cols = self.stencil.rows, self.stencil.cols
        first = np.repeat(np.arange(rows.size), np.diff(edges.indptr))
        steps = np.hypot(rows[edges.indices] - rows[first], cols[edges.indices] - cols[first])
        with np.errstate(divide="ignore", invalid="ignore"):
            potential = np.where(self.reach > 0, self.visits / self.reach, 0.0)
        order = np.argsort(-potential, kind="stable")
        walked = mean_walked(
            edges.indptr,
            edges.indices,
            edges.data,
            steps * self.stencil.grid.cell_m,
            self.visits,
            self.reach,
            self.starts,
            order,
        )
        return self.stencil.on_grid(walked)


def start_shares(stencil: Stencil, bed: Patch, food: Patch, reach: FloatArray) -> FloatArray:
    """Return the share of a pair's trips that begins at each kept cell, (n,).

    Cells that are also food start none, nor do cells from which no way leads to the food.

    Raises
    ------
    NoWayError
        If no cell is left.
    """
    starts = np.zeros(stencil.cells.size)
    place = stencil.index[np.setdiff1d(bed.cells, food.cells)]
    place = place[place >= 0]
    place = place[reach[place] > _FAINT]
    if not place.size:
        raise NoWayError(
            f"No way leads from {bed.label} to {food.label}.",
            where=bed.label,
            remedy="Mark a gap in what closes it off, or move the bed.",
        )
    starts[place] = 1.0 / place.size
    return starts


def pair_trips(
    solver: Solver,
    beds: Sequence[Patch],
    foods: Sequence[Patch],
    shares: FloatArray,
    *,
    reaches: MutableMapping[bytes, FloatArray] | None = None,
) -> tuple[PairTrips, ...]:
    """Return the trips of every pair that has a share of the demand.

    Parameters
    ----------
    solver : Solver
        The factorised cost surface.
    beds, foods : sequences of Patch
        What trips link.
    shares : (beds, foods) float64
        Demand; pairs with 0 are not solved.
    reaches : mapping of bytes to (n,) float64, optional
        What this solver said of foods before, by the bytes of their cells; new ones are added.

    Returns
    -------
    tuple of PairTrips
        In the order of beds, then foods.
    """
    stencil = solver.stencil
    known = reaches if reaches is not None else {}
    ways: list[_Way] = []
    for j, food in enumerate(foods):
        senders = [i for i in range(len(beds)) if shares[i, j] > 0]
        if not senders:
            continue
        ends = solver.ends(food.cells)
        reach = _reach(solver, food, ends, known)
        ways += [(i, j, ends, reach, start_shares(stencil, beds[i], food, reach)) for i in senders]
    visits = _visits(solver, ways)
    found = [
        PairTrips(
            bed=beds[i],
            food=foods[j],
            demand=float(shares[i, j]),
            stencil=stencil,
            starts=starts,
            reach=reach,
            ends=ends,
            visits=visits[k],
        )
        for k, (i, j, ends, reach, starts) in enumerate(ways)
    ]
    order = {bed.mark.key: i for i, bed in enumerate(beds)}
    return tuple(sorted(found, key=lambda pair: order[pair.bed.mark.key]))


def _visits(solver: Solver, ways: Sequence[_Way]) -> list[FloatArray]:
    """Return G of each way, a few solved at a time: faster than one by one, and bounded."""
    found: list[FloatArray] = []
    for first in range(0, len(ways), _AT_A_TIME):
        some = ways[first : first + _AT_A_TIME]
        right = np.column_stack([_divided(starts, reach) for *_, reach, starts in some])
        visits = np.maximum(solver.solve(right), 0.0)
        found += [np.ascontiguousarray(column) for column in visits.T]
    return found


def _reach(
    solver: Solver, food: Patch, ends: FloatArray, reaches: MutableMapping[bytes, FloatArray]
) -> FloatArray:
    """Return z of a food source, solved unless it is known."""
    key = food.cells.tobytes()
    if key not in reaches:
        reaches[key] = np.maximum(solver.solve(ends), 0.0)
    return reaches[key]


def _divided(starts: FloatArray, reach: FloatArray) -> FloatArray:
    """Return b / z, 0 where nothing starts."""
    return np.where(starts > 0, starts / np.where(starts > 0, reach, 1.0), 0.0)


def passage_per_m(pairs: Sequence[PairTrips]) -> FloatArray:
    """Return the net trips that cross a place [share of all trips per metre of front].

    Trips of different pairs add up; those of one pair that run against each other cancel.
    """
    total = np.zeros(pairs[0].stencil.grid.shape)
    for pair in pairs:
        total += pair.demand * pair.density_per_m
    return total
