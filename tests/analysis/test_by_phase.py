"""Trips follow the phase: food weighs by it, and bucks walk from bed to bed."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from funnelfinder.analysis import phase_of_day, place_for_phase, run, run_fingerprint
from funnelfinder.marks import MarkKind
from funnelfinder.season import Phase, food_factor
from tests import scenes


def ground(**more: object):
    """A buck's bed in the west, a doe's in the north-east, acorns in the south-east."""
    marks = [
        scenes.mark(MarkKind.BED, scenes.disc(150, 300), "West bed", who="buck"),
        scenes.mark(MarkKind.BED, scenes.disc(600, 480), "Doe bed", who="doe"),
        scenes.mark(MarkKind.FOOD, scenes.disc(600, 120), "Oaks", crop="acorns", **more),
    ]
    return scenes.scene(marks=marks, settings={"n-drawn": "500"})


def shares(place, grids) -> dict[str, float]:
    """The share of all trips of each pair."""
    return {f"{one.bed} to {one.food}": one.demand for one in run(place, grids, n_redraws=0).pairs}


def test_bucks_walk_to_beds_of_does_while_they_seek():
    place, grids = ground()
    seeking = shares(place_for_phase(place, "seeking"), grids)
    assert seeking["West bed to Doe bed (does)"] == pytest.approx(0.5 * 0.4)
    assert seeking["West bed to Oaks"] == pytest.approx(0.5 * 0.6)
    assert seeking["Doe bed to Oaks"] == pytest.approx(0.5)
    assert sum(seeking.values()) == pytest.approx(1.0)
    peak = shares(place_for_phase(place, "peak breeding"), grids)
    assert peak["West bed to Doe bed (does)"] == pytest.approx(0.5 * 0.6)


@pytest.mark.parametrize("phase", ["", "late summer", "pre-rut", "late"])
def test_before_and_after_they_walk_to_food_only(phase):
    place, grids = ground()
    assert set(shares(place_for_phase(place, phase), grids)) == {
        "West bed to Oaks",
        "Doe bed to Oaks",
    }


def test_passage_moves_to_the_bed_of_does():
    place, grids = ground()
    usual, seeking = (
        run(place_for_phase(place, phase), grids, n_redraws=0) for phase in ("late", "seeking")
    )
    row, col = usual.grid.nearest_cells(scenes.corner(380, 390)[None, :])
    assert seeking.passage[row, col][0] > 1.5 * usual.passage[row, col][0]
    # A bed of does is no food: no staging there, and scrapes keep off it.
    assert {spot.food for spot in seeking.staging_spots} <= {"Oaks"}
    bed = next(place.of_kind(MarkKind.BED))
    does = scenes.disc(600, 480)
    for cluster in seeking.clusters:
        for x, y in cluster.scrapes_m:
            at = scenes.point(x - scenes.EAST_0, y - scenes.NORTH_0)
            assert min(at.distance(does), at.distance(bed.geometry)) >= 99.9 * 0.9144


def test_food_weighs_by_its_mark_or_else_by_its_crop():
    place, _ = ground(weight=2.0, phase_weights={"late": 0.25})
    for phase in Phase:
        (oaks,) = (
            mark
            for mark in place_for_phase(place, phase.value).of_kind(MarkKind.FOOD)
            if mark.name == "Oaks"
        )
        own = 0.25 if phase is Phase.LATE else 2.0 * food_factor("acorns", phase)
        assert oaks.weight == own


def test_choices_for_the_season_alone_make_no_findings_old():
    place, grids = ground()

    def print_of(one):
        return run_fingerprint(one, grids, seed=1, n_redraws=0)

    chosen = replace(place, peak_breeding="11-15", season=replace(place.season, opening="10-01"))
    assert print_of(chosen) == print_of(place)
    assert print_of(place_for_phase(place, "seeking")) != print_of(place)


def peaked(peak: str = "11-15", **season: str):
    place, _ = scenes.scene()
    chosen = replace(place.season, **season)
    return replace(place, peak_breeding=peak, season=chosen)


@pytest.mark.parametrize(
    ("on", "phase", "words"),
    [
        # The phases by days from the peak, as the settings' defaults have them.
        (date(2026, 8, 1), Phase.LATE_SUMMER, "106 days before"),
        (date(2026, 10, 31), Phase.SEEKING, "15 days before the peak of about 15 November 2026"),
        (date(2026, 11, 15), Phase.PEAK_BREEDING, "the peak itself"),
        (date(2026, 11, 26), Phase.LATE, "11 days after"),
    ],
)
def test_the_phase_follows_the_date_once_the_peak_is_set(on, phase, words):
    found = phase_of_day(peaked(phase="late summer"), on)
    assert found.phase is phase
    assert words in found.words


def test_a_peak_in_january_is_followed_over_the_new_year():
    assert phase_of_day(peaked("01-21"), date(2026, 12, 25)).phase is Phase.PRE_RUT
    assert phase_of_day(peaked("01-21"), date(2027, 1, 4)).phase is Phase.SEEKING


def test_without_a_peak_the_chosen_phase_counts_or_none_and_it_is_said():
    chosen = phase_of_day(peaked("", phase="seeking"), date(2026, 7, 1))
    assert chosen.phase is Phase.SEEKING
    assert "no local peak breeding date" in chosen.words
    unknown = phase_of_day(peaked(""), date(2026, 11, 15))
    assert unknown.phase is None
    assert "no local peak breeding date" in unknown.words
    assert "outside the rut" in unknown.words


def test_what_the_person_says_comes_before_the_date():
    found = phase_of_day(peaked(), date(2026, 11, 15), forced=Phase.LATE)
    assert found.phase is Phase.LATE
    assert "as you said" in found.words
