"""Contours of a plane with even flow, by hand."""

from __future__ import annotations

import numpy as np
import pytest

from funnelfinder.kernels.sections import section_segments


def plane(n_rows: int = 6, n_cols: int = 9):
    """A field that rises by 1 a column, and one trip a cell flowing west."""
    field = np.broadcast_to(np.arange(n_cols, dtype=float), (n_rows, n_cols)) + 0.3
    return np.ascontiguousarray(field), np.full((n_rows, n_cols), -1.0), np.zeros((n_rows, n_cols))


def test_sections_of_a_plane_are_straight_and_carry_all_flow():
    field, east, north = plane()
    level, real, ends = section_segments(field, east, north, 2.0, 7.0, 0.0)
    assert set(level) == {1, 2, 3}
    for k in (1, 2, 3):
        here = level == k
        assert here.sum() == 5
        np.testing.assert_allclose(real[here, 1], 2.0 * k - 0.3)
        assert real[here, 2].sum() == pytest.approx(5.0)
        np.testing.assert_allclose(real[here, 3], 1.0)
        np.testing.assert_allclose(real[here, 4], -1.0)
        # Pieces that follow each other share an edge: a chain of 5 has 6 different ends.
        assert np.unique(ends[here]).size == 6


def test_flow_up_the_field_and_faint_flow_count_for_nothing():
    field, east, north = plane()
    assert section_segments(field, -east, north, 2.0, 7.0, 0.0)[0].size == 0
    assert section_segments(field, east, north, 2.0, 7.0, 1.5)[0].size == 0


def test_a_hole_breaks_a_section():
    field, east, north = plane()
    field[2, :] = np.nan
    level, real, _ = section_segments(field, east, north, 2.0, 7.0, 0.0)
    assert (level == 1).sum() == 3
    assert set(np.floor(real[level == 1, 0])) == {0.0, 3.0, 4.0}
