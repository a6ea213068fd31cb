"""Marks and choices go through the file unchanged."""

import sqlite3
import string
import time
from contextlib import closing
from dataclasses import replace

import geopandas
import pytest
import shapely
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from funnelfinder.defaults import Pressure, Settings, entries, with_setting
from funnelfinder.errors import PropertyFileError
from funnelfinder.files.property_file import create, load_grids, load_place, save_grids, save_place
from funnelfinder.land_cover import shipped_table
from funnelfinder.marks import GEOMETRIES, WHO, Mark, MarkKind, Pick, StandPick
from tests import scenes

PLACE, GRIDS = scenes.scene(marks=scenes.pair_marks())


@pytest.fixture
def path(tmp_path):
    create(tmp_path / "hollow.gpkg", PLACE)
    return tmp_path / "hollow.gpkg"


texts = st.text(max_size=20)
coordinates = st.floats(-1e6, 1e7, allow_subnormal=False)
sizes = st.none() | st.floats(0.01, 100)


@st.composite
def shapes(draw, name):
    """A geometry of that type."""
    if name.startswith("Multi"):
        count = draw(st.integers(1, 3))
        parts = [draw(shapes(name.removeprefix("Multi"))) for _ in range(count)]
        if name == "MultiPolygon":
            parts = [shapely.affinity.translate(part, 3e7 * n) for n, part in enumerate(parts)]
        return getattr(shapely, name)(parts)
    if name == "Point":
        return shapely.Point(draw(coordinates), draw(coordinates))
    if name == "LineString":
        return shapely.LineString(
            draw(st.lists(st.tuples(coordinates, coordinates), min_size=2, max_size=6, unique=True))
        )
    centre = shapely.Point(draw(coordinates), draw(coordinates))
    return centre.buffer(draw(st.floats(1, 500)), quad_segs=3)


@st.composite
def marks(draw):
    """Any mark that a person can make."""
    kind = draw(st.sampled_from(MarkKind))
    shape = draw(shapes(draw(st.sampled_from(sorted(GEOMETRIES[kind])))))
    return Mark(
        kind=kind,
        geometry=shape,
        name=draw(texts),
        note=draw(texts),
        weight=draw(st.floats(1e-3, 1e3)),
        who=draw(st.sampled_from(WHO)),
        crop=draw(texts),
        phase_weights=draw(st.dictionaries(texts, st.floats(0, 10), max_size=3)),
        height_m=draw(sizes),
        width_m=draw(sizes),
        cover_class=draw(st.none() | st.integers(0, 255)),
        key=draw(st.text(string.hexdigits, min_size=1, max_size=32)),
    )


def same_places(one, other):
    """Whether two properties are equal to the last bit of every corner."""
    return one == other and all(
        a.geometry.wkb == b.geometry.wkb for a, b in zip(one.marks, other.marks, strict=True)
    )


