"""A kill at any moment leaves a whole file with at most the last change missing."""

import os
import random
import shutil
import signal
import sqlite3
import subprocess
import sys
from contextlib import closing, contextmanager
from dataclasses import replace
from pathlib import Path

import pytest

from funnelfinder.errors import PropertyFileError
from funnelfinder.files.property_file import (
    create,
    hold,
    is_held,
    load,
    load_findings,
    load_grids,
    load_place,
    save_findings,
    save_grids,
    save_place,
)
from funnelfinder.files.property_file.writing import replaced
from tests import scenes
from tests.files.property_file import killed
from tests.files.property_file.made_up import is_same

PLACE, GRIDS = scenes.scene(marks=scenes.pair_marks())
ROOT = Path(__file__).parents[3]


@pytest.fixture
def path(tmp_path):
    file = tmp_path / "hollow.gpkg"
    create(file, killed.place_of(0))
    save_grids(file, killed.grids_of(0))
    save_findings(file, killed.findings_of(0))
    return file


@contextmanager
def saver(path):
    """The program that saves in children, and a way to start one: (kind, first number)."""
    with subprocess.Popen(
        [sys.executable, killed.__file__, str(path)],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
    ) as program:

        def start(kind, first):
            program.stdin.write(f"{kind} {first}\n")
            program.stdin.flush()
            word, number = program.stdout.readline().split()
            assert word == "process"
            return int(number)

        assert program.stdout.readline() == "ready\n"
        try:
            yield program, start
        finally:
            program.kill()


def told_until_over(program, told):
    """Take the rest of a child's lines into what it told: the last number of each kind."""
    while (line := program.stdout.readline()) != "over\n":
        assert line, "the saving program ended early"
        word, number = line.split()
        told[word] = int(number)


def whole_and_at_most_one_behind(path, told):
    """Assert that the file opens, each part is whole, and none is older than what was told."""
    kept = load(path)
    numbers = {"place": int(kept.place.name)}
    assert kept.place == killed.place_of(numbers["place"])
    numbers["grids"] = int(kept.grids.notes[0])
    assert is_same(kept.grids, killed.grids_of(numbers["grids"]))
    numbers["findings"] = kept.findings.seed
    assert is_same(kept.findings, killed.findings_of(numbers["findings"]))
    for word, number in numbers.items():
        assert told[word] <= number <= told["try"], word
    with closing(sqlite3.connect(path)) as db:
        assert db.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
    assert not is_held(path)
    return {**numbers, "try": told["try"]}


def test_killed_at_any_moment_from_outside(path):
    """kill -9 after so many lines and a random countdown; the next child goes on with the file."""
    chance = random.Random(5)
    told = {"place": 0, "grids": 0, "findings": 0, "try": 0}
    n_missing = 0
    with saver(path) as (program, start):
        for _ in range(30):
            first = told["try"] + 1
            child = start("free", first)
            for _ in range(chance.randrange(1, 5)):
                word, number = program.stdout.readline().split()
                told[word] = int(number)
            for _ in range(chance.randrange(400_000)):
                pass
            os.kill(child, signal.SIGKILL)
            told_until_over(program, told)
            before = dict(told)
            told = whole_and_at_most_one_behind(path, told)
            n_missing += min(told["place"], told["grids"], told["findings"]) < told["try"]
            assert before["try"] >= first
    assert n_missing > 8, "most kills came in the middle of a save"


@pytest.mark.parametrize(("within", "step", "least"), [("", 1201, 20), ("_put_in_place:", 5, 20)])
def test_killed_at_every_step_by_countdown(path, within, step, least):
    """SIGKILL at the n-th call or return, n spread over a whole round of saves.

    The second time more closely, where the new file takes the place of the old one.
    """
    told = {"place": 0, "grids": 0, "findings": 0, "try": 0}
    leftovers = set()
    n_kills = 0
    with saver(path) as (program, start):
        while True:
            first = told["try"] + 1
            start(f"{within}{1 + n_kills * step}", first)
            told_until_over(program, told)
            leftovers |= {one.name for one in path.parent.iterdir()}
            if told["findings"] == first:
                break
            told = whole_and_at_most_one_behind(path, told)
            n_kills += 1
    assert ".hollow.tmp.gpkg" in leftovers, "some kills came while a new file was made"
    assert n_kills >= least, "the kills were spread"


