"""Where a demo may write; the job itself is tested as a whole."""

from __future__ import annotations

import pytest

from funnelfinder.cli.demo import PROPERTY_PATH, _check_folder, _move_in
from funnelfinder.errors import ExportError
from tests.cli import made


def test_other_things_are_not_overwritten(tmp_path):
    (tmp_path / "map.png").write_text("mine")
    result = made.funnelfinder("demo", tmp_path)
    assert result.exit_code == 1
    assert [path.name for path in tmp_path.iterdir()] == ["map.png"]


def test_a_file_is_no_folder(tmp_path):
    path = tmp_path / "demo"
    path.write_text("mine")
    with pytest.raises(ExportError, match="demo"):
        _check_folder(path)


def test_an_earlier_demo_is_replaced_file_by_file(tmp_path):
    beside, folder = tmp_path / "beside", tmp_path / "demo"
    for place, text in ((beside, "new"), (folder, "old")):
        (place / PROPERTY_PATH).parent.mkdir(parents=True)
        (place / PROPERTY_PATH).write_text(text)
    (folder / "notes.txt").write_text("mine")
    _check_folder(folder)
    _move_in(beside, folder)
    assert (folder / PROPERTY_PATH).read_text() == "new"
    assert (folder / "notes.txt").read_text() == "mine"


def test_a_folder_that_cannot_be_made_is_named(tmp_path):
    (tmp_path / "demo").write_text("a file")
    beside = tmp_path / "beside"
    beside.mkdir()
    (beside / "map.png").write_text("new")
    with pytest.raises(ExportError, match="demo"):
        _move_in(beside, tmp_path / "demo")
