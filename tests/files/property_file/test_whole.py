"""A property file from its making to all that it keeps."""

import pytest

from funnelfinder.errors import PropertyFileError
from funnelfinder.files.property_file import create, load, load_place, save_findings, save_grids
from tests import scenes
from tests.files.property_file.made_up import findings_on, is_same

PLACE, GRIDS = scenes.scene(marks=scenes.pair_marks())


def test_a_new_property_has_neither_grids_nor_findings(tmp_path):
    create(tmp_path / "hollow.gpkg", PLACE)
    kept = load(tmp_path / "hollow.gpkg")
    assert (kept.place, kept.grids, kept.findings) == (PLACE, None, None)


def test_all_that_was_kept_is_loaded(tmp_path):
    path = tmp_path / "hollow.gpkg"
    findings = findings_on(GRIDS.cover.grid)
    create(path, PLACE)
    save_grids(path, GRIDS)
    save_findings(path, findings)
    kept = load(path)
    assert kept.place == PLACE
    assert is_same(kept.grids, GRIDS)
    assert is_same(kept.findings, findings)


@pytest.mark.parametrize("name", ["a b.gpkg", 'O\'Neil "south".gpkg', "50% #1?.gpkg", "süd:9.GPKG"])
def test_any_file_name_will_do(tmp_path, name):
    path = tmp_path / name
    create(str(path), PLACE)
    save_grids(str(path), GRIDS)
    assert is_same(load(str(path)).grids, GRIDS)
    assert [one.name for one in tmp_path.iterdir()] == [name]


def test_a_path_from_where_one_is_will_do(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    create("hollow.gpkg", PLACE)
    save_grids("hollow.gpkg", GRIDS)
    assert is_same(load("hollow.gpkg").grids, GRIDS)


def test_a_link_stays_a_link(tmp_path):
    (tmp_path / "far").mkdir()
    real, link = tmp_path / "far" / "hollow.gpkg", tmp_path / "link.gpkg"
    create(real, PLACE)
    link.symlink_to(real)
    save_grids(link, GRIDS)
    assert link.is_symlink()
    assert is_same(load(real).grids, GRIDS)


@pytest.mark.parametrize("old", [b"", b"a letter", None])
def test_nothing_is_ever_overwritten(tmp_path, old):
    path = tmp_path / "hollow.gpkg"
    if old is None:
        create(path, PLACE)
        old = path.read_bytes()
    path.write_bytes(old)
    with pytest.raises(PropertyFileError, match="There is a file of that name already"):
        create(path, PLACE)
    assert path.read_bytes() == old
    assert [one.name for one in tmp_path.iterdir()] == ["hollow.gpkg"]


def test_another_ending_is_refused(tmp_path):
    with pytest.raises(PropertyFileError, match=r"Call it hollow\.gpkg"):
        create(tmp_path / "hollow.txt", PLACE)


def test_a_missing_folder_is_refused(tmp_path):
    with pytest.raises(PropertyFileError, match="no such folder"):
        create(tmp_path / "none" / "hollow.gpkg", PLACE)


def test_a_leftover_of_a_killed_program_is_no_hindrance(tmp_path):
    (tmp_path / ".hollow.tmp.gpkg").write_bytes(b"half a file")
    (tmp_path / ".hollow.tmp.gpkg-journal").write_bytes(b"half a journal")
    create(tmp_path / "hollow.gpkg", PLACE)
    assert load_place(tmp_path / "hollow.gpkg") == PLACE
    assert [one.name for one in tmp_path.iterdir()] == ["hollow.gpkg"]
