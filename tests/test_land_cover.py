"""Legends and cover tables."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from funnelfinder.errors import SettingError
from funnelfinder.land_cover import (
    LEGENDS,
    CoverClass,
    CoverTable,
    shipped_table,
    table_from_csv,
    table_to_csv,
)

# Class codes of the National Land Cover Database (conterminous states; mrlc.gov legend) and of
# ESA WorldCover v200 (product user manual, table 3).
NLCD = {11, 12, 21, 22, 23, 24, 31, 41, 42, 43, 52, 71, 81, 82, 90, 95}
WORLDCOVER = {10, 20, 30, 40, 50, 60, 70, 80, 90, 95, 100}


@pytest.mark.parametrize(("legend", "codes"), [("nlcd", NLCD), ("worldcover", WORLDCOVER)])
def test_a_shipped_table_knows_every_code_of_its_legend(legend, codes):
    table = shipped_table(legend)
    assert codes <= set(table.by_code)
    resistance = table.resistance(np.array(sorted(codes)))
    assert np.isfinite(resistance).all()
    assert (resistance >= 1.0).all()


def test_kinds_of_the_shipped_tables():
    nlcd, world = shipped_table("nlcd"), shipped_table("worldcover")
    for kind, few in {
        "woody": (41, 42, 43, 90),
        "open": (31, 71, 81, 82, 95),
        "water": (11,),
        "built": (23, 24),
    }.items():
        assert nlcd.is_kind(np.array(few), kind).all(), kind
    assert not nlcd.is_kind(np.array([22]), "built").any()
    assert world.is_kind(np.array([30, 40, 60, 90]), "open").all()
    assert world.is_kind(np.array([80]), "water").all()
    assert nlcd.crop_code == 82
    assert world.crop_code == 40


def test_a_code_that_the_legend_does_not_know_costs_nothing_known():
    table = shipped_table("nlcd")
    assert np.isnan(table.resistance(np.array([7]))).all()
    assert not table.is_kind(np.array([7]), "known").any()


@pytest.mark.parametrize("legend", LEGENDS)
def test_a_table_reads_back_from_its_own_text(legend):
    table = shipped_table(legend)
    assert table_from_csv(table_to_csv(table), legend=legend, where="x.csv") == table


def test_a_table_of_two_columns_is_enough():
    table = table_from_csv("code,resistance\n3,2\n", legend="mine", where="x.csv")
    one = table.by_code[3]
    assert (one.low, one.resistance, one.high) == (pytest.approx(4 / 3), 2.0, 3.0)
    assert one.name == "class 3"


@given(cost=st.floats(1.0, 500.0))
def test_a_new_cost_widens_its_range(cost):
    table = shipped_table("nlcd").with_resistances({41: cost})
    one = table.by_code[41]
    assert one.low <= one.resistance == cost <= one.high
    assert table.by_code[42] == shipped_table("nlcd").by_code[42]


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("code,name\n1,a\n", "lacks the column 'resistance'"),
        ("code,resistance\n", "no rows"),
        ("code,resistance\n1,dear\n", "line 2"),
        ("code,resistance\n300,2\n", "between 0 and 255"),
        ("code,resistance\n4,0.5\n", "not in order"),
        ("code,resistance\n4,2\n4,3\n", "stands twice"),
    ],
)
def test_a_table_that_cannot_be_used_says_why(text, words):
    with pytest.raises(SettingError, match=words):
        table_from_csv(text, legend="mine", where="mine.csv")


def test_an_unknown_legend_is_refused_by_name():
    with pytest.raises(SettingError, match="moss"):
        shipped_table("moss")


def test_a_legend_of_ones_own_has_codes_for_crops_and_holes():
    table = CoverTable(
        legend="mine",
        classes=(
            CoverClass(code=1, name="a", resistance=1, low=1, high=2),
            CoverClass(code=2, name="b", resistance=2, low=1, high=3, is_open=True),
            CoverClass(code=9, name="c", resistance=2, low=1, high=3, is_hole=True),
        ),
    )
    assert table.crop_code == 2
    assert table.hole_code == 9
