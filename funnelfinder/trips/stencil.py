"""The grid of edges that trips run on: weights after slope and lines, and the screening."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy import sparse

from funnelfinder.barriers import Barrier
from funnelfinder.cost import CostSurface
from funnelfinder.grid import Grid
from funnelfinder.kernels import FloatArray, IntArray
from funnelfinder.kernels.crossings import line_crossings, strip_free_share
from funnelfinder.kernels.stencil import edges


@dataclass(frozen=True, kw_only=True)
class Stencil:
    """Edges between kept cells, and what it costs to stay.

    Parameters
    ----------
    grid : Grid
        The travel grid.
    kappa_per_m : float
        How straight trips are [1/m].
    cells : (n,) int64
        Flat indices of the kept cells.
    index : (rows · cols,) int64
        Place of each cell among the kept ones, -1 for removed cells.
    weights : (n, n) CSR
        Symmetric edge weights.
    screening : (n,) float64
        s = 2 (cosh(κ c h) − 1).
    """

    grid: Grid
    kappa_per_m: float
    cells: IntArray
    index: IntArray
    weights: sparse.csr_array
    screening: FloatArray

    @property
    def rows(self) -> IntArray:
        """Rows of the kept cells."""
        return np.asarray(self.cells // self.grid.n_cols)

    @property
    def cols(self) -> IntArray:
        """Columns of the kept cells."""
        return np.asarray(self.cells % self.grid.n_cols)

    def on_grid(self, values: FloatArray, outside: float = np.nan) -> FloatArray:
        """Return values of kept cells as (rows, cols), ``outside`` elsewhere."""
        full = np.full(self.grid.n_cells, outside)
        full[self.cells] = values
        return full.reshape(self.grid.shape)


def make_stencil(surface: CostSurface, kappa_per_m: float) -> Stencil:
    """Return the edges and screening of a cost surface.

    Parameters
    ----------
    surface : CostSurface
        Costs, slope and lines.
    kappa_per_m : float
        How straight trips are [1/m], > 0.

    References
    ----------
    .. [1] J. Fehrenbach, J.-M. Mirebeau, "Sparse non-negative stencils for anisotropic
       diffusion", J. Math. Imaging Vis. 49, 123-147, 2014.
    """
    grid = surface.grid
    removed = np.ascontiguousarray(surface.is_removed)
    start, end, weight = edges(
        _grid_slope_factor(surface, kappa_per_m), surface.fall_east, surface.fall_north, removed
    )
    weight = weight * _line_factors(surface, kappa_per_m, start, end)
    has_way = weight > 0
    start, end, weight = start[has_way], end[has_way], weight[has_way]
    cells = np.flatnonzero(~removed.ravel()).astype(np.int64)
    index = np.full(grid.n_cells, -1, dtype=np.int64)
    index[cells] = np.arange(cells.size)
    i, j = index[start], index[end]
    shape = (cells.size, cells.size)
    half = sparse.csr_array((weight, (i, j)), shape=shape)
    weights = sparse.csr_array(half + half.T)
    weights.sort_indices()
    steps = kappa_per_m * surface.cost.ravel()[cells] * grid.cell_m
    return Stencil(
        grid=grid,
        kappa_per_m=kappa_per_m,
        cells=cells,
        index=index,
        weights=weights,
        # 4 sinh²(x/2) is 2 (cosh x − 1) without the loss of digits for small x.
        screening=4.0 * np.sinh(steps / 2.0) ** 2,
    )


def _grid_slope_factor(surface: CostSurface, kappa_per_m: float) -> FloatArray:
    """Return the slope factor that makes the grid's own decay nearest to e, whatever the heading.

    Along an axis a factor of √((cosh κceh − 1) / (cosh κch − 1)) would be exact, along a diagonal
    e itself is; their geometric mean stays within 5 % of e for κceh up to 1.4.
    """
    steps = kappa_per_m * np.nan_to_num(surface.cost, nan=1.0) * surface.grid.cell_m
    slope = surface.slope_factor
    along_axis = np.sinh(0.5 * steps * slope) / np.sinh(0.5 * steps)
    return np.asarray(np.sqrt(slope * along_axis))


def _line_factors(
    surface: CostSurface, kappa_per_m: float, start: IntArray, end: IntArray
) -> FloatArray:
    """Return by how much lines weaken each edge (1 is not at all); several lines add up."""
    extra_m = np.zeros(start.size)
    strength = np.ones(start.size)
    if not surface.barriers:
        return strength
    offsets = _offsets(surface.grid, start, end)
    keys = start * surface.grid.n_cells + end
    for barrier in surface.barriers:
        _add_line(
            surface,
            kappa_per_m,
            barrier,
            offsets=offsets,
            keys=keys,
            extra_m=extra_m,
            strength=strength,
        )
    met = np.flatnonzero(extra_m > 0)
    factors = np.ones(start.size)
    with np.errstate(over="ignore"):
        factors[met] = 1.0 / (1.0 + strength[met] * np.expm1(kappa_per_m * extra_m[met]))
    return factors


def _offsets(grid: Grid, start: IntArray, end: IntArray) -> IntArray:
    """Return the distinct offsets (d_row, d_col) of the edges."""
    d_row = end // grid.n_cols - start // grid.n_cols
    d_col = end % grid.n_cols - start % grid.n_cols
    width = 2 * grid.n_cols
    distinct = np.unique((d_row + 64) * width + (d_col + grid.n_cols))
    return np.column_stack([distinct // width - 64, distinct % width - grid.n_cols])


def _add_line(
    surface: CostSurface,
    kappa_per_m: float,
    barrier: Barrier,
    *,
    offsets: IntArray,
    keys: IntArray,
    extra_m: FloatArray,
    strength: FloatArray,
) -> None:
    """Add one line's cost to the edges that cross it.

    An edge with offset v that crosses a line of cost F keeps the share
    1 / (1 + g (e^(κF) − 1)) of its weight, g = 2 √(nᵀDn) / (κ c h |v·n|): then nothing is lost
    and trips pay F. The share of its strip that is gap keeps the whole weight; the sum is turned
    back into one cost, so that several lines add.
    """
    grid = surface.grid
    cells, which, along_m, normal_east, normal_north = line_crossings(
        barrier.points_m, grid.west_m, grid.north_m, grid.cell_m, *grid.shape, offsets
    )
    if not cells.size:
        return
    d_row, d_col = offsets[which, 0], offsets[which, 1]
    others = cells + d_row * grid.n_cols + d_col
    wanted = cells * grid.n_cells + others
    place = np.minimum(np.searchsorted(keys, wanted), keys.size - 1)
    met = keys[place] == wanted
    place, cells, others = place[met], cells[met], others[met]
    normal_east, normal_north = normal_east[met], normal_north[met]
    across = np.abs(d_col[met] * normal_east - d_row[met] * normal_north)
    spread = _normal_spread(surface, cells, others, normal_east, normal_north)
    cost = 0.5 * (surface.cost.ravel()[cells] + surface.cost.ravel()[others])
    geometry = 2.0 * spread / (kappa_per_m * cost * grid.cell_m * across)
    gaps = np.asarray(barrier.gaps_m, dtype=np.float64).reshape(-1, 2)
    free = strip_free_share(along_m[met], grid.cell_m / across, gaps)
    with np.errstate(over="ignore", divide="ignore"):
        kept = 1.0 / (1.0 + geometry * np.expm1(kappa_per_m * barrier.cost_m))
        kept = kept + (1.0 - kept) * free
        extra_m[place] += np.log1p((1.0 / kept - 1.0) / geometry) / kappa_per_m
    strength[place] = geometry


def _normal_spread(
    surface: CostSurface,
    cells: IntArray,
    others: IntArray,
    normal_east: FloatArray,
    normal_north: FloatArray,
) -> FloatArray:
    """Return √(nᵀDn), D the mean tensor of the two ends."""
    total = np.zeros(cells.size)
    for ends in (cells, others):
        factor = surface.slope_factor.ravel()[ends]
        along = surface.fall_east.ravel()[ends] * normal_east
        along = along + surface.fall_north.ravel()[ends] * normal_north
        total += 0.5 * (1.0 - (1.0 - factor**-2) * along**2)
    return np.sqrt(total)
