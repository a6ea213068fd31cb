"""season, plan, log, sheet, and run for a phase."""

from __future__ import annotations

import csv

import pytest
from icalendar import Calendar

from funnelfinder.files.property_file import create, load, load_log, load_place, save_grids
from funnelfinder.season import Allowance, shipped_rules
from tests import scenes
from tests.cli import made


def told(result) -> str:
    """What was printed, on one line."""
    assert result.exit_code == 0, result.stderr
    return " ".join(result.stdout.split())


def test_choices_are_kept_and_told_law_first(tmp_path):
    path = made.found(tmp_path)
    words = ("--peak", "1-21", "--opening", "10-01", "--scent", "synthetic", "--core")
    said = told(made.funnelfinder("season", path, *words, "--time-zone", "America/Chicago"))
    assert said.startswith("You said that only synthetic")
    assert "agency" in said
    place = load_place(path)
    assert (place.peak_breeding, place.time_zone) == ("01-21", "America/Chicago")
    assert place.season.allowance is Allowance.SYNTHETIC
    assert place.season.may_enter_core
    assert "peak breeding: from mid-January" in said
    assert told(made.funnelfinder("season", path)) == said
    made.funnelfinder("season", path, "--no-core")
    assert not load_place(path).season.may_enter_core


def test_a_published_date_is_taken_with_its_source(tmp_path):
    path = made.found(tmp_path)
    result = made.funnelfinder("season", path, "--place", "Georgia, Clinch")
    assert load_place(path).peak_breeding == "10-23"
    assert "Stickles" in result.stderr


def test_the_work_table_is_written_changed_and_read(tmp_path):
    path, table = made.found(tmp_path), tmp_path / "work.csv"
    made.funnelfinder("season", path, "--write-rules", table)
    assert made.funnelfinder("season", path, "--write-rules", table).exit_code == 1
    table.write_text(table.read_text().replace("-84,-71", "-90,-80"))
    told(made.funnelfinder("season", path, "--rules", table))
    changed = {one.rule: one for one in load_place(path).season.rules}["first scrapes"]
    assert (changed.from_day, changed.to_day) == (-90, -80)
    assert load_place(path).season.rules != shipped_rules()


@pytest.mark.parametrize(
    ("words", "status"),
    [
        (("season", "--peak", "13-40"), 1),
        (("season", "--time-zone", "Mars/Olympus"), 1),
        (("season", "--scent", "skunk"), 2),
        (("season", "--rules", "missing.csv"), 1),
        (("plan", "--place", "Atlantis"), 1),
        (("plan",), 1),
        (("plan", "--peak", "11-15", "--today", "soon"), 1),
        (("plan", "--peak", "11-15", "--calendar", "season.doc"), 1),
        (("log", "danced", "1"), 2),
        (("log", "sat", "9"), 2),
        (("log", "sat", "1", "--on", "yesterday"), 1),
        (("run", "--phase", "spring"), 1),
        (("sheet", "pocket.doc"), 1),
        (("sheet", "pocket.pdf", "--paper", "a3"), 2),
    ],
)
def test_wrong_words_are_told(tmp_path, monkeypatch, words, status):
    monkeypatch.chdir(tmp_path)
    path = made.found(tmp_path)
    result = made.funnelfinder(words[0], path, *words[1:])
    assert result.exit_code == status, result.output
    assert "Traceback" not in result.output
    assert load_log(path) == ()


def test_the_log_moves_the_plan(tmp_path):
    path = made.found(tmp_path)
    words = ("plan", path, "--peak", "11-15", "--today", "2026-10-01")
    assert "Add scrapes, 1 East saddle" in told(made.funnelfinder(*words))
    note = ("--on", "2026-09-30", "--note", "Fresh tracks.")
    said = told(made.funnelfinder("log", path, "taken-over", 1, *note))
    assert said == "2026-09-30 taken over, 1 East saddle."
    assert told(made.funnelfinder("log", path)) == f"{said} Fresh tracks."
    after = told(made.funnelfinder(*words))
    assert "Add scrapes, 1 East saddle" not in after
    assert "bucks took it over" in after


def test_the_calendar_has_the_walks_of_the_plan(tmp_path):
    path = made.found(tmp_path)
    made.funnelfinder("season", path, "--peak", "11-15", "--time-zone", "America/New_York")
    files = [tmp_path / "season.ics", tmp_path / "season.csv"]
    for file in files:
        told(made.funnelfinder("plan", path, "--today", "2026-07-01", "--calendar", file))
    events = Calendar.from_ical(files[0].read_bytes()).walk("VEVENT")
    with files[1].open(newline="") as table:
        days = {row["date"] for row in csv.DictReader(table)}
    assert {event.decoded("dtstart").date().isoformat() for event in events} == days


def test_the_sheet_is_written_with_and_without_a_peak(tmp_path):
    path, file = made.found(tmp_path), tmp_path / "pocket.pdf"
    result = made.funnelfinder("sheet", path, file)
    assert "no dated work" in result.stderr
    bare = file.stat().st_size
    made.funnelfinder("season", path, "--peak", "11-15")
    told(made.funnelfinder("sheet", path, file, "--paper", "a4"))
    assert file.stat().st_size > bare


def test_a_run_for_a_phase_is_kept_and_up_to_date(tmp_path):
    from funnelfinder.marks import MarkKind

    path = tmp_path / "scene.gpkg"
    marks = [
        scenes.mark(MarkKind.BED, scenes.disc(150, 300), "West bed", who="buck"),
        scenes.mark(MarkKind.BED, scenes.disc(600, 480), "Doe bed", who="doe"),
        scenes.mark(MarkKind.FOOD, scenes.disc(600, 120), "Oaks", crop="acorns"),
    ]
    place, grids = scenes.scene(marks=marks, settings={"n-drawn": "500"})
    create(path, place)
    save_grids(path, grids)
    told(made.funnelfinder("run", path, "--redraws", 0, "--phase", "peak-breeding"))
    kept = load(path)
    assert kept.place.season.phase == "peak breeding"
    # The person's own marks stay as drawn.
    assert kept.place.marks == place.marks
    assert "Doe bed (does)" in {pair.food for pair in kept.findings.pairs}
    assert "ut of date" not in made.funnelfinder("show", path).output
    assert made.funnelfinder("run", path, "--on", "2026-10-30").exit_code == 1
    made.funnelfinder("season", path, "--peak", "11-15")
    assert made.funnelfinder("run", path, "--phase", "late", "--on", "2026-10-30").exit_code == 2
    said = told(made.funnelfinder("run", path, "--redraws", 0, "--on", "2026-10-30"))
    assert "seeking (16 days before the peak" in said
    seeking = load(path)
    assert seeking.place.season.phase == "seeking"
    told(made.funnelfinder("run", path, "--redraws", 0, "--on", "2026-12-20"))
    late = load(path)
    assert late.place.season.phase == "late"
    # Passage, and the spots with their shares, are those of the phase.
    shares = [
        [(one.scrapes_m, one.share) for one in kept.findings.clusters] for kept in (seeking, late)
    ]
    assert shares[0] != shares[1]
    assert {pair.food for pair in late.findings.pairs} == {"Oaks"}
    told(made.funnelfinder("run", path, "--redraws", 0, "--phase", "whole"))
    assert {pair.food for pair in load(path).findings.pairs} == {"Oaks"}
