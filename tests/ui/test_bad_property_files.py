"""Property files, and places to write, that the command line and the window refuse alike."""

from __future__ import annotations

import os
import shutil
import sqlite3
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from funnelfinder.files import property_file
from tests.ui.found import found_file, opened
from tests.ui.hollow import bed, food, hollow
from tests.ui.refusals import refused, said
from ui import edits
from ui.main_window import MainWindow
from ui.stops import Stop

ROOT = Path(__file__).parents[2]
Make = Callable[..., MainWindow]


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """A property without grids."""
    made_here = tmp_path / "hollow.gpkg"
    property_file.create(made_here, hollow(bed(), food()))
    return made_here


@pytest.fixture
def window(make_window: Make, path: Path, qtbot) -> MainWindow:
    """The window with that property open."""
    return opened(make_window(), qtbot, path, has_findings=False, has_grids=False)


def _newer(path: Path) -> None:
    with sqlite3.connect(path) as db:
        db.execute("UPDATE property SET format = 99")
    db.close()


PROPERTIES: dict[str, Callable[[Path], object]] = {
    "a text": lambda path: path.write_text("not a property"),
    "cut short": lambda path: path.write_bytes(path.read_bytes()[:5000]),
    "newer": _newer,
    "missing": lambda path: path.unlink(),
}


@pytest.mark.parametrize("case", PROPERTIES)
def test_a_property_file_that_cannot_be_opened(
    make_window: Make, path: Path, qtbot, case: str
) -> None:
    PROPERTIES[case](path)
    content = path.read_bytes() if path.exists() else None
    words = refused("settings", path)
    window = make_window()
    window.open_files([path])
    qtbot.waitUntil(window.start.trouble.isVisible, timeout=20_000)
    assert words in said(window)
    assert (path.read_bytes() if path.exists() else None) == content


@pytest.mark.parametrize("case", ["a text", "cut short", "newer"])
def test_a_bad_property_file_leaves_the_open_one_open(
    window: MainWindow, tmp_path: Path, qtbot, case: str
) -> None:
    bad = Path(shutil.copy(window.desk.open.path, tmp_path / "bad.gpkg"))
    PROPERTIES[case](bad)
    words = refused("settings", bad)
    before = window.desk.open
    window.open_files([bad])
    qtbot.waitUntil(lambda: window.map.slip is not None, timeout=20_000)
    assert words in said(window)
    assert window.desk.open is before
    assert before.do(edits.rename_property("Brome"))
    assert before.close()
    assert property_file.load_place(before.path).name == "Brome"


HOLDER = """
import sys
from pathlib import Path
from ui.open_property import OpenProperty
one = OpenProperty.opened(Path(sys.argv[1]))
print("held", flush=True)
sys.stdin.readline()
"""


def test_a_property_that_another_window_has_open(make_window: Make, path: Path, qtbot) -> None:
    """The command line refuses to write; the window lets look, and says so."""
    with subprocess.Popen(
        [sys.executable, "-c", HOLDER, str(path)],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
        cwd=ROOT,
    ) as other:
        try:
            assert other.stdout.readline() == "held\n"
            assert "It is open for changes elsewhere" in refused("settings", path, "wander=60yd")
            window = make_window()
            window.open_files([path])
            qtbot.waitUntil(lambda: window.map.slip is not None, timeout=20_000)
            assert window.map.slip.words.title == "Only looking"
            assert "Another window has Hollow open" in window.map.slip.words.body
            before = window.desk.open.place
            window.go_to(Stop.MARKS)
            window.desk.open.take_in_hand(before.marks[0].key)
            window.map_work.remove_in_hand()
            assert "here it is only looked at" in said(window)
            assert window.desk.open.place is before
        finally:
            other.kill()


@pytest.fixture
def locked_place(path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """The property in a folder that nobody may write; root steps down for it."""
    folder = Path(tempfile.mkdtemp())
    locked, home = folder / "locked", folder / "home"
    locked.mkdir()
    home.mkdir()
    home.chmod(0o777)
    file = Path(shutil.copy(path, locked / path.name))
    file.chmod(0o444)
    locked.chmod(0o555)
    folder.chmod(0o755)
    for name in ("XDG_DATA_HOME", "XDG_CONFIG_HOME", "XDG_STATE_HOME"):
        monkeypatch.setenv(name, str(home))
    was_root = os.geteuid() == 0
    try:
        if was_root:
            os.seteuid(65534)
        yield file
    finally:
        if was_root:
            os.seteuid(0)
        locked.chmod(0o755)
        shutil.rmtree(folder)


def test_a_property_in_a_place_that_may_not_be_written(
    locked_place: Path, make_window: Make, qtbot
) -> None:
    content = locked_place.read_bytes()
    words = refused("settings", locked_place, "wander=60yd")
    assert "It may not be written" in words
    window = make_window()
    window.open_files([locked_place])
    qtbot.waitUntil(lambda: window.desk.work is None and window.start.trouble.isVisible())
    assert words in said(window)
    assert locked_place.read_bytes() == content


# Taking along -------------------------------------------------------------------------------


def test_a_place_that_cannot_be_written(make_window: Make, tmp_path: Path, qtbot) -> None:
    window = opened(make_window(1440, 900), qtbot, found_file(tmp_path))
    file = tmp_path / "letter"
    file.write_text("a file")
    words = refused("export", window.desk.open.path, file / "inside")
    window.go_to(Stop.SPOTS)
    qtbot.waitUntil(lambda: window.tending.is_counted, timeout=30_000)
    window.column.press()
    window.go_to(Stop.TAKE_ALONG)
    window.panel.set_folder(file / "inside")
    window.column.press()
    qtbot.waitUntil(lambda: window.desk.work is None, timeout=30_000)
    assert words.split(": ", 1)[1] in said(window)
