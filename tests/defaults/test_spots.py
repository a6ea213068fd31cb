"""Defaults of pinch points, scrapes and redraws say their unit, range and source."""

from __future__ import annotations

from dataclasses import fields
from enum import Enum

import pytest

from funnelfinder.defaults import PinchSettings, RedrawSettings, ScrapeSettings
from funnelfinder.defaults.about import SHOWN_UNITS

EACH = [
    (group, one)
    for group in (PinchSettings, RedrawSettings, ScrapeSettings)
    for one in fields(group)
]


@pytest.mark.parametrize(("group", "one"), EACH, ids=lambda one: getattr(one, "name", ""))
def test_a_default_says_what_it_is(group, one):
    about = one.metadata["about"]
    assert about.shown in SHOWN_UNITS
    assert about.source
    assert about.words[0].isupper()
    assert about.words.endswith(".")
    value = getattr(group(), one.name)
    if not isinstance(value, Enum):
        assert about.low <= value <= about.high
        assert about.low < about.high
    if one.name.endswith("_m"):
        assert about.shown in ("m", "yd", "ft")
