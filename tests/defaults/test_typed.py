"""Settings as people read and type them."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from funnelfinder.defaults import Pressure, Settings, entries, with_setting
from funnelfinder.errors import SettingError


def test_names_are_unique_and_plain():
    names = [entry.name for entry in entries(Settings())]
    assert len(set(names)) == len(names)
    assert all(name.replace("-", "").isalnum() and name == name.lower() for name in names)
    assert {"wander", "reach", "standoff", "surround", "pressure"} <= set(names)


@pytest.mark.parametrize(
    ("name", "text", "metres"),
    [
        ("wander", "60yd", 60 * 0.9144),
        ("wander", "60", 60 * 0.9144),
        ("wander", "55 m", 55.0),
        ("wander", "180 ft", 180 * 0.3048),
        ("surround", "400", 400.0),
        ("Surround", "1000 yards", 914.4),
    ],
)
def test_lengths_are_typed_in_any_unit_or_none(name, text, metres):
    changed = with_setting(Settings(), name, text)
    value = {entry.name: entry.value for entry in entries(changed)}[name.lower()]
    assert value == pytest.approx(metres)


def test_only_the_named_setting_changes():
    before = Settings()
    after = with_setting(before, "n_drawn", "1000")
    pairs = zip(entries(before), entries(after), strict=True)
    assert [new.name for old, new in pairs if old.value != new.value] == ["n-drawn"]
    assert after.trips.n_drawn == 1000
    assert isinstance(after.trips.n_drawn, int)
    assert with_setting(before, "pressure", " Heavy ").cost.pressure is Pressure.HEAVY


@pytest.mark.parametrize(
    ("name", "text", "words"),
    [
        ("wonder", "60", "no setting of that name"),
        ("wander", "sixty", "not a number"),
        ("wander", "60 acres", "not a number"),
        ("wander", "20", "25 yd to 150 yd"),
        ("wander", "151", "out of its range"),
        ("wander", "nan", "not a number"),
        ("pressure", "fierce", "light, moderate, heavy"),
    ],
)
def test_what_cannot_be_is_refused_with_what_can(name, text, words):
    with pytest.raises(SettingError, match=words):
        with_setting(Settings(), name, text)


@given(share=st.floats(0.0, 1.0))
def test_every_number_within_its_range_is_taken(share):
    for entry in entries(Settings()):
        if isinstance(entry.default, float):
            scale = {"yd": 0.9144, "ac": 4046.8564224, "%": 0.01, "ft": 0.3048}
            unit = scale.get(entry.about.shown, 1.0)
            value = entry.about.low + share * (entry.about.high - entry.about.low)
            changed = with_setting(Settings(), entry.name, f"{value / unit:.12f}")
            got = {one.name: one.value for one in entries(changed)}[entry.name]
            assert got == pytest.approx(value, abs=1e-6)
