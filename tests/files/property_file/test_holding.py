"""Two windows or commands never write the same property at the same time."""

import os
import subprocess
import sys
import threading
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path

import pytest

from funnelfinder.errors import PropertyFileError
from funnelfinder.files.property_file import (
    create,
    hold,
    is_held,
    load_place,
    save_findings,
    save_grids,
    save_place,
)
from tests import scenes
from tests.files.property_file.made_up import findings_on

PLACE, GRIDS = scenes.scene(marks=scenes.pair_marks())
ROOT = Path(__file__).parents[3]
HOLDER = """
import sys
sys.path.insert(0, sys.argv[2])
from funnelfinder.files.property_file import hold
held = hold(sys.argv[1])
print("held", flush=True)
sys.stdin.readline()
held.release()
print("released", flush=True)
sys.stdin.readline()
"""


@pytest.fixture
def path(tmp_path):
    create(tmp_path / "hollow.gpkg", PLACE)
    return tmp_path / "hollow.gpkg"


@contextmanager
def other_window(path):
    """Another process that holds the property."""
    with subprocess.Popen(
        [sys.executable, "-c", HOLDER, str(path), str(ROOT)],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    ) as child:
        try:
            assert child.stdout.readline() == "held\n"
            yield child
        finally:
            child.kill()


def test_another_process_keeps_this_one_from_writing(path):
    before = path.read_bytes()
    with other_window(path) as child:
        assert is_held(path)
        for act in (
            lambda: hold(path),
            lambda: save_place(path, PLACE),
            lambda: save_grids(path, GRIDS),
            lambda: save_findings(path, findings_on(GRIDS.cover.grid)),
        ):
            with pytest.raises(PropertyFileError, match=f"process {child.pid} on ") as caught:
                act()
            assert str(path) in str(caught.value)
        assert load_place(path) == PLACE
        child.stdin.write("\n")
        child.stdin.flush()
        assert child.stdout.readline() == "released\n"
        assert not is_held(path)
        save_place(path, replace(PLACE, name="Mine now"))
    assert path.read_bytes() != before


def test_a_hold_dies_with_its_process(path):
    with other_window(path) as child:
        child.kill()
        child.wait()
        assert not is_held(path)
        with hold(path):
            save_place(path, PLACE)


def test_a_lock_file_that_nobody_locks_is_taken_over(path):
    lock = path.with_name(f".{path.name}.lock")
    lock.write_text('{"process": 1, "computer": "gone"}')
    assert not is_held(path)
    with hold(path):
        assert f'"process": {os.getpid()}' in lock.read_text()


def test_saving_within_a_hold_keeps_it(path):
    with hold(path):
        save_place(path, PLACE)
        save_grids(path, GRIDS)
        assert path.with_name(f".{path.name}.lock").exists()
    assert [one.name for one in path.parent.iterdir()] == [path.name]


def test_a_second_window_of_this_program_is_refused(path):
    with hold(path), pytest.raises(PropertyFileError, match="open for changes elsewhere"):
        hold(path)
    with hold(path):
        pass


def test_this_program_is_no_other(path):
    with hold(path):
        assert not is_held(path)


def test_releasing_twice_does_not_free_the_next_holder(path):
    first = hold(path)
    first.release()
    second = hold(path)
    first.release()
    with pytest.raises(PropertyFileError, match="elsewhere"):
        hold(path)
    second.release()


def test_a_hold_goes_by_the_file_not_by_its_spelling(path, monkeypatch):
    monkeypatch.chdir(path.parent)
    path.with_name("link.gpkg").symlink_to(path)
    for spelling in (path.name, f"./{path.name}", "link.gpkg"):
        with hold(path), pytest.raises(PropertyFileError, match="elsewhere"):
            hold(spelling)


def test_two_properties_do_not_hinder_each_other(path):
    create(path.with_name("ridge.gpkg"), PLACE)
    with hold(path), hold(path.with_name("ridge.gpkg")):
        save_place(path.with_name("ridge.gpkg"), PLACE)


def test_a_forked_child_holds_nothing(path):
    """Else a worker that outlives its window would keep the property."""
    with hold(path) as held:
        child = os.fork()
        if child == 0:
            try:
                held.release()
                save_place(path, PLACE)
            except PropertyFileError:
                os._exit(3)
            os._exit(0)
        assert os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) == 3
        assert path.with_name(f".{path.name}.lock").exists()


def test_many_threads_write_in_turn(path):
    """Marks and grids from six threads: no error, and each kind as its last writer left it."""
    errors = []

    def write(number):
        try:
            for _ in range(3):
                save_place(path, replace(PLACE, name=f"By {number}"))
                save_grids(path, replace(GRIDS, notes=(f"By {number}",)))
        except PropertyFileError as error:
            errors.append(error)

    threads = [threading.Thread(target=write, args=(number,)) for number in range(6)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert errors == []
    assert load_place(path).name.startswith("By ")
    assert [one.name for one in path.parent.iterdir()] == [path.name]
