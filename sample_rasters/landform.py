"""Grow hill country: a surface over crests and streams, eroded, and refined."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np
import numpy.typing as npt
from scipy import interpolate, ndimage, sparse
from scipy.sparse import linalg
from scipy.spatial import cKDTree

from .plan import CRESTS, FORKS, HOLLOWS, SIDE_M, SPURS, STREAMS, Fall, Stream

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]
Bools = npt.NDArray[np.bool_]

#: Cell of the eroded surface, and how far it reaches beyond the grids [m].
COARSE_M: Final = 20.0
MARGIN_M: Final = 500.0
#: A flood plain lies this far above its stream [m].
PLAIN_ABOVE_M: Final = 1.5
#: Hand-set until the country looked right: roughness that erosion starts from [m], steps of
#: erosion, its strength, uplift a step [m], and how far slopes creep in a step [cells].
START_ROUGH_M: Final = 8.0
EROSION_STEPS: Final = 40
ERODIBILITY: Final = 0.05
UPLIFT_M: Final = 0.5
CREEP_CELLS: Final = 0.5
#: No valley floor reaches farther from its stream than this [m].
VALLEY_M: Final = 500.0
#: The plan is turned by this and bent by waves (size m, length m, direction deg).
TURN_DEG: Final = 14.0
BENDS: Final = ((45.0, 1500.0, 20.0), (32.0, 820.0, 75.0), (20.0, 520.0, 135.0))


def bent(points: Floats) -> Floats:
    """Return points of the plan turned and bent, so that nothing runs along the grid."""
    middle = SIDE_M / 2.0
    turned = np.deg2rad(TURN_DEG)
    x, y = points[:, 0] - middle, points[:, 1] - middle
    east = x * np.cos(turned) - y * np.sin(turned)
    north = x * np.sin(turned) + y * np.cos(turned)
    bends = [_bend(east, north, *wave) for wave in BENDS]
    moved = points.copy()
    moved[:, 0] = middle + east + sum(bend[0] for bend in bends)
    moved[:, 1] = middle + north + sum(bend[1] for bend in bends)
    return moved


def _bend(x: Floats, y: Floats, size_m: float, wave_m: float, way_deg: float) -> list[Floats]:
    """Return how far a wave shifts points sideways [m east, m north]."""
    way = np.deg2rad(way_deg)
    phase = 2.0 * np.pi * (x * np.cos(way) + y * np.sin(way)) / wave_m + way_deg
    return [-np.sin(way) * size_m * np.sin(phase), np.cos(way) * size_m * np.sin(phase)]


def curve(points: Sequence[Sequence[float]], step_m: float) -> Floats:
    """Return a smooth line through points, about ``step_m`` apart; columns are kept."""
    corners = np.asarray(points, dtype=np.float64)
    along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(corners[:, :2], axis=0).T))])
    at = np.linspace(0.0, along[-1], max(2, round(along[-1] / step_m) + 1))
    return bent(np.asarray(interpolate.PchipInterpolator(along, corners)(at)))


def fractal(shape: tuple[int, int], rng: np.random.Generator, *, longest: float) -> Floats:
    """Return noise of unit spread whose waves run from ``longest`` cells down to two cells."""
    fy = np.fft.fftfreq(shape[0])[:, None]
    fx = np.fft.rfftfreq(shape[1])[None, :]
    waves = np.hypot(fy, fx)
    power = np.where(waves * longest >= 1.0, np.maximum(waves, 1e-9) ** -2.0, 0.0)
    spectrum = np.fft.rfft2(rng.standard_normal(shape)) * power
    noise = np.fft.irfft2(spectrum, s=shape)
    return np.asarray(noise / noise.std())


def profile(fall: Fall) -> Floats:
    """Return points x, y, height along a line that falls."""
    at = curve(fall.points, COARSE_M / 4)
    gone = np.linspace(0.0, 1.0, len(at))
    left = (1.0 - gone) ** fall.power if fall.is_hollow else 1.0 - gone**fall.power
    return np.column_stack([at, fall.end_m + (fall.top_m - fall.end_m) * left])


def stamped(lines: Sequence[Floats], side_cells: int) -> Floats:
    """Return coarse heights where lines run, NaN elsewhere; later lines win."""
    heights = np.full((side_cells, side_cells), np.nan)
    for points in lines:
        col, row = (np.floor((points[:, k] + MARGIN_M) / COARSE_M).astype(int) for k in (0, 1))
        inside = (row >= 0) & (row < side_cells) & (col >= 0) & (col < side_cells)
        heights[row[inside], col[inside]] = points[inside, 2]
    return heights


def membrane(fixed: Floats) -> Floats:
    """Return the solution of Laplace's equation through the known heights (NaN is unknown)."""
    is_fixed = np.isfinite(fixed)
    n_rows, n_cols = fixed.shape
    path = [sparse.diags([1.0, 1.0], [-1, 1], shape=(n, n)) for n in (n_rows, n_cols)]
    near = sparse.kron(sparse.eye(n_rows), path[1]) + sparse.kron(path[0], sparse.eye(n_cols))
    laplace = sparse.diags(np.asarray(near.sum(axis=1)).ravel()) - near
    free = ~is_fixed.ravel()
    laplace = laplace.tocsr()
    right = -laplace[free][:, ~free] @ fixed.ravel()[~free]
    heights = fixed.ravel().copy()
    heights[free] = linalg.spsolve(laplace[free][:, free].tocsc(), right)
    return heights.reshape(fixed.shape)


