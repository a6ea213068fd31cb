"""What is no property, or cannot be opened or written, is refused with a clear word."""

import contextlib
import shutil
import sqlite3
import subprocess
import sys
import tempfile
from pathlib import Path

import geopandas
import pytest
import shapely

from funnelfinder.errors import PropertyFileError
from funnelfinder.files.property_file import (
    FORMAT,
    create,
    load,
    load_findings,
    load_grids,
    load_place,
    opening,
    save_findings,
    save_grids,
    save_place,
)
from tests import scenes
from tests.files.property_file.made_up import findings_on

PLACE, GRIDS = scenes.scene(marks=scenes.pair_marks())
FINDINGS = findings_on(GRIDS.cover.grid)
ROOT = Path(__file__).parents[3]

LOADS = [load_place, load_grids, load_findings, load]
SAVES = [
    lambda path: save_place(path, PLACE),
    lambda path: save_grids(path, GRIDS),
    lambda path: save_findings(path, FINDINGS),
]


@pytest.fixture
def path(tmp_path):
    create(tmp_path / "hollow.gpkg", PLACE)
    save_grids(tmp_path / "hollow.gpkg", GRIDS)
    return tmp_path / "hollow.gpkg"


def refused(path, words):
    """Assert that no way of opening the file takes or changes it."""
    before = path.read_bytes() if path.is_file() else None
    for act in [*LOADS, *SAVES]:
        with pytest.raises(PropertyFileError, match=words) as caught:
            act(path)
        assert str(path) in str(caught.value)
    assert (path.read_bytes() if path.is_file() else None) == before
    assert {one.name for one in path.parent.iterdir()} <= {path.name}


def test_a_missing_file(tmp_path):
    refused(tmp_path / "none.gpkg", "no such file")


def test_a_folder(tmp_path):
    (tmp_path / "hollow.gpkg").mkdir()
    refused(tmp_path / "hollow.gpkg", "no such file")


def test_an_empty_file(tmp_path):
    (tmp_path / "hollow.gpkg").touch()
    refused(tmp_path / "hollow.gpkg", "no property file")


def test_a_text(tmp_path):
    (tmp_path / "hollow.gpkg").write_text("A letter. " * 500)
    refused(tmp_path / "hollow.gpkg", "no property file")


@pytest.mark.parametrize("layer", ["parcel", "property"])
def test_a_geopackage_of_another_program(tmp_path, layer):
    frame = geopandas.GeoDataFrame({"name": ["a"]}, geometry=[shapely.box(0, 0, 1, 1)], crs=32617)
    frame.to_file(tmp_path / "parcel.gpkg", layer=layer)
    refused(tmp_path / "parcel.gpkg", "no property file")


@pytest.mark.parametrize("share", [0.02, 0.3, 0.7, 0.999])
def test_a_file_cut_short(path, share):
    whole = path.read_bytes()
    path.write_bytes(whole[: int(share * len(whole))])
    refused(path, "damaged or cut short")


def test_a_file_with_a_hole_torn_in_it(path):
    whole = bytearray(path.read_bytes())
    whole[4096:20480] = bytes(16384)
    path.write_bytes(whole)
    with pytest.raises(PropertyFileError, match=str(path)):
        load(path)


def test_a_file_of_a_newer_program(path):
    with contextlib.closing(sqlite3.connect(path)) as db, db:
        db.execute("UPDATE property SET format = ?", (FORMAT + 1,))
    refused(path, f"newer program .format {FORMAT + 1}")


def test_a_property_without_a_format(path):
    with contextlib.closing(sqlite3.connect(path)) as db, db:
        db.execute("DELETE FROM property")
    refused(path, "damaged")


def test_a_file_that_another_program_is_writing(path, monkeypatch):
    monkeypatch.setattr(opening, "_PATIENCE_S", 0.01)
    with contextlib.closing(sqlite3.connect(path, isolation_level=None)) as db:
        db.execute("BEGIN EXCLUSIVE")
        before = path.read_bytes()
        for act in [*LOADS, *SAVES]:
            with pytest.raises(PropertyFileError, match="Another program is writing"):
                act(path)
        db.execute("ROLLBACK")
    assert path.read_bytes() == before


def test_reading_goes_on_while_another_program_reads(path):
    with contextlib.closing(sqlite3.connect(path, isolation_level=None)) as db:
        db.execute("BEGIN")
        db.execute("SELECT * FROM mark_areas").fetchall()
        assert load_place(path) == PLACE


def in_child(path, acts, *, before):
    """Run each act in one other process; return what it says of the errors that it meets."""
    code = f"""
import sys
sys.path.insert(0, {str(ROOT)!r})
from pathlib import Path
from funnelfinder.errors import PropertyFileError
from funnelfinder.files.property_file import *
from tests import scenes
place, grids = scenes.scene(marks=scenes.pair_marks())
path = Path({str(path)!r})
{before}
for words in {acts!r}:
    try:
        exec(words)
        print("done")
    except PropertyFileError as error:
        print(error)
"""
    made = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert made.returncode == 0, made.stderr
    said = made.stdout.splitlines()
    assert len(said) == len(acts)
    return said


def test_a_disk_without_room(path):
    """The system refuses to let any file grow beyond 8 kB, as a full disk would."""
    before = path.read_bytes()
    limit = (
        "import resource, signal; signal.signal(signal.SIGXFSZ, signal.SIG_IGN)\n"
        "resource.setrlimit(resource.RLIMIT_FSIZE, (8192, 8192))"
    )
    acts = ["save_place(path, place)", "save_grids(path, grids)"]
    acts.append("create(path.with_name('second.gpkg'), place)")
    for said in in_child(path, acts, before=limit):
        assert "The disk" in said
    assert path.read_bytes() == before
    assert [one.name for one in path.parent.iterdir()] == [path.name]
    assert load_place(path) == PLACE


#: Root may write anywhere, so root steps down once everything is imported and read.
STEP_DOWN = "import os; load(path); os.seteuid(65534) if os.geteuid() == 0 else None"


@pytest.fixture
def locked_file(path):
    """The property in a folder that nobody may write."""
    folder = Path(tempfile.mkdtemp())
    file = folder / path.name
    shutil.copy(path, file)
    file.chmod(0o444)
    folder.chmod(0o555)
    yield file
    folder.chmod(0o755)
    shutil.rmtree(folder)


def test_a_folder_that_may_not_be_written(locked_file):
    before = locked_file.read_bytes()
    acts = ["save_place(path, place)", "save_grids(path, grids)", "hold(path)"]
    for said in in_child(locked_file, acts, before=STEP_DOWN):
        assert "It may not be written" in said
    assert locked_file.read_bytes() == before


def test_reading_needs_no_right_to_write(locked_file):
    acts = ["assert load(path).place == place and load_grids(path) is not None"]
    assert in_child(locked_file, acts, before=STEP_DOWN) == ["done"]
