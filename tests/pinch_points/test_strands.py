"""Sections, strands and their widths."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from funnelfinder.marks import MarkKind
from funnelfinder.pinch_points import effective_width_m, even_widths_m, squeezes, strands
from tests import scenes
from tests.pinch_points.pairs import MIDDLE, both_pairs


def test_strands_of_even_ground_hold_nearly_all_trips_and_are_one_a_section() -> None:
    (pair,), _ = both_pairs(40.0)
    found = strands(pair, step_m=10.0, edge_share=0.1)
    middle = (found.progress > 0.25) & (found.progress < 0.75)
    assert np.unique(found.level_m[middle]).size == middle.sum()
    # A normal profile cut at a tenth of its peak holds erf(√(ln 10)) = 0.968 of it.
    np.testing.assert_allclose(found.share[middle], 0.968, atol=0.015)


def test_squeeze_is_one_on_even_ground() -> None:
    (pair,), (even,) = both_pairs(60.0)
    found = strands(pair, step_m=10.0, edge_share=0.1)
    widths = even_widths_m(strands(even, step_m=10.0, edge_share=0.1))
    inside = (found.progress > 0.05) & (found.progress < 0.95)
    assert squeezes(found, *widths)[inside] == pytest.approx(0.968, abs=0.03)


def test_sections_of_no_cut_hold_all_trips() -> None:
    """Flow through any section between bed and food is all trips."""
    (pair,), _ = both_pairs(40.0)
    found = strands(pair, step_m=10.0, edge_share=1e-9)
    total = np.bincount(np.rint(found.level_m / 10.0).astype(int), found.share)
    inside = total[2:-2]
    np.testing.assert_allclose(inside, 1.0, atol=0.02)


def test_a_pond_parts_the_trips_into_two_strands() -> None:
    pond = scenes.mark(MarkKind.WATER, scenes.disc(MIDDLE, MIDDLE, 40), "Pond")
    (pair,), _ = both_pairs(60.0, [pond])
    found = strands(pair, step_m=10.0, edge_share=0.1)
    half_way = np.abs(found.x_m - scenes.corner(MIDDLE, 0)[0]) < 10.0
    assert half_way.sum() >= 2
    np.testing.assert_allclose(found.share[half_way], 0.45, atol=0.08)


def test_neighbouring_sections_are_linked_all_the_way() -> None:
    (pair,), _ = both_pairs(60.0)
    found = strands(pair, step_m=10.0, edge_share=0.1)
    steps = np.abs(np.diff(found.level_m[found.links], axis=1))
    assert (steps == 10.0).all()
    assert found.links.shape[0] >= found.level_m.size - 1


@given(
    flow=st.lists(st.floats(1e-6, 1.0), min_size=1, max_size=30),
    dl=st.floats(0.1, 20.0),
    scale=st.floats(0.1, 10.0),
)
def test_width_lies_between_one_piece_and_all_and_ignores_the_number_of_trips(
    flow: list[float], dl: float, scale: float
) -> None:
    f, lengths = np.array(flow), np.full(len(flow), dl)
    width = effective_width_m(f, lengths)
    assert dl * (1 - 1e-9) <= width <= dl * len(flow) * (1 + 1e-9)
    assert effective_width_m(scale * f, lengths) == pytest.approx(width)
