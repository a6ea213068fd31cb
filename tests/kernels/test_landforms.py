"""Kernels of landforms against plain Python on small random ground."""

import math

import numpy as np
import pytest

from funnelfinder.kernels import landforms

STEPS = [(int(r), int(c)) for r, c in zip(landforms.ROW_STEPS, landforms.COL_STEPS, strict=True)]


def rough(seed: int, n: int = 14) -> np.ndarray:
    """Rough ground with a hole."""
    z = np.random.default_rng(seed).normal(size=(n, n)).cumsum(axis=0)
    z[4, 9] = np.nan
    return z


def plain_form(z: np.ndarray, r: int, c: int, search_m: float, flat_rad: float) -> int:
    """The form of a cell, worked line by line with true angles."""
    lower = higher = 0
    for dr, dc in STEPS:
        angles = []
        k = 1
        while k * math.hypot(dr, dc) < search_m:
            i, j = r + k * dr, c + k * dc
            if 0 <= i < z.shape[0] and 0 <= j < z.shape[1] and not np.isnan(z[i, j]):
                angles.append(math.atan2(z[i, j] - z[r, c], k * math.hypot(dr, dc)))
            k += 1
        if not angles or max(abs(max(angles)), abs(min(angles))) <= flat_rad:
            continue
        up, down = abs(max(angles)), abs(min(angles))
        if up > down or (up == down and max(angles) > 0):
            higher += 1
        else:
            lower += 1
    return int(landforms.FORM_TABLE[lower, higher])


@pytest.mark.parametrize("seed", range(3))
def test_forms_equal_plain_python(seed):
    z = rough(seed)
    got = landforms.geomorphons(z, 1.0, 6.0, 0.3)
    for r, c in np.ndindex(z.shape):
        assert got[r, c] == (0 if np.isnan(z[r, c]) else plain_form(z, r, c, 6.0, 0.3))


def hills_above(z: np.ndarray, level: float) -> list[set[tuple[int, int]]]:
    """The connected sets of cells higher than a level."""
    left = {(r, c) for r, c in np.ndindex(z.shape) if z[r, c] > level}
    hills = []
    while left:
        hill, edge = set(), [left.pop()]
        while edge:
            r, c = edge.pop()
            hill.add((r, c))
            for dr, dc in STEPS:
                if (r + dr, c + dc) in left:
                    left.remove((r + dr, c + dc))
                    edge.append((r + dr, c + dc))
        hills.append(hill)
    return hills


@pytest.mark.parametrize("seed", range(3))
def test_hills_join_where_plain_flooding_says(seed):
    z = rough(seed)
    order = np.argsort(-z, axis=None, kind="stable")
    order = order[np.isfinite(z.ravel()[order])]
    at, low, high = landforms.joins(z, order, 1.0, 1)
    got = {int(cell) for cell in at}
    expected = set()
    for cell in order:
        r, c = divmod(int(cell), z.shape[1])
        beside = [
            max(z[i, j] for i, j in hill)
            for hill in hills_above(z, z[r, c])
            if any((r + dr, c + dc) in hill for dr, dc in STEPS)
        ]
        if len(beside) > 1 and sorted(beside)[-2] - z[r, c] >= 1.0:
            expected.add(int(cell))
    assert got == expected
    assert got
    assert (z.ravel()[low] <= z.ravel()[high]).all()


def test_every_cell_drains_downhill_to_an_outlet():
    z = rough(7, 30)
    receiver, gathered = landforms.drainage(z)
    for start in range(z.size):
        cell, steps = start, 0
        while receiver.flat[cell] >= 0:
            cell = receiver.flat[cell]
            steps += 1
            assert steps <= z.size
    outlets = (receiver < 0) & np.isfinite(z)
    assert gathered[outlets].sum() == z.size - 1


def test_block_means_equal_numpy():
    z = np.random.default_rng(1).normal(size=(12, 8)).astype(np.float32)
    expected = z.astype(float).reshape(3, 4, 2, 4).mean(axis=(1, 3))
    assert landforms.block_means(z, 4) == pytest.approx(expected)
