"""The one thing that changes, kept on disk."""

import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from funnelfinder.errors import PropertyFileError
from funnelfinder.files import property_file
from funnelfinder.land_cover import shipped_table
from tests.scenes import scene
from tests.ui.hollow import bed, food, hollow
from ui import edits
from ui.open_property import OpenProperty

ROOT = Path(__file__).parents[2]


@pytest.fixture
def opened(tmp_path: Path, qapp) -> OpenProperty:
    one = OpenProperty.created(tmp_path / "hollow.gpkg", hollow(bed()))
    yield one
    one.close()


def test_every_change_is_on_disk_and_undo_too(opened: OpenProperty, qtbot) -> None:
    with qtbot.waitSignals([opened.keeper.kept, opened.place_changed]):
        opened.do(edits.add_mark(food()))
    assert [m.name for m in property_file.load_place(opened.path).marks] == [
        "Alder knob",
        "Bean field",
    ]
    with qtbot.waitSignal(opened.keeper.kept):
        opened.undo()
    assert len(property_file.load_place(opened.path).marks) == 1
    with qtbot.waitSignal(opened.keeper.kept):
        opened.redo()
    assert len(property_file.load_place(opened.path).marks) == 2


def test_grids_are_kept_and_come_back_with_undo(opened: OpenProperty, qtbot) -> None:
    _, grids = scene(width=800, depth=600)
    before, world = opened.place.cover_table, shipped_table("worldcover")
    with qtbot.waitSignal(opened.keeper.kept):
        opened.do(edits.take_grids(grids, world))
    kept = property_file.load(opened.path)
    assert (kept.grids.elevation.values == grids.elevation.values).all()
    assert kept.place.cover_table == world
    with qtbot.waitSignal(opened.keeper.kept):
        opened.undo()
    assert opened.grids is None
    # The file must not say less than the window: no grids, and the codes mean what they did.
    kept = property_file.load(opened.path)
    assert kept.grids is None
    assert kept.place.cover_table == before
    with qtbot.waitSignal(opened.keeper.kept):
        opened.redo()
    assert property_file.load(opened.path).grids is not None


def test_a_change_that_changes_nothing_is_no_step(opened: OpenProperty) -> None:
    assert not opened.do(edits.rename_property("Hollow"))
    assert opened.history.n_done == 0


def test_a_refused_change_is_told_and_leaves_all_as_it_was(opened: OpenProperty, qtbot) -> None:
    with qtbot.waitSignal(opened.refused) as told:
        assert not opened.do(edits.set_setting("standoff", "9000"))
    assert "out of its range" in str(told.args[0])
    assert opened.history.n_done == 0


def test_the_sitting_can_be_gone_back_to_anywhere(opened: OpenProperty) -> None:
    for n in range(5):
        opened.do(edits.rename_property(f"Hollow {n}"))
    opened.go_to(2)
    assert opened.place.name == "Hollow 1"
    opened.go_to(5)
    assert opened.place.name == "Hollow 4"


def test_another_program_can_only_look(opened: OpenProperty, tmp_path: Path) -> None:
    code = (
        "import sys; from pathlib import Path; from ui.open_property import OpenProperty\n"
        "from funnelfinder.errors import PropertyFileError\n"
        "try: OpenProperty.opened(Path(sys.argv[1]))\n"
        "except PropertyFileError as error: print('held')\n"
        "one = OpenProperty.opened(Path(sys.argv[1]), is_only_looking=True)\n"
        "from ui import edits; print(one.do(edits.rename_property('x')))\n"
        "one.let_go()\n"
    )
    out = subprocess.run(
        [sys.executable, "-c", code, str(opened.path)],
        capture_output=True,
        text=True,
        check=True,
        cwd=ROOT,
    )
    assert out.stdout.split() == ["held", "False"]


def test_kill_nine_loses_nothing_and_is_noticed(tmp_path: Path, qapp) -> None:
    path = tmp_path / "killed.gpkg"
    code = (
        "import sys, time; from pathlib import Path\n"
        "from ui.open_property import OpenProperty; from ui import edits\n"
        "from tests.ui.hollow import bed, food, hollow\n"
        "one = OpenProperty.created(Path(sys.argv[1]), hollow(bed()))\n"
        "one.do(edits.add_mark(food())); one.do(edits.rename_property('Brome'))\n"
        "one.keeper.finish(); print('kept', flush=True); sys.stdin.read()\n"
    )
    child = subprocess.Popen(
        [sys.executable, "-c", code, str(path)],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
        cwd=ROOT,
    )
    assert child.stdout.readline().strip() == "kept"
    os.kill(child.pid, signal.SIGKILL)
    child.communicate()
    again = OpenProperty.opened(path)
    assert again.was_left_open is not None
    assert again.place.name == "Brome"
    assert [mark.name for mark in again.place.marks] == ["Alder knob", "Bean field"]
    again.close()


def test_a_file_that_is_no_property_is_refused(tmp_path: Path, qapp) -> None:
    path = tmp_path / "text.gpkg"
    path.write_text("not a property")
    with pytest.raises(PropertyFileError):
        OpenProperty.opened(path)
    assert path.read_text() == "not a property"
