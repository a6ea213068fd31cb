"""stands, tonight, clock."""

from __future__ import annotations

import re

import pytest

from funnelfinder.cli.said_sits import CAUTIONS
from funnelfinder.files.property_file import (
    create,
    load_place,
    save_findings,
    save_grids,
    save_place,
)
from funnelfinder.stands import pick_by_hand
from tests.analysis.small import small_property
from tests.cli import made
from tests.stands import ready


@pytest.fixture(scope="module")
def path(tmp_path_factory):
    place, grids = small_property()
    _, findings, _ = ready.found()
    path = tmp_path_factory.mktemp("sitting") / "scene.gpkg"
    create(path, place)
    save_grids(path, grids)
    save_findings(path, findings)
    return path


def squeezed(text: str) -> str:
    return " ".join(text.split())


def test_stands_prints_every_tree_its_winds_and_the_cautions(path, tmp_path):
    gpx = tmp_path / "ways.gpx"
    result = made.funnelfinder("stands", path, "--date", "2026-11-08", "--gpx", gpx)
    assert result.exit_code == 0, result.stderr
    for stand in ready.stands():
        assert f"\n{stand.name}: C{stand.cluster}A" in f"\n{result.stdout}"
    words = squeezed(result.stdout)
    assert "magnetic" in words
    assert "NNE" in words
    assert all(squeezed(one) in words for one in CAUTIONS)
    assert "guessed from the longitude" in result.stderr
    assert gpx.exists()


def test_tonight_ranks_gives_reasons_and_cautions(path):
    result = made.funnelfinder(
        "tonight", path, "--date", "2026-11-08", "--wind", "E", "--speed", "8", "--morning"
    )
    assert result.exit_code == 0, result.stderr
    words = squeezed(result.stdout)
    assert "1. S" in words
    assert "sunrise" in words
    assert "cross your scent first" in words
    assert "light as set" in words
    assert all(squeezed(one) in words for one in CAUTIONS)


def test_a_printed_table_and_the_own_clock_count(path):
    assert made.funnelfinder("clock", path, "America/New_York").exit_code == 0
    assert load_place(path).time_zone == "America/New_York"
    result = made.funnelfinder(
        *("tonight", path, "--date", "2026-11-08", "--wind", "E", "--sunset", "17:15")
    )
    assert "sunset 5:15 pm (EST)" in result.stdout
    assert "guessed" not in result.stderr
    # When to hunt leaves the findings up to date.
    assert "changed since" not in result.stderr


def test_an_unknown_clock_changes_nothing(path):
    before = load_place(path).time_zone
    result = made.funnelfinder("clock", path, "Middle/Nowhere")
    assert result.exit_code == 1
    assert "America/New_York" in result.stderr
    assert load_place(path).time_zone == before


@pytest.mark.parametrize(
    ("words", "status"),
    [((), 2), (("--wind", "up"), 1), (("--wind", "N", "--sky", "pink"), 2)],
)
def test_wrong_wind_or_sky_is_told(path, words, status):
    result = made.funnelfinder("tonight", path, *words)
    assert result.exit_code == status


def test_daylight_draws_a_map_and_says_when_the_middle_trip_passes(path, tmp_path):
    picture = tmp_path / "evening.png"
    result = made.funnelfinder("daylight", path, picture, "--date", "2026-11-08")
    assert result.exit_code == 0, result.stderr
    words = squeezed(result.stdout)
    assert "Cluster 1: " in words
    assert re.search(r"the middle one at \d+:\d\d pm", words)
    assert picture.stat().st_size > 10_000
    assert all(squeezed(one) in words for one in CAUTIONS)


def test_the_part_of_the_season_follows_the_date_unless_it_is_said(path):
    here = ("tonight", path, "--date", "2026-11-08", "--wind", "E")
    assert "no local peak breeding date is set" in squeezed(made.funnelfinder(*here).stdout)
    assert made.funnelfinder("season", path, "--peak", "11-15").exit_code == 0
    dated = squeezed(made.funnelfinder(*here).stdout)
    assert "Part of the season: peak breeding (7 days before the peak" in dated
    said = squeezed(made.funnelfinder(*here, "--phase", "pre rut").stdout)
    assert "Part of the season: pre-rut, as you said." in said
    assert said.split("1. ")[1] != dated.split("1. ")[1]
    assert made.funnelfinder(*here, "--phase", "autumn").exit_code == 2


def test_stands_that_were_chosen_are_the_ones_that_are_told(path):
    place = load_place(path)
    _, findings, _ = ready.found()
    spot = findings.clusters[0]
    x, y = spot.camera_m
    save_place(path, place.with_stand(pick_by_hand(x, y, spot, name="Twin oak")))
    try:
        result = made.funnelfinder("tonight", path, "--date", "2026-11-08", "--wind", "E")
        assert "Twin oak: worth" in result.stdout
        assert f" S{spot.number}A: worth" not in result.stdout
    finally:
        save_place(path, place)
