"""Coarser cells, smoothing and sampling."""

import numpy as np
import pytest

from funnelfinder.grid import Grid
from funnelfinder.terrain import coarsened, sampled, smoothed


def grid(n_rows: int = 7, n_cols: int = 10, cell_m: float = 1.0) -> Grid:
    """A small grid with its south-west corner at 0, 0."""
    return Grid(
        epsg=32617, west_m=0, north_m=n_rows * cell_m, cell_m=cell_m, n_rows=n_rows, n_cols=n_cols
    )


def test_coarser_cells_hold_the_mean_and_the_last_ones_may_be_cut():
    z = np.arange(70, dtype=float).reshape(7, 10)
    coarse, means = coarsened(grid(), z, 3.1)
    assert coarse.cell_m == 3.0
    assert coarse.shape == means.shape == (3, 4)
    assert means[0, 0] == z[:3, :3].mean()
    assert means[2, 3] == z[6:, 9:].mean()
    assert (coarse.west_m, coarse.north_m) == (0, 7)


def test_coarser_cells_pass_by_holes():
    z = np.ones((7, 10))
    z[0, 0] = np.nan
    z[:3, 3:6] = np.nan
    means = coarsened(grid(), z, 3.0)[1]
    assert means[0, 0] == 1.0
    assert np.isnan(means[0, 1])


def test_heights_are_never_made_finer():
    same, z = coarsened(grid(cell_m=5.0), np.ones((7, 10), dtype=np.float32), 2.0)
    assert same.cell_m == 5.0
    assert z.shape == (7, 10)


def test_smoothing_keeps_a_plane_away_from_the_rim_and_keeps_holes():
    steps = np.arange(60.0)
    z = 0.3 * steps[None, :] + 0.1 * steps[:, None]
    assert smoothed(z, 1.0, 3.0)[30, 30] == pytest.approx(z[30, 30], abs=1e-9)
    z[10, 10] = np.nan
    got = smoothed(z, 1.0, 3.0)
    assert np.isnan(got[10, 10])
    assert np.isfinite(got).sum() == z.size - 1
    assert got[10, 12] == pytest.approx(z[10, 12], abs=0.1)


def test_smoothing_lowers_white_noise_as_a_gaussian_must():
    # Deviation of white noise after a Gaussian of s cells: 1 / (2 s sqrt(pi)).
    noise = np.random.default_rng(3).normal(size=(400, 400))
    got = smoothed(noise, 2.0, 6.0)[20:-20, 20:-20].std()
    assert got == pytest.approx(1 / (2 * 3 * np.sqrt(np.pi)), rel=0.08)


def test_sampling_is_exact_on_a_plane_and_nothing_outside():
    steps = np.arange(10.0) + 0.5
    z = np.broadcast_to(2.0 * steps, (7, 10)).copy()
    got = sampled(grid(), z, np.array([[3.25, 4.0], [9.0, 1.0], [-3.0, 2.0]]))
    assert got[:2] == pytest.approx([6.5, 18.0])
    assert np.isnan(got[2])
