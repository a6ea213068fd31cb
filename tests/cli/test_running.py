"""run and show."""

from __future__ import annotations

import json

import pytest

from funnelfinder.cli.running import summary
from funnelfinder.report import report_text
from tests import hand_made
from tests.cli import made


def test_show_prints_the_report_and_that_it_is_out_of_date(tmp_path):
    """Hand-made findings carry no fingerprint that fits."""
    result = made.funnelfinder("show", made.found(tmp_path))
    assert result.exit_code == 0
    findings = hand_made.findings()
    assert result.stdout == report_text(hand_made.place(), findings, is_current=False)
    assert "something changed since these spots were found" in result.stderr


def test_show_json_is_json_alone_on_stdout(tmp_path):
    result = made.funnelfinder("show", made.found(tmp_path), "--json")
    facts = json.loads(result.stdout)
    assert [point["name"] for point in facts["points"]][:2] == ["C1A-SADDLE", "C1B-SADDLE"]
    assert facts["points"][0]["elevation_m"] == 300.0
    assert facts["is_current"] is False


@pytest.mark.parametrize("verb", [["show"], ["export", "out"], ["map", "map.png"]])
def test_what_was_not_run_yet_says_what_to_do(tmp_path, monkeypatch, verb):
    monkeypatch.chdir(tmp_path)
    path = made.bare(tmp_path)
    result = made.funnelfinder(verb[0], path, *verb[1:])
    assert result.exit_code == 1
    assert f"Run: funnelfinder run {path}" in result.stderr
    assert [one.name for one in tmp_path.iterdir()] == ["scene.gpkg"]


def test_without_grids_a_run_says_so(tmp_path):
    result = made.funnelfinder("run", made.bare(tmp_path))
    assert result.exit_code == 1
    assert "grid" in result.stderr


def test_the_summary_counts_what_was_found():
    words = summary(hand_made.findings())
    assert "2 scrape clusters that 22 of 100 trips pass" in words
    assert "tried again 20 times" in words
    assert "not tested" in summary(hand_made.findings(n_redraws=0))
