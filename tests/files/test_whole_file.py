"""A file is there whole, or as it was."""

from __future__ import annotations

from pathlib import Path

import pytest

from funnelfinder.errors import ExportError
from funnelfinder.files.whole_file import write_whole


def test_a_file_is_written_and_replaced_and_nothing_else_stays(tmp_path):
    path = tmp_path / "season.ics"
    write_whole(path, b"first")
    write_whole(path, b"second")
    assert path.read_bytes() == b"second"
    assert [one.name for one in tmp_path.iterdir()] == ["season.ics"]


def test_a_folder_that_is_missing_is_told(tmp_path):
    with pytest.raises(ExportError, match="could not be written"):
        write_whole(tmp_path / "none" / "season.ics", b"x")


def test_a_file_that_cannot_be_replaced_stays_as_it_was(tmp_path):
    path = tmp_path / "season.ics"
    path.mkdir()
    (path / "mine.txt").write_text("kept")
    with pytest.raises(ExportError, match=r"season\.ics"):
        write_whole(path, b"x")
    assert (path / "mine.txt").read_text() == "kept"
    assert [one.name for one in tmp_path.iterdir()] == ["season.ics"]


def test_a_file_that_was_there_stays_where_the_disk_is_full(tmp_path, monkeypatch):
    path = tmp_path / "season.ics"
    path.write_text("before")

    def full(self, content):
        with self.open("wb") as half:
            half.write(content[:1])
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "write_bytes", full)
    with pytest.raises(ExportError, match="No space left"):
        write_whole(path, b"after")
    assert path.read_bytes() == b"before"
    assert [one.name for one in tmp_path.iterdir()] == ["season.ics"]
