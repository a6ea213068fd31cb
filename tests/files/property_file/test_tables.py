"""Tables that later parts of the program keep in the same file."""

import math
import sqlite3
from dataclasses import dataclass, field, replace
from enum import Enum

import pytest
import shapely

from funnelfinder.errors import PropertyFileError
from funnelfinder.files.property_file import (
    Column,
    Kind,
    Row,
    Table,
    columns_of,
    connected,
    create,
    in_place,
    load_place,
    read_rows,
    save_findings,
    save_grids,
    save_place,
    values_of,
    write_rows,
)
from tests import scenes
from tests.files.property_file.made_up import findings_on, is_same

PLACE, GRIDS = scenes.scene()


class Light(Enum):
    DAY = "day"
    NIGHT = "night"


@dataclass(frozen=True, kw_only=True)
class Sighting:
    """A row of every type."""

    seen_utc: str
    count: int
    is_sure: bool
    distance_m: float
    antler_cm: float | None
    picture: bytes = b""
    light: Light = Light.DAY
    words: tuple[str, ...] = ()
    sizes: dict[str, float] = field(default_factory=dict)


SIGHTINGS = Table(
    name="sightings", words="Deer seen.", columns=columns_of(Sighting), geometry="POINT"
)
ONE = Sighting(
    seen_utc="2026-11-08T12:30:00Z",
    count=2,
    is_sure=True,
    distance_m=math.nan,
    antler_cm=None,
    picture=bytes(range(256)),
    light=Light.NIGHT,
    words=('a "b"', "ü"),
    sizes={"x": 1 / 3, "y": math.inf},
)


@pytest.fixture
def path(tmp_path):
    create(tmp_path / "hollow.gpkg", PLACE)
    return tmp_path / "hollow.gpkg"


def keep(path, *sightings, table=SIGHTINGS):
    """Write sightings where the person stood."""
    rows = [Row(values_of(one, table), shapely.Point(1, 2)) for one in sightings]
    with in_place(path) as db:
        write_rows(db, table, rows, epsg=PLACE.epsg)


def kept(path, table=SIGHTINGS):
    """Read them back."""
    with connected(path) as db:
        return read_rows(db, table)


def test_a_file_made_before_reads_as_empty(path):
    assert kept(path) == []


def test_every_type_comes_back_equal(path):
    keep(path, ONE, replace(ONE, antler_cm=140.5, distance_m=3.25))
    rows = kept(path)
    back = [Sighting(**{**row.values, "light": Light(row.values["light"])}) for row in rows]
    assert is_same(tuple(back), (ONE, replace(ONE, antler_cm=140.5, distance_m=3.25)))
    assert rows[0].shape == shapely.Point(1, 2)


@dataclass(frozen=True, kw_only=True)
class Walk:
    """A row with what no column keeps."""

    corners_m: tuple[tuple[float, float], ...]


def test_a_type_that_no_column_keeps_is_told_at_once():
    with pytest.raises(TypeError, match="a table of its own"):
        columns_of(Walk)


def test_programs_that_do_not_know_a_table_leave_it_alone(path):
    keep(path, ONE)
    before = kept(path)
    save_place(path, replace(PLACE, name="Other"))
    save_grids(path, GRIDS)
    save_findings(path, findings_on(GRIDS.cover.grid))
    assert is_same(tuple(kept(path)[0].values.values()), tuple(before[0].values.values()))


def test_a_column_that_came_later_is_added(path):
    older = replace(SIGHTINGS, columns=SIGHTINGS.columns[:4])
    keep(path, ONE, table=older)
    assert kept(path)[0].values["words"] == ()
    assert kept(path)[0].values["antler_cm"] is None
    keep(path, ONE)
    assert kept(path)[0].values["words"] == ONE.words


def half_done(path):
    """Empty the table, then fail."""
    with in_place(path) as db:
        write_rows(db, SIGHTINGS, [], epsg=PLACE.epsg)
        write_rows(db, SIGHTINGS, [Row({"count": "many"}, shapely.Point(3, 4))], epsg=PLACE.epsg)


def test_an_error_among_the_changes_undoes_them_all(path):
    keep(path, ONE)
    before = path.read_bytes()
    with pytest.raises(ValueError, match="many"):
        half_done(path)
    assert path.read_bytes() == before
    assert load_place(path) == PLACE


def test_an_empty_cell_that_must_not_be_is_named(path):
    keep(path, ONE)
    with sqlite3.connect(path) as db:
        db.execute("UPDATE sightings SET count = NULL")
    db.close()
    with pytest.raises(PropertyFileError, match=r"sightings\.count"):
        kept(path)


def test_a_number_beyond_64_bits_is_refused(path):
    with pytest.raises(PropertyFileError, match="too large"):
        keep(path, replace(ONE, count=2**70))


def test_odd_names_are_only_names(path):
    odd = Table(
        name='drop "table"; --', words="", columns=(Column(name='select "', kind=Kind.TEXT),)
    )
    with in_place(path) as db:
        write_rows(db, odd, [Row({'select "': "from"})], epsg=PLACE.epsg)
        assert read_rows(db, odd) == [Row({'select "': "from"})]
