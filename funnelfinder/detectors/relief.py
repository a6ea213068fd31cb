"""The ground's heights at the scale that a detector works on."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from funnelfinder.grid import Grid
from funnelfinder.ground import Ground
from funnelfinder.kernels import BoolArray, FloatArray
from funnelfinder.terrain import coarsened, sampled, smoothed


@dataclass(frozen=True, kw_only=True)
class Relief:
    """Smoothed heights on coarser cells: ``heights_m`` (rows, cols) [m] on ``grid``."""

    grid: Grid
    heights_m: FloatArray

    def heights_at(self, points_m: FloatArray) -> FloatArray:
        """Return the heights at map points [m]; NaN outside and beside holes."""
        return sampled(self.grid, self.heights_m, points_m)

    def points_of(self, mask: BoolArray) -> FloatArray:
        """Return the map points of the true cells, shape (n, 2)."""
        rows, cols = np.nonzero(mask)
        return self.grid.points_m(rows.astype(float), cols.astype(float))


def relief_of(ground: Ground, *, cell_m: float, sigma_m: float) -> Relief:
    """Return the finest heights of a ground on cells of about ``cell_m``, smoothed.

    Parameters
    ----------
    ground : Ground
        Its ``fine_elevation_m`` is used.
    cell_m : float
        Side of cell wanted [m]; coarser where the elevation is.
    sigma_m : float
        Standard deviation of the Gaussian that takes out bumps and the survey's noise [m].
    """
    grid, heights = coarsened(ground.fine_grid, ground.fine_elevation_m, cell_m)
    return Relief(grid=grid, heights_m=smoothed(heights, grid.cell_m, sigma_m))


def unit(vectors: FloatArray) -> FloatArray:
    """Return vectors of shape (..., 2) at length 1; those of length 0 stay 0."""
    length = np.linalg.norm(vectors, axis=-1, keepdims=True)
    return np.asarray(np.divide(vectors, length, out=np.zeros_like(vectors), where=length > 0))


def rays_m(
    relief: Relief, points_m: FloatArray, ways: FloatArray, distances_m: FloatArray
) -> FloatArray:
    """Return heights along a ray from each point, shape (n points, n distances) [m].

    ``points_m`` and ``ways`` (unit vectors) have shape (n, 2).
    """
    at = points_m[:, None, :] + distances_m[None, :, None] * ways[:, None, :]
    return relief.heights_at(at.reshape(-1, 2)).reshape(len(points_m), len(distances_m))