@settings(
    deadline=None, max_examples=40, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(drawn=st.lists(marks(), max_size=6))
def test_any_marks_come_back_equal_and_in_order(path, drawn):
    place = replace(PLACE, marks=tuple(drawn))
    save_place(path, place)
    assert same_places(load_place(path), place)


def test_choices_come_back_equal(path):
    chosen = with_setting(Settings(), "wander", "61.7 yd")
    chosen = with_setting(chosen, "pressure", Pressure.HEAVY.value)
    place = replace(
        PLACE,
        name='Hollow "two" – ∅',
        boundary=shapely.MultiPolygon([scenes.disc(0, 0), scenes.disc(500, 0)]),
        settings=chosen,
        cover_table=shipped_table("worldcover").with_resistances({10: 1.75}),
        detectors_off=frozenset({"saddle", "bench"}),
        picks=(Pick(x_m=1 / 3, y_m=2.5), Pick(x_m=1, y_m=2, is_taken=False, name="Left")),
        stands=(
            StandPick(x_m=1 / 3, y_m=2.5, spot_x_m=1e5, spot_y_m=1 / 7, key="a"),
            StandPick(
                x_m=4.0,
                y_m=5.0,
                spot_x_m=6.0,
                spot_y_m=7.0,
                is_taken=False,
                is_by_hand=True,
                name="Twin oak",
                note='ask first; "steep" – ∅',
                shot_m=27.432,
                key="b",
            ),
        ),
        peak_breeding="11-14",
    )
    save_place(path, place)
    assert same_places(load_place(path), place)


def test_a_file_made_before_there_were_stands_opens_and_takes_them(path):
    with closing(sqlite3.connect(path)) as db, db:
        db.execute("DROP TABLE stands")
        for table in ("gpkg_contents", "gpkg_geometry_columns"):
            db.execute(f"DELETE FROM {table} WHERE table_name = 'stands'")
    old = load_place(path)
    assert old.stands == ()
    new = old.with_stand(StandPick(x_m=1.0, y_m=2.0, spot_x_m=3.0, spot_y_m=4.0))
    save_place(path, new)
    assert load_place(path) == new


def test_every_setting_comes_back_whatever_its_type(path):
    """Each setting is moved off its default in turn of kinds: numbers to a bound, choices on."""
    moved = Settings()
    for one in entries(moved):
        if isinstance(one.value, float | int):
            value = type(one.value)(one.about.high)
        else:
            choices = list(type(one.value))
            value = choices[(choices.index(one.value) + 1) % len(choices)]
        group = replace(getattr(moved, one.topic), **{one.attribute: value})
        moved = replace(moved, **{one.topic: group})
    save_place(path, replace(PLACE, settings=moved))
    back = load_place(path).settings
    assert back == moved
    assert [type(one.value) for one in entries(back)] == [
        type(one.default) for one in entries(Settings())
    ]


def test_a_setting_that_an_older_file_lacks_keeps_its_default(path):
    with sqlite3.connect(path) as db:
        db.execute("DELETE FROM settings WHERE name = 'surround_m'")
    db.close()
    assert load_place(path).settings.ground.surround_m == Settings().ground.surround_m


def test_grids_stay_when_marks_are_saved(path):
    save_grids(path, GRIDS)
    save_place(path, replace(PLACE, marks=()))
    assert load_place(path).marks == ()
    assert (load_grids(path).elevation.values == GRIDS.elevation.values).all()


def test_a_property_may_move_to_another_zone(path):
    moved = replace(PLACE, epsg=32618)
    save_place(path, moved)
    assert load_place(path) == moved
    assert geopandas.read_file(path, layer="boundary").crs.to_epsg() == 32618


def test_saving_is_one_transaction(path):
    """The file's change counter (bytes 24-27, sqlite.org/fileformat.html) grows by one."""
    before = int.from_bytes(path.read_bytes()[24:28], "big")
    save_place(path, replace(PLACE, name="Other"))
    assert int.from_bytes(path.read_bytes()[24:28], "big") == before + 1


def test_extent_and_time_of_change_are_entered_anew(path):
    query = "SELECT min_x, min_y, max_x, max_y, last_change FROM gpkg_contents WHERE table_name = ?"
    with sqlite3.connect(path) as db:
        before = db.execute(query, ("mark_areas",)).fetchone()
        square = scenes.polygon((0, 0), (10, 0), (10, 20), (0, 20))
        save_place(path, replace(PLACE, marks=(scenes.mark(MarkKind.BED, square),)))
        after = db.execute(query, ("mark_areas",)).fetchone()
    db.close()
    assert after[:4] == square.bounds
    assert after[4] > before[4]


def test_sixty_marks_are_on_disk_within_fifty_milliseconds(path):
    sixty = tuple(
        scenes.mark(MarkKind.BED, scenes.disc(100 + 9 * n, 100), f"Bed {n}") for n in range(60)
    )
    times = []
    for _ in range(10):
        start = time.perf_counter()
        save_place(path, replace(PLACE, marks=sixty))
        times.append(time.perf_counter() - start)
    assert min(times) < 0.05


def test_a_mark_that_another_program_added_comes_last(path):
    square = scenes.polygon((0, 0), (10, 0), (10, 20), (0, 20))
    theirs = geopandas.GeoDataFrame({"kind": ["food"]}, geometry=[square], crs="EPSG:32617")
    # On a copy, as a careful person does; the layer is then theirs in all its columns.
    frame = geopandas.read_file(path, layer="mark_areas")
    both = geopandas.pd.concat([frame, theirs], ignore_index=True)
    both.to_file(path.with_name("theirs.gpkg"), layer="mark_areas")
    with sqlite3.connect(path) as db:
        db.execute("ATTACH ? AS theirs", (str(path.with_name("theirs.gpkg")),))
        db.execute(
            "INSERT INTO main.mark_areas (geom, kind)"
            " SELECT geom, kind FROM theirs.mark_areas WHERE key IS NULL"
        )
    db.close()
    back = load_place(path).marks
    assert back[:-1] == PLACE.marks
    assert back[-1].kind is MarkKind.FOOD
    assert back[-1].weight == 1.0
    assert back[-1].key
    assert back[-1].geometry.equals(square)


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ("UPDATE mark_areas SET kind = 'pond'", "kind that this program does not know"),
        ("UPDATE mark_areas SET weight = -1", "weight"),
        ("UPDATE mark_areas SET weight = 'much'", "mark_areas.weight"),
        ("UPDATE mark_areas SET geom = NULL", "no geometry"),
        ("UPDATE mark_areas SET geom = x'00'", "geometry cannot be read"),
        ("UPDATE cover_table SET resistance = 0", "cost"),
        ("UPDATE settings SET number = NULL, word = NULL", "setting"),
        ("DELETE FROM boundary", "boundary"),
        ("UPDATE property SET detectors_off = '{'", "property.detectors_off"),
    ],
)
def test_what_others_spoiled_is_named(path, change, words):
    with sqlite3.connect(path) as db:
        db.execute(change)
    db.close()
    with pytest.raises(PropertyFileError, match=words) as caught:
        load_place(path)
    assert str(path) in str(caught.value)
