"""new, grids, marks, settings."""

from __future__ import annotations

import geopandas
import pytest

from funnelfinder.cli.making import said_zone
from funnelfinder.files.property_file import load, load_place
from funnelfinder.marks import MarkKind
from tests import scenes
from tests.cli import made


def test_a_boundary_becomes_a_property(tmp_path):
    path = tmp_path / "fern-bottom.gpkg"
    result = made.funnelfinder("new", path, made.boundary_file(tmp_path))
    assert result.exit_code == 0, result.stderr
    place = load_place(path)
    assert (place.name, place.epsg) == ("Fern Bottom", scenes.EPSG)
    assert place.boundary.area == pytest.approx(800 * 600, rel=1e-3)
    assert "119 acres, UTM zone 17N" in " ".join(result.stdout.split())


def test_a_name_in_the_boundary_s_own_file_is_taken(tmp_path):
    boundary = made.boundary_file(tmp_path)
    table = geopandas.read_file(boundary)
    table["name"] = "Brome Hollow"
    table.to_file(boundary, driver="GeoJSON")
    made.funnelfinder("new", tmp_path / "a.gpkg", boundary)
    assert load_place(tmp_path / "a.gpkg").name == "Brome Hollow"


def test_a_name_can_be_given(tmp_path):
    path = tmp_path / "a.gpkg"
    made.funnelfinder("new", path, made.boundary_file(tmp_path), "--name", "Brome Hollow")
    assert load_place(path).name == "Brome Hollow"


def test_an_old_property_is_not_overwritten(tmp_path):
    path = made.bare(tmp_path)
    before = path.read_bytes()
    result = made.funnelfinder("new", path, made.boundary_file(tmp_path))
    assert result.exit_code == 1
    assert path.read_bytes() == before


def test_a_file_that_is_no_boundary_leaves_nothing(tmp_path):
    wrong = tmp_path / "notes.txt"
    wrong.write_text("Buy corn.")
    result = made.funnelfinder("new", tmp_path / "a.gpkg", wrong)
    assert result.exit_code == 1
    assert "notes.txt" in result.stderr
    assert [path.name for path in tmp_path.iterdir()] == ["notes.txt"]


def test_zones():
    """EPSG 326xx is north, 327xx south (EPSG registry)."""
    assert said_zone(32617) == "UTM zone 17N"
    assert said_zone(32756) == "UTM zone 56S"


def grid_files(folder):
    _, grids = scenes.scene()
    return (
        made.grid_file(folder / "dem.tif", grids.elevation),
        made.grid_file(folder / "cover.tif", grids.cover),
    )


def test_grids_are_kept_with_their_legend(tmp_path):
    path = made.bare(tmp_path)
    dem, cover = grid_files(tmp_path)
    result = made.funnelfinder("grids", path, "--elevation", dem, "--cover", cover)
    assert result.exit_code == 0, result.stderr
    kept = load(path)
    assert kept.grids is not None
    assert kept.place.cover_table.legend == "nlcd"


def test_several_tiles_follow_one_option(tmp_path):
    path = made.bare(tmp_path)
    dem, cover = grid_files(tmp_path)
    result = made.funnelfinder("grids", path, "--elevation", dem, dem, "--cover", cover, cover)
    assert result.exit_code == 0, result.stderr


def test_a_grid_that_is_none_is_named_and_nothing_changes(tmp_path):
    path = made.bare(tmp_path)
    _, cover = grid_files(tmp_path)
    wrong = tmp_path / "dem.txt"
    wrong.write_text("not a grid")
    before = path.read_bytes()
    result = made.funnelfinder("grids", path, "--elevation", wrong, "--cover", cover)
    assert result.exit_code == 1
    assert "dem.txt" in result.stderr
    assert path.read_bytes() == before


def test_a_cover_table_of_ones_own_is_kept_when_grids_come_again(tmp_path):
    path = made.bare(tmp_path)
    dem, cover = grid_files(tmp_path)
    table = tmp_path / "own.csv"
    table.write_text("code,resistance,woody\n41,1.7,1\n")
    made.funnelfinder("settings", path, "--cover-table", table)
    made.funnelfinder("grids", path, "--elevation", dem, "--cover", cover)
    assert load_place(path).cover_table.by_code[41].resistance == 1.7
    result = made.funnelfinder(
        "grids", path, "--elevation", dem, "--cover", cover, "--legend", table
    )
    assert result.exit_code == 0, result.stderr
    assert load_place(path).cover_table.legend == "own"


@pytest.mark.parametrize("text", [None, "kind,cost\n1,2\n", "code,resistance\n41,much\n"])
def test_a_cover_table_that_is_none_is_named(tmp_path, text):
    path = made.bare(tmp_path)
    table = tmp_path / "own.csv"
    if text is not None:
        table.write_text(text)
    result = made.funnelfinder("settings", path, "--cover-table", table)
    assert result.exit_code == 1
    assert "own.csv" in result.stderr


def test_marks_are_added_and_the_same_name_is_replaced(tmp_path):
    path = made.bare(tmp_path)
    first = made.funnelfinder("marks", path, made.marks_file(tmp_path))
    assert first.exit_code == 0, first.stderr
    assert "1 bed, 1 food" in first.stdout
    assert "Next: funnelfinder run" in first.stdout
    made.funnelfinder("marks", path, made.marks_file(tmp_path))
    marks = load_place(path).marks
    assert [(mark.kind, mark.name) for mark in marks] == [
        (MarkKind.BED, "West bed"),
        (MarkKind.FOOD, "Acorns"),
    ]


def test_replace_drops_all_marks_first(tmp_path):
    path = made.bare(tmp_path)
    made.funnelfinder("marks", path, made.marks_file(tmp_path))
    other = made.boundary_file(tmp_path, "thicket")
    result = made.funnelfinder("marks", path, other, "--kind", "bed", "--replace")
    assert result.exit_code == 0, result.stderr
    assert [mark.kind for mark in load_place(path).marks] == [MarkKind.BED]
    assert "at least one bed and one food" in result.stdout


def test_an_unknown_kind_lists_the_kinds(tmp_path):
    path = made.bare(tmp_path)
    result = made.funnelfinder("marks", path, made.marks_file(tmp_path), "--kind", "feeder")
    assert result.exit_code == 2
    assert "keep-off" in result.stderr


def test_settings_change_and_say_so(tmp_path):
    path = made.bare(tmp_path)
    result = made.funnelfinder("settings", path, "wander=60yd", "pressure=heavy")
    assert result.exit_code == 0
    assert "wander: 100 yd -> 60 yd" in result.stdout
    assert load_place(path).settings.trips.wander_m == pytest.approx(60 * 0.9144)


def test_one_wrong_setting_changes_none(tmp_path):
    path = made.bare(tmp_path)
    result = made.funnelfinder("settings", path, "wander=60yd", "reach=9000")
    assert result.exit_code == 1
    assert "reach" in result.stderr
    assert load_place(path).settings.trips.wander_m == pytest.approx(100 * 0.9144)


def test_settings_alone_prints_them(tmp_path):
    result = made.funnelfinder("settings", made.bare(tmp_path))
    assert result.exit_code == 0
    assert "wander = 100 yd" in result.stdout


def test_a_cover_table_can_be_reset(tmp_path):
    path = made.bare(tmp_path)
    table = tmp_path / "own.csv"
    table.write_text("code,resistance\n41,1.7\n")
    made.funnelfinder("settings", path, "--cover-table", table)
    made.funnelfinder("settings", path, "--cover-table", "nlcd")
    assert load_place(path).cover_table.by_code[41].resistance == 1.0
