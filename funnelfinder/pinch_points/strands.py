"""Sections of a pair's trips, and the strands that run through them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.sparse import coo_array, csr_array
from scipy.sparse.csgraph import connected_components
from scipy.spatial import cKDTree

from funnelfinder.kernels import AnyArray, FloatArray, IntArray
from funnelfinder.kernels.sections import section_segments
from funnelfinder.trips import PairTrips

#: Flow below this share of its largest is not followed (a strand ends far above it).
_FAINT_SHARE = 1e-4


@dataclass(frozen=True, kw_only=True)
class Strands:
    """The strands of one pair, one entry each; ``n`` of them.

    Parameters
    ----------
    level_m : (n,) float64
        Soft distance of the section [m].
    progress : (n,) float64
        1 − d / mean d of the bed.
    share : (n,) float64
        Share of the pair's trips.
    width_m : (n,) float64
        Effective width [m].
    x_m, y_m : (n,) float64
        Middle of the flow [m].
    across_deg : (n,) float64
        Bearing of the section [deg, 0 to 180].
    links : (links, 2) int64
        Strands of neighbouring sections that overlap.
    """

    level_m: FloatArray
    progress: FloatArray
    share: FloatArray
    width_m: FloatArray
    x_m: FloatArray
    y_m: FloatArray
    across_deg: FloatArray
    links: IntArray


@dataclass(frozen=True, kw_only=True)
class _Pieces:
    """Loose pieces of sections: level number, middle, length, flow across, and direction."""

    level: IntArray
    points_m: FloatArray
    length_m: FloatArray
    flow_per_m: FloatArray
    down_east: FloatArray
    down_north: FloatArray
    ends: IntArray


def effective_width_m(flow_per_m: FloatArray, dl_m: FloatArray) -> float:
    """Return the width of the band that trips use along a section.

    Parameters
    ----------
    flow_per_m : (n,) float64
        Net flow across each piece of the section [share/m].
    dl_m : (n,) float64
        Length of each piece [m].

    References
    ----------
    .. [1] M. O. Hill, "Diversity and evenness", Ecology 54, 427-432, 1973 (N2).

    Examples
    --------
    >>> round(effective_width_m(np.array([0.05, 0.05, 0.0]), np.array([10.0, 10.0, 5.0])), 6)
    20.0
    """
    total = float((flow_per_m * dl_m).sum())
    return total**2 / float((flow_per_m**2 * dl_m).sum())


def bed_distance_m(pair: PairTrips) -> tuple[float, float]:
    """Return the mean and the smallest soft distance of a pair's starts [m]."""
    distance = pair.soft_distance_m.ravel()[pair.stencil.cells]
    starts = pair.starts > 0
    return (
        float((distance[starts] * pair.starts[starts]).sum()),
        float(distance[starts].min()),
    )


def _pieces(pair: PairTrips, step_m: float) -> _Pieces:
    """Return the pieces of all sections between the food and the bed's nearest start."""
    east, north = pair.flux_per_m
    faint = _FAINT_SHARE * float(np.hypot(east, north).max())
    _, nearest = bed_distance_m(pair)
    distance = np.where(np.isfinite(pair.soft_distance_m), pair.soft_distance_m, np.nan)
    level, real, ends = section_segments(distance, east, north, step_m, nearest, faint)
    grid = pair.stencil.grid
    return _Pieces(
        level=level,
        points_m=grid.points_m(real[:, 0], real[:, 1]),
        length_m=real[:, 2] * grid.cell_m,
        flow_per_m=real[:, 3],
        down_east=real[:, 4],
        down_north=real[:, 5],
        ends=ends,
    )


def strands(pair: PairTrips, *, step_m: float, edge_share: float) -> Strands:
    """Return the strands of a pair's trips.

    Parameters
    ----------
    pair : PairTrips
        Whose trips.
    step_m : float
        Soft distance between sections [m].
    edge_share : float
        A strand ends where its section's flow falls below this share of its peak.
    """
    pieces = _pieces(pair, step_m)
    n_levels = int(pieces.level.max()) + 1 if pieces.level.size else 0
    peak = np.zeros(n_levels)
    np.maximum.at(peak, pieces.level, pieces.flow_per_m)
    kept = np.flatnonzero(pieces.flow_per_m >= edge_share * peak[pieces.level])
    label = _labels(pieces, kept)
    n = int(label.max()) + 1 if label.size else 0
    level = np.zeros(n, dtype=np.int64)
    level[label] = pieces.level[kept]
    dl, f = pieces.length_m[kept], pieces.flow_per_m[kept]
    levels_m: FloatArray = level.astype(np.float64) * step_m
    flow: FloatArray = np.bincount(label, f * dl, n).astype(np.float64)
    mean_m, _ = bed_distance_m(pair)
    east = np.bincount(label, f * dl * pieces.down_east[kept], n)
    north = np.bincount(label, f * dl * pieces.down_north[kept], n)
    return Strands(
        level_m=levels_m,
        progress=1.0 - levels_m / mean_m,
        share=flow,
        width_m=flow**2 / np.bincount(label, f * f * dl, n),
        x_m=np.bincount(label, f * dl * pieces.points_m[kept, 0], n) / flow,
        y_m=np.bincount(label, f * dl * pieces.points_m[kept, 1], n) / flow,
        across_deg=(np.degrees(np.arctan2(east, north)) + 90.0) % 180.0,
        links=_links(pieces, kept, label, max(1.2 * step_m, 1.5 * pair.stencil.grid.cell_m)),
    )


def even_widths_m(found: Strands) -> tuple[FloatArray, FloatArray]:
    """Return progress and width of the fullest strand of each section, by rising progress [m]."""
    order = np.lexsort((-found.share, -found.level_m))
    first = np.concatenate(([True], np.diff(found.level_m[order]) != 0))
    fullest = order[first]
    return found.progress[fullest], found.width_m[fullest]


def _labels(pieces: _Pieces, kept: IntArray) -> IntArray:
    """Return which strand each kept piece belongs to: pieces of one level that share an edge."""
    if not kept.size:
        return np.zeros(0, dtype=np.int64)
    keys = pieces.level[kept, None] * (pieces.ends.max() + 1) + pieces.ends[kept]
    flat = keys.ravel()
    owner = np.repeat(np.arange(kept.size), 2)
    order = np.argsort(flat, kind="stable")
    same = np.flatnonzero(flat[order[1:]] == flat[order[:-1]])
    a, b = owner[order[same]], owner[order[same + 1]]
    graph = coo_array((np.ones(a.size), (a, b)), shape=(kept.size, kept.size))
    labels: AnyArray = connected_components(graph, directed=False)[1]
    return labels.astype(np.int64)


def _links(pieces: _Pieces, kept: IntArray, label: IntArray, near_m: float) -> IntArray:
    """Return pairs of strands of neighbouring sections that overlap."""
    if not kept.size:
        return np.zeros((0, 2), dtype=np.int64)
    n = int(label.max()) + 1
    tree = cKDTree(pieces.points_m[kept])
    pairs = tree.query_pairs(near_m, output_type="ndarray")
    levels = pieces.level[kept]
    joined = label[pairs[np.abs(levels[pairs[:, 0]] - levels[pairs[:, 1]]) == 1]]
    low, high = joined.min(axis=1, initial=n), joined.max(axis=1, initial=0)
    # A sparse matrix gathers the many pieces of each pair of strands without sorting them.
    once = csr_array((np.ones(low.size), (low, high)), shape=(n, n))
    once.sort_indices()
    return np.column_stack(once.nonzero()).astype(np.int64)
