"""What `show --json` prints."""

from __future__ import annotations

import json

from funnelfinder.files.take_along import FORMATS, write_points
from funnelfinder.report import findings_json
from tests import hand_made


def test_it_is_json_without_nan():
    facts = findings_json(hand_made.place(), hand_made.findings())
    assert json.loads(json.dumps(facts, allow_nan=False)) == facts


def test_its_points_are_the_exported_ones(tmp_path):
    facts = findings_json(hand_made.place(), hand_made.findings())
    for one in write_points(hand_made.place(), hand_made.findings(), tmp_path):
        assert FORMATS[one.path.suffix[1:]].rows(one.path) == facts["points"]


def test_what_was_not_tested_is_null():
    first, second = findings_json(hand_made.place(), hand_made.findings())["clusters"]
    assert (first["share_low"], first["steadiness"]) == (0.13, 0.9)
    assert (second["share_low"], second["steadiness"]) == (None, None)


def test_no_other_way_is_told_from_an_unknown_detour():
    first, second = findings_json(hand_made.place(), hand_made.findings())["pinch_points"]
    assert (first["detour_share"], first["has_other_way"]) == (0.12, True)
    assert (second["detour_share"], second["has_other_way"]) == (None, False)


def test_settings_stand_with_their_units():
    facts = findings_json(hand_made.place(), hand_made.findings())
    assert facts["settings"]["wander"] == "100 yd"