def eroded(heights: Floats, base: Bools) -> Floats:
    """Return heights after stream-power erosion, creep and uplift; ``base`` cells stay.

    Each step raises the ground, lets streams cut it (implicit, slope exponent 1, area exponent
    0.5) and lets slopes creep.

    References
    ----------
    .. [1] J. Braun and S. D. Willett, "A very efficient O(n), implicit and parallel method to
       solve the stream power equation", Geomorphology 180, 170-179, 2013.
    """
    kept = heights.copy()
    for _ in range(EROSION_STEPS):
        heights = np.where(base, kept, heights + UPLIFT_M)
        heights = _cut_by_streams(heights, base, ERODIBILITY)
        heights = np.where(base, kept, ndimage.gaussian_filter(heights, CREEP_CELLS))
    return heights


def _receivers(heights: Floats, base: Bools) -> tuple[Ints, Floats]:
    """Return for each cell the neighbour that it drains to (itself in a pit) and how far it is."""
    n_rows, n_cols = heights.shape
    padded = np.pad(heights, 1, constant_values=np.inf)
    own = np.arange(heights.size).reshape(heights.shape)
    steepest = np.zeros(heights.shape)
    target, length = own.copy(), np.full(heights.shape, COARSE_M)
    for dr in (-1, 0, 1):
        for dc in (-1, 0, 1):
            if dr == dc == 0:
                continue
            far = COARSE_M * np.hypot(dr, dc)
            beyond = padded[1 + dr : 1 + dr + n_rows, 1 + dc : 1 + dc + n_cols]
            fall = (heights - beyond) / far
            better = (fall > steepest) & ~base
            steepest[better] = fall[better]
            target[better] = (own + dr * n_cols + dc)[better]
            length[better] = far
    return target.ravel(), length.ravel()


def _levels(target: Ints) -> list[Ints]:
    """Return cells grouped by how many steps they are above the end of their stream."""
    steps = (target != np.arange(target.size)).astype(np.int64)
    ahead = target.copy()
    while (steps[ahead] > 0).any():
        steps = steps + steps[ahead]
        ahead = ahead[ahead]
    order = np.argsort(steps, kind="stable")
    return np.split(order, np.cumsum(np.bincount(steps))[:-1])


def _cut_by_streams(heights: Floats, base: Bools, erodibility: float) -> Floats:
    """Return heights after one implicit step of stream-power erosion."""
    target, length = _receivers(heights, base)
    levels = _levels(target)
    area = np.full(heights.size, COARSE_M**2)
    for cells in reversed(levels[1:]):
        np.add.at(area, target[cells], area[cells])
    cut = erodibility * np.sqrt(area) / length
    flat = heights.ravel().copy()
    for cells in levels[1:]:
        flat[cells] = (flat[cells] + cut[cells] * flat[target[cells]]) / (1.0 + cut[cells])
    return flat.reshape(heights.shape)


def nearest(line: Floats, x: Floats, y: Floats, within_m: float) -> tuple[Floats, Ints]:
    """Return how far the nearest point of a line is, and which it is; ``within_m`` at the most."""
    far, index = cKDTree(line[:, :2]).query(
        np.column_stack([x.ravel(), y.ravel()]), distance_upper_bound=within_m
    )
    # Points without a near one come back infinitely far, with an index one too high.
    far, index = np.minimum(far, within_m), np.minimum(index, len(line) - 1)
    return far.reshape(x.shape), index.reshape(x.shape)


def valley_floor(stream: Stream, x: Floats, y: Floats, step_m: float) -> tuple[Floats, Floats]:
    """Return a stream's height at the nearest point, and how far beyond its flood plain we are.

    The second is negative on the plain [m].
    """
    line = curve(stream.points, step_m)
    far, index = nearest(line, x, y, VALLEY_M)
    along = np.gradient(line[:, :2], axis=0)[index]
    to_east, to_north = x - line[index, 0], y - line[index, 1]
    is_left = along[..., 0] * to_north - along[..., 1] * to_east > 0
    plain = np.where(is_left, line[index, 3], line[index, 4])
    return line[index, 2], far - plain


def coarse_heights(rng: np.random.Generator) -> Floats:
    """Return the eroded surface on coarse cells, row 0 in the south, margin included [m]."""
    n = round((SIDE_M + 2.0 * MARGIN_M) / COARSE_M)
    centres = (np.arange(n) + 0.5) * COARSE_M - MARGIN_M
    x, y = np.meshgrid(centres, centres)
    hollows = [profile(fall) for fall in (*FORKS, *HOLLOWS)]
    ridges = [curve(crest, COARSE_M / 4) for crest in CRESTS] + [profile(fall) for fall in SPURS]
    known = stamped(ridges + hollows, n)
    is_base = np.isfinite(stamped(hollows, n))
    for stream in STREAMS:
        floor, beyond = valley_floor(stream, x, y, COARSE_M / 4)
        on_plain = beyond < 0
        known[on_plain] = floor[on_plain] + PLAIN_ABOVE_M
        is_base |= on_plain
    heights = membrane(known)
    rough = ndimage.gaussian_filter(heights, 1.5) + START_ROUGH_M * fractal(
        heights.shape, rng, longest=30
    )
    heights = np.where(is_base, heights, rough)
    heights = eroded(heights, is_base)
    return np.asarray(ndimage.gaussian_filter(heights, 0.7))


def refined(coarse: Floats, x: Floats, y: Floats) -> Floats:
    """Return coarse heights at points, by cubic splines [m]."""
    rows, cols = ((at + MARGIN_M) / COARSE_M - 0.5 for at in (y, x))
    return np.asarray(ndimage.map_coordinates(coarse, [rows, cols], order=3))


def smooth_step(t: Floats) -> Floats:
    """Return 0 below 0, 1 above 1, and a smooth rise between."""
    t = np.clip(t, 0.0, 1.0)
    return np.asarray(t * t * (3.0 - 2.0 * t))
