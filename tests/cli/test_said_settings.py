"""All settings in words."""

from __future__ import annotations

from dataclasses import replace

from funnelfinder.cli.said_settings import settings_lines
from funnelfinder.defaults import entries, with_setting
from tests import hand_made


def test_every_setting_stands_with_unit_range_and_source():
    place = hand_made.place()
    text = "\n".join(settings_lines(place))
    flat = " ".join(text.split())
    for entry in entries(place.settings):
        assert f"\n{entry.name} = " in text
        assert " ".join(f"Source: {entry.about.source}.".split()) in flat
    assert "wander = 100 yd   25 yd to 150 yd" in text
    assert "pressure = moderate   one of light, moderate, heavy" in text


def test_a_changed_setting_shows_the_usual_value():
    place = hand_made.place()
    changed = replace(place, settings=with_setting(place.settings, "wander", "60yd"))
    assert "wander = 60 yd (usual: 100 yd)" in "\n".join(settings_lines(changed))


def test_the_cover_table_stands_with_cost_range_and_source():
    lines = list(settings_lines(hand_made.place()))
    forest = next(line for line in lines if "deciduous forest" in line)
    assert forest.split()[:7] == ["41", "deciduous", "forest", "1", "1", "to", "1.2"]
    assert "judgement" in forest
