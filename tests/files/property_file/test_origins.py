"""Where grids and pictures were brought from, as rows of the property file."""

from __future__ import annotations

import sqlite3
from contextlib import closing

from funnelfinder.files.property_file import connected, create, load_origins
from funnelfinder.files.property_file.origins import read_origins, write_origins
from funnelfinder.files.property_file.writing import in_place
from funnelfinder.ground import Origin
from funnelfinder.ground.arrays import credit_lines
from tests import scenes


def origin(kind, source, **more):
    return Origin(kind=kind, source=source, file="f", address="a", on="2026-11-25", **more)


def test_rows_of_a_kind_give_way_and_others_stay(tmp_path):
    place, _ = scenes.scene()
    path = tmp_path / "scene.gpkg"
    create(path, place)
    first = (origin("elevation", "A"), origin("cover", "B"), origin("picture", "C"))
    with in_place(path) as db:
        write_origins(db, first, ["elevation", "cover", "picture"], epsg=place.epsg)
    with in_place(path) as db:
        write_origins(db, [origin("cover", "D", share=0.4)], ["cover"], epsg=place.epsg)
    found = load_origins(path)
    assert {(one.kind, one.source) for one in found} == {
        ("elevation", "A"),
        ("cover", "D"),
        ("picture", "C"),
    }
    assert next(one.share for one in found if one.source == "D") == 0.4


def test_a_file_of_before_has_none(tmp_path):
    place, _ = scenes.scene()
    path = tmp_path / "scene.gpkg"
    create(path, place)
    with connected(path) as db:
        assert read_origins(db) == ()


def test_other_programs_read_them_as_a_plain_table(tmp_path):
    place, _ = scenes.scene()
    path = tmp_path / "scene.gpkg"
    create(path, place)
    one = origin("cover", "Survey", licence="CC BY 4.0", credit="© Survey 2021")
    with in_place(path) as db:
        write_origins(db, [one], ["cover"], epsg=place.epsg)
    with closing(sqlite3.connect(path)) as db:
        row = db.execute('SELECT source, licence, credit, "on" FROM origins').fetchone()
    assert row == ("Survey", "CC BY 4.0", "© Survey 2021", "2026-11-25")


def test_credit_lines_name_what_they_are_of_and_come_once():
    rows = (
        origin("elevation", "A", credit="Survey", licence="public domain"),
        origin("elevation", "B", credit="Survey", licence="public domain"),
        origin("cover", "C", credit="Agency"),
        origin("picture", "own"),
    )
    lines = credit_lines(rows)
    assert len(lines) == len(set(lines))
    assert lines[0] == "Elevation: Survey (public domain)."
    assert any("Agency" in line for line in lines)
    assert not any("own" in line for line in lines)
