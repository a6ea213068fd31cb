"""Lines that water, or its mirror image on crests, follows: where they begin to be cut in."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.spatial import cKDTree

from funnelfinder.detectors.relief import Relief, rays_m, unit
from funnelfinder.kernels import BoolArray, FloatArray, IntArray
from funnelfinder.terrain import drainage

#: The way of a line is taken over this length, so that eight directions do not show [m].
WAY_M = 25.0
#: A cut that is missing for less than this does not end a line [m].
SKIP_M = 20.0


@dataclass(frozen=True, kw_only=True)
class CutLine:
    """A stretch of line that lies below the ground on both sides, from its upper end down.

    ``points_m`` (n, 2) runs down from the upper end [m]; ``depth_m`` (n,) is how far the lower
    of the two sides stands above it [m].
    """

    points_m: FloatArray
    depth_m: FloatArray

    @property
    def length_m(self) -> float:
        """Length along the line [m]."""
        return float(np.linalg.norm(np.diff(self.points_m, axis=0), axis=1).sum())


def cut_lines(
    relief: Relief, *, least_area_m2: float, side_m: float, least_depth_m: float, length_m: float
) -> list[CutLine]:
    """Return the upper ends of lines that are cut into the ground, each with its way down.

    Parameters
    ----------
    relief : Relief
        Heights; give them upside down for crests.
    least_area_m2 : float
        A line begins where at least this area drains through a cell [m²].
    side_m : float
        The two sides are looked at this far across [m].
    least_depth_m : float
        Both sides stand at least this far above the line [m].
    length_m : float
        The cut goes on for at least this length, and is followed no farther than twice it [m].

    Returns
    -------
    list of CutLine
        One for each upper end; of two nearer than ``length_m`` the deeper one.
    """
    to_cell, area = drainage(relief.heights_m, relief.grid.cell_m)
    receiver = to_cell.ravel()
    cells = np.flatnonzero(area >= least_area_m2)
    if not cells.size:
        return []
    points, ways = _cell_points_m(relief, cells), _ways(relief, cells, receiver)
    depth = np.full(area.size, -np.inf)
    depth[cells] = _depths_m(relief, points, ways, side_m)
    is_cut = depth >= least_depth_m
    # Where the cut goes on above it, or nothing is known of it, the line does not begin there.
    above = _depths_m(relief, points - side_m * ways, ways, side_m)
    begins = np.zeros(area.size, dtype=bool)
    begins[cells] = np.isfinite(above) & (above < least_depth_m)
    paths = [
        _path(end, receiver, is_cut, relief.grid.cell_m) for end in _upper_ends(is_cut, receiver)
    ]
    most = round(2 * length_m / relief.grid.cell_m)
    stems = [one[:most] for one in _own_stems(paths, area.size) if begins[one[0]]]
    lines = [CutLine(points_m=_cell_points_m(relief, one), depth_m=depth[one]) for one in stems]
    return _apart([line for line in lines if line.length_m >= length_m], length_m)


def _cell_points_m(relief: Relief, cells: IntArray) -> FloatArray:
    """Return the map points of flat indices."""
    n_cols = relief.grid.n_cols
    return relief.grid.points_m((cells // n_cols).astype(float), (cells % n_cols).astype(float))


def _ways(relief: Relief, cells: IntArray, receiver: IntArray) -> FloatArray:
    """Return the way down the line from each cell, as unit vectors."""
    far = cells
    for _ in range(max(round(WAY_M / relief.grid.cell_m), 1)):
        far = np.where(receiver[far] >= 0, receiver[far], far)
    return unit(_cell_points_m(relief, far) - _cell_points_m(relief, cells))


def _depths_m(relief: Relief, points_m: FloatArray, ways: FloatArray, side_m: float) -> FloatArray:
    """Return how far the lower side stands above each point of a line [m]; -inf if not known."""
    across = np.stack([-ways[:, 1], ways[:, 0]], axis=1)
    left = rays_m(relief, points_m, across, np.array([side_m]))[:, 0]
    right = rays_m(relief, points_m, -across, np.array([side_m]))[:, 0]
    depth = np.minimum(left, right) - relief.heights_at(points_m)
    return np.asarray(np.where(np.isfinite(depth) & ways.any(axis=1), depth, -np.inf))


def _upper_ends(is_cut: BoolArray, receiver: IntArray) -> IntArray:
    """Return the cut cells that no cut cell drains to."""
    cut = np.flatnonzero(is_cut)
    has_donor = np.zeros(is_cut.size, dtype=bool)
    below = receiver[cut]
    has_donor[below[below >= 0]] = True
    return np.asarray(cut[~has_donor[cut]])


def _path(end: int, receiver: IntArray, is_cut: BoolArray, cell_m: float) -> IntArray:
    """Return the cells down from an upper end, as far as they stay cut."""
    skip = round(SKIP_M / cell_m)
    path, last = [int(end)], 0
    while len(path) - last <= skip:
        below = int(receiver[path[-1]])
        if below < 0:
            break
        path.append(below)
        if is_cut[below]:
            last = len(path) - 1
    return np.array(path[: last + 1])


def _own_stems(paths: list[IntArray], n_cells: int) -> list[IntArray]:
    """Return each path as far as none from farther up has joined it."""
    farthest = np.full(n_cells, -1)
    for path in paths:
        farthest[path] = np.maximum(farthest[path], np.arange(len(path)))
    stems = []
    for path in sorted(paths, key=len, reverse=True):
        is_own = farthest[path] == np.arange(len(path))
        stem = path[: len(path) if is_own.all() else int(np.argmin(is_own))]
        if len(stem):
            stems.append(stem)
            # Of two equally long ones the first keeps what they share.
            farthest[stem] = n_cells
    return stems


def _apart(lines: list[CutLine], apart_m: float) -> list[CutLine]:
    """Return the lines whose upper ends are apart from those of deeper ones."""
    kept: list[CutLine] = []
    for line in sorted(lines, key=lambda one: -float(one.depth_m.max())):
        ends = [one.points_m[0] for one in kept]
        if not ends or cKDTree(np.array(ends)).query(line.points_m[0])[0] >= apart_m:
            kept.append(line)
    return kept
