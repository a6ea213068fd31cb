"""One factorisation for a property; each bed and food source then needs solves only."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from scipy import sparse
from scipy.sparse.linalg import splu

from funnelfinder.cost import CostSurface
from funnelfinder.kernels import FloatArray, IntArray
from funnelfinder.trips.stencil import Stencil, make_stencil


@dataclass(frozen=True, kw_only=True)
class Solver:
    """The factorised cost surface; it cannot be pickled and lives where it was made."""

    stencil: Stencil
    lu: Any

    def solve(self, right: FloatArray) -> FloatArray:
        """Return A⁻¹ times ``right``, (n,) or (n, m)."""
        return np.asarray(self.lu.solve(right))

    def reach(self, food_cells: IntArray) -> FloatArray:
        """Return z: the chance that a walk from each kept cell ends at the food, (n,).

        ``food_cells`` are flat indices of the grid.
        """
        return self.solve(self.ends(food_cells))

    def ends(self, food_cells: IntArray) -> FloatArray:
        """Return q: the rate at which walks end, s on the food's cells and 0 elsewhere, (n,)."""
        ends = np.zeros(self.stencil.cells.size)
        place = self.stencil.index[food_cells]
        place = place[place >= 0]
        ends[place] = self.stencil.screening[place]
        return ends


def factor(surface: CostSurface, kappa_per_m: float) -> Solver:
    """Return the solver of a cost surface: A = diag(Σw + s) − W, factored once.

    A is an M-matrix, so elimination without pivoting keeps the relative accuracy of solutions
    that span many orders of magnitude.

    References
    ----------
    .. [1] M. Saerens, Y. Achbany, F. Fouss, L. Yen, "Randomized shortest-path problems: two
       related models", Neural Comput. 21, 2363-2404, 2009.
    .. [2] M. Panzacchi et al., "Predicting the continuum between corridors and barriers to animal
       movements using step selection functions and randomized shortest paths", J. Anim. Ecol. 85,
       32-42, 2016.
    """
    stencil = make_stencil(surface, kappa_per_m)
    total = np.asarray(stencil.weights.sum(axis=1)).ravel() + stencil.screening
    matrix = sparse.csc_matrix(sparse.diags_array(total) - stencil.weights)
    lu = splu(
        matrix,
        permc_spec="MMD_AT_PLUS_A",
        diag_pivot_thresh=0.0,
        options={"SymmetricMode": True},
    )
    return Solver(stencil=stencil, lu=lu)