def half_written(path, folder):
    """Return a copy of a property file as a kill in the middle of a commit leaves it.

    SQLite is made to spill half-done changes into the file, so that its journal alone knows what
    was there before (sqlite.org/atomiccommit.html, "hot journal").
    """
    torn = folder / path.name
    with closing(sqlite3.connect(path, isolation_level=None)) as db:
        db.execute("PRAGMA cache_size = 1")
        db.execute("BEGIN IMMEDIATE")
        for table, column in (("mark_areas", "name"), ("settings", "shown"), ("elevation", "id")):
            db.execute(f"DELETE FROM {table} WHERE {column} IS NOT NULL")
        db.execute("CREATE TABLE filler (words TEXT)")
        db.executemany("INSERT INTO filler VALUES (?)", [("x" * 3000,)] * 50)
        shutil.copy(path, torn)
        shutil.copy(f"{path}-journal", f"{torn}-journal")
        db.execute("ROLLBACK")
    assert torn.read_bytes() != path.read_bytes()
    return torn


@pytest.mark.parametrize(
    "act", [load, load_place, load_grids, load_findings, lambda path: hold(path).release()]
)
def test_a_half_written_file_is_mended_when_it_is_opened(path, tmp_path, act):
    (tmp_path / "torn").mkdir()
    torn = half_written(path, tmp_path / "torn")
    act(torn)
    assert is_same(load(torn), load(path))
    assert {one.name for one in torn.parent.iterdir()} == {torn.name}


def test_the_journal_of_a_killed_edit_never_meets_a_new_file(path, tmp_path):
    """It would be played back into it and spoil it."""
    (tmp_path / "torn").mkdir()
    torn = half_written(path, tmp_path / "torn")
    save_findings(torn, killed.findings_of(4))
    assert {one.name for one in torn.parent.iterdir()} == {torn.name}
    assert is_same(load_findings(torn), killed.findings_of(4))
    assert load_place(torn) == killed.place_of(0)
    assert is_same(load_grids(torn), killed.grids_of(0))


def test_an_edit_while_a_new_file_is_made_is_kept(path):
    """The window saves a mark while the worker writes the findings."""
    n_made = []

    def change(fresh):
        if not n_made:
            save_place(path, killed.place_of(8))
        n_made.append(fresh)

    replaced(path, change)
    assert load_place(path) == killed.place_of(8)
    assert len(n_made) == 2


def test_an_edit_by_another_program_while_a_new_file_is_made_is_kept(path):
    n_made = []

    def change(fresh):
        if not n_made:
            with closing(sqlite3.connect(path)) as db, db:
                db.execute("UPDATE mark_areas SET note = 'theirs'")
        n_made.append(fresh)

    replaced(path, change)
    assert {mark.note for mark in load_place(path).marks} == {"theirs"}


def test_a_failure_while_a_new_file_is_made_leaves_the_old(path):
    before = path.read_bytes()

    def change(fresh):
        fresh.write_bytes(b"half")
        raise OSError(28, "No space left on device")

    with pytest.raises(PropertyFileError, match="The disk is full"):
        replaced(path, change)
    assert path.read_bytes() == before
    assert [one.name for one in path.parent.iterdir()] == [path.name]


def test_rights_of_the_file_stay(path):
    path.chmod(0o640)
    save_grids(path, GRIDS)
    assert path.stat().st_mode & 0o777 == 0o640


def test_a_file_left_in_the_other_journal_mode_is_written_all_the_same(path):
    """Another program may have switched it to write-ahead logging."""
    with closing(sqlite3.connect(path)) as db:
        assert db.execute("PRAGMA journal_mode = WAL").fetchone() == ("wal",)
    save_place(path, replace(PLACE, name="After"))
    assert load_place(path).name == "After"
    save_grids(path, GRIDS)
    assert is_same(load_grids(path), GRIDS)
    assert [one.name for one in path.parent.iterdir()] == [path.name]
