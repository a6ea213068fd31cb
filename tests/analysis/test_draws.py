"""Other costs drawn within their ranges."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from funnelfinder.analysis.draws import (
    Draw,
    drawn_barriers,
    drawn_costs,
    drawn_table,
    random_draw,
)
from funnelfinder.barriers import Barrier
from funnelfinder.defaults import CostSettings, RedrawSettings
from funnelfinder.land_cover import shipped_table
from funnelfinder.marks import MarkKind

TABLE = shipped_table("nlcd")


@given(st.integers(0, 10_000))
def test_every_cost_stays_within_its_range(seed: int) -> None:
    draw = random_draw(TABLE.classes, RedrawSettings(), np.random.default_rng(seed))
    for one in drawn_table(TABLE, draw).classes:
        shipped = TABLE.by_code[one.code]
        assert shipped.low - 1e-9 <= one.resistance <= shipped.high + 1e-9
    assert 0.5 <= draw.exposure <= 2.0
    assert 0.75 <= draw.wander <= 1.25


def test_no_spread_changes_nothing() -> None:
    draw = random_draw(TABLE.classes, RedrawSettings(spread=0.0), np.random.default_rng(1))
    assert drawn_table(TABLE, draw) == TABLE
    assert drawn_costs(CostSettings(), draw) == CostSettings()
    assert draw.wander == 1.0


def test_one_class_more_does_not_shift_the_others() -> None:
    few, many = TABLE.classes[3:6], TABLE.classes
    first, second = (
        random_draw(classes, RedrawSettings(), np.random.default_rng(7)) for classes in (few, many)
    )
    for one in few:
        assert first.resistance[one.code] == second.resistance[one.code]
    assert first.wander == second.wander


def test_a_closed_fence_stays_closed() -> None:
    fence = Barrier(name="Fence", kind=MarkKind.FENCE, points_m=np.zeros((2, 2)), cost_m=math.inf)
    low = replace(fence, cost_m=200.0)
    draw = Draw(lines={MarkKind.FENCE: 0.5})
    drawn = drawn_barriers((fence, low), draw)
    assert drawn[0].cost_m == math.inf
    assert drawn[1].cost_m == pytest.approx(100.0)
