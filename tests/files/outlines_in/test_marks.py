"""Marks from any vector file."""

from __future__ import annotations

import pytest
import shapely

from funnelfinder.errors import MarkError
from funnelfinder.files.outlines_in import read_boundary, read_marks
from funnelfinder.files.property_file import create
from funnelfinder.marks import MarkKind
from tests.files.outlines_in.drawn import (
    SQUARE,
    UTM,
    X_0,
    Y_0,
    degrees,
    frame,
    gpx,
    kml,
    placemark,
    same,
    shapefile,
)
from tests.scenes import EPSG, disc, ground_of, line, mark, polygon, scene, with_marks

# Marks --------------------------------------------------------------------------------------

BED = shapely.box(X_0 + 50, Y_0 + 50, X_0 + 120, Y_0 + 100)


FENCE = shapely.LineString([(X_0, Y_0 + 250), (X_0 + 400, Y_0 + 250)])


GATE = shapely.Point(X_0 + 200, Y_0 + 250)


def by_kind(marks) -> dict[str, list]:
    """Marks by the word of their kind."""
    found: dict[str, list] = {}
    for one in marks:
        found.setdefault(one.kind.value, []).append(one)
    return found


def test_a_column_says_what_a_row_is_and_the_rest_what_it_is_like(tmp_path):
    rows = frame(
        BED,
        shapely.box(X_0 + 300, Y_0 + 300, X_0 + 390, Y_0 + 390),
        shapely.box(X_0 + 130, Y_0 + 300, X_0 + 190, Y_0 + 390),
        Kind=["bed", "Food", "cover"],
        name=["Alder knob", "Bean field", None],
        who=["Buck", None, None],
        crop=[None, "soybeans", None],
        weight=[2.0, None, None],
        weight_pre_rut=[None, 0.5, None],
        weight_late=[None, "1.5", None],
        class_=[None, None, 41],
        note=["thick", "", None],
    ).rename(columns={"class_": "class"})
    rows.to_file(tmp_path / "marks.gpkg")
    bed, food, cover = read_marks(tmp_path / "marks.gpkg", epsg=UTM)[0]
    assert (bed.kind, bed.name, bed.who, bed.weight) == (MarkKind.BED, "Alder knob", "buck", 2.0)
    assert bed.note == "thick"
    assert (food.crop, food.weight) == ("soybeans", 1.0)
    assert food.phase_weights == {"pre-rut": 0.5, "late": 1.5}
    assert (cover.kind, cover.cover_class, cover.name) == (MarkKind.COVER, 41, "")
    assert same(bed.geometry, BED)


def test_folders_say_what_their_marks_are(tmp_path):
    path = tmp_path / "map.kml"
    pond = shapely.box(X_0 + 10, Y_0 + 400, X_0 + 40, Y_0 + 440)
    path.write_text(
        kml(
            ("Boundary", placemark(SQUARE)),
            ("Doe beds", placemark(BED, "Alder knob")),
            ("fences", placemark(FENCE) + placemark(FENCE)),
            ("Fence gaps", placemark(GATE)),
            ("Ponds", placemark(pond)),
            ("Keep off", placemark(pond)),
            ("Ways in", placemark(GATE, "Gate")),
            ("empty", ""),
        )
    )
    marks, notes = read_marks(path, epsg=UTM)
    found = by_kind(marks)
    assert {kind: len(ones) for kind, ones in found.items()} == {
        "bed": 1, "fence": 2, "gap": 1, "water": 1, "keep-off": 1, "way-in": 1,
    }  # fmt: skip
    assert found["bed"][0].who == "doe"
    assert found["bed"][0].name == "Alder knob"
    assert not found["fence"][0].geometry.has_z
    assert any("it is the boundary" in note for note in notes)


def test_layers_of_a_package_say_what_their_marks_are(tmp_path):
    path = tmp_path / "everything.gpkg"
    frame(BED).to_file(path, layer="beds")
    frame(FENCE, height_m=[2.1]).to_file(path, layer="fence")
    marks = by_kind(read_marks(path, epsg=UTM)[0])
    assert marks["fence"][0].height_m == 2.1
    assert len(marks["bed"]) == 1


def test_the_name_of_the_file_or_the_option_says_it(tmp_path):
    frame(BED).to_file(tmp_path / "beds.geojson")
    frame(BED).to_file(tmp_path / "drawn.shp")
    assert read_marks(tmp_path / "beds.geojson", epsg=UTM)[0][0].kind is MarkKind.BED
    assert read_marks(tmp_path / "drawn.shp", epsg=UTM, kind="food")[0][0].kind is MarkKind.FOOD
    with pytest.raises(MarkError, match=r"drawn, row 1: It does not say what it is.*The kinds are"):
        read_marks(tmp_path / "drawn.shp", epsg=UTM)
    with pytest.raises(MarkError, match=r"'blind' is no kind of mark.*tracks, trail"):
        read_marks(tmp_path / "drawn.shp", epsg=UTM, kind="blind")


def test_an_unknown_kind_in_the_column_is_an_error_that_lists_the_kinds(tmp_path):
    frame(BED, kind=["blind"], name=["Old oak"]).to_file(tmp_path / "m.gpkg")
    with pytest.raises(MarkError, match=r"m\.gpkg, m, Old oak: 'blind' .*bed, food, core"):
        read_marks(tmp_path / "m.gpkg", epsg=UTM, kind="bed")


def test_waypoints_tracks_and_routes_of_a_gps(tmp_path):
    path = tmp_path / "gps.gpx"
    path.write_text(
        gpx(
            waypoints=(("Scrape 3", "", GATE), ("By the oak", "rub", GATE)),
            tracks=(("North", "Fence", FENCE), ("Knob", "bed", BED.exterior)),
            routes=(("trail west", "", FENCE),),
        )
    )
    marks = by_kind(read_marks(path, epsg=UTM)[0])
    assert set(marks) == {"scrape", "rub", "fence", "bed", "trail"}
    assert marks["scrape"][0].name == "Scrape 3"
    assert same(marks["bed"][0].geometry, BED)
    assert marks["fence"][0].geometry.length == pytest.approx(400.0, abs=0.1)


def test_the_layer_called_tracks_in_a_gps_file_does_not_mean_deer_tracks(tmp_path):
    path = tmp_path / "day.gpx"
    path.write_text(gpx(tracks=(("10 Nov", "", FENCE),)))
    with pytest.raises(MarkError, match="does not say what it is"):
        read_marks(path, epsg=UTM)
    assert read_marks(path, epsg=UTM, kind="creek")[0][0].kind is MarkKind.CREEK


def test_a_closed_line_becomes_an_area_and_an_open_one_does_not(tmp_path):
    frame(shapely.LineString(BED.exterior)).to_file(tmp_path / "bed.gpkg")
    assert same(read_marks(tmp_path / "bed.gpkg", epsg=UTM)[0][0].geometry, BED)
    frame(FENCE).to_file(tmp_path / "food.gpkg")
    with pytest.raises(MarkError, match="open line: its ends are 437 yards apart"):
        read_marks(tmp_path / "food.gpkg", epsg=UTM)


def test_an_area_drawn_for_a_fence_gives_its_edge_with_a_note(tmp_path):
    frame(BED).to_file(tmp_path / "fence.gpkg")
    marks, notes = read_marks(tmp_path / "fence.gpkg", epsg=UTM)
    assert marks[0].geometry.length == pytest.approx(BED.length)
    assert any("the edge of the area was taken" in note for note in notes)


@pytest.mark.parametrize(
    ("kind", "shape", "word"),
    [
        ("fence", GATE, "It is a Point"),
        ("bed", GATE, "It is a Point"),
        ("rub", FENCE, "It is a LineString"),
        ("way-in", BED, "It is a Polygon"),
        ("gap", shapely.GeometryCollection([GATE, FENCE]), "It mixes points, lines and areas"),
    ],
)
def test_a_shape_that_does_not_fit_is_an_error_with_the_row(tmp_path, kind, shape, word):
    frame(shape, name=["Oak"]).to_file(tmp_path / "m.gpkg")
    with pytest.raises(MarkError, match=rf"m\.gpkg, m, Oak: {word}"):
        read_marks(tmp_path / "m.gpkg", epsg=UTM, kind=kind)


@pytest.mark.parametrize(
    ("kind", "shape"),
    [
        ("bed", shapely.MultiPolygon([BED, shapely.box(X_0, Y_0, X_0 + 9, Y_0 + 9)])),
        ("creek", shapely.MultiLineString([FENCE, shapely.affinity.translate(FENCE, 0, 50)])),
        ("crossing", shapely.MultiPoint([GATE, shapely.affinity.translate(GATE, 0, 50)])),
        ("house", shapely.MultiPolygon([BED])),
    ],
)
def test_shapes_of_several_parts_stay_whole(tmp_path, kind, shape):
    frame(shape).to_file(tmp_path / "m.gpkg")
    mark = read_marks(tmp_path / "m.gpkg", epsg=UTM, kind=kind)[0][0]
    assert mark.kind.value == kind
    assert shapely.equals(shapely.normalize(mark.geometry), shapely.normalize(shape))


def test_a_mark_that_crosses_itself_says_where(tmp_path):
    bow = shapely.Polygon([(X_0, Y_0), (X_0 + 40, Y_0 + 50), (X_0 + 40, Y_0), (X_0, Y_0 + 50)])
    middle = degrees(shapely.Point(X_0 + 20, Y_0 + 25))
    frame(bow).to_file(tmp_path / "bed.gpkg")
    with pytest.raises(MarkError, match=f"bed, row 1: .*{middle.y:.5f} N, {-middle.x:.5f} W"):
        read_marks(tmp_path / "bed.gpkg", epsg=UTM)


@pytest.mark.parametrize(
    ("column", "value", "word"),
    [
        ("weight", "lots", "no number above 0"),
        ("weight", -1.0, "no number above 0"),
        ("height_m", "2 yd", "no number above 0"),
        ("width_m", 0.0, "no number above 0"),
        ("who", "fawn", "Say buck, doe or either"),
        ("class", "woods", "no class code"),
        ("class", 700, "no class code"),
        ("weight_winter", 1.0, "names no phase"),
        ("weight_la", 1.0, "names no phase"),
        ("phase_weights", "half", "no list of weights"),
    ],
)
def test_a_wrong_value_names_row_and_column(tmp_path, column, value, word):
    frame(BED, **{column: [value], "name": ["Knob"]}).to_file(tmp_path / "bed.gpkg")
    with pytest.raises(MarkError, match=rf"bed\.gpkg, bed, Knob: .*{column}.*{word}"):
        read_marks(tmp_path / "bed.gpkg", epsg=UTM)


def test_column_names_that_a_shapefile_cut_are_understood(tmp_path):
    columns = {"weight_pre": [0.5], "weight_see": [2.0], "weight_lat": [None]}
    shapefile(tmp_path, frame(BED, kind=["food"], **columns), "m")
    mark = read_marks(tmp_path / "m.shp", epsg=UTM)[0][0]
    assert mark.phase_weights == {"pre-rut": 0.5, "seeking": 2.0}


def test_marks_on_the_other_side_of_the_world_are_named_and_left_out(tmp_path):
    near, far = degrees(GATE), shapely.Point(99.0, -45.0)
    frame(near, far, crs=4326, name=["here", "there"]).to_file(tmp_path / "rubs.gpkg")
    marks, notes = read_marks(tmp_path / "rubs.gpkg", epsg=UTM)
    assert [mark.name for mark in marks] == ["here"]
    assert any("there: it lies too far away" in note for note in notes)


def test_marks_in_another_map_system_land_where_they_belong(tmp_path):
    frame(FENCE).to_crs(3735).to_file(tmp_path / "fence.gpkg")
    mark = read_marks(tmp_path / "fence.gpkg", epsg=UTM)[0][0]
    # NAD 83 and WGS 84 count as one here.
    assert mark.geometry.hausdorff_distance(FENCE) < 0.01


def test_messy_marks_reach_the_ground_named(tmp_path):
    """Off the extent: left out; overlapping and in each other: kept; on water: an error."""
    pond = polygon((500, 100), (650, 100), (650, 250), (500, 250))
    shapes = {
        "North bed": ("bed", disc(200, 300)),
        "South bed": ("bed", disc(230, 320)),
        "Bed in the beans": ("bed", disc(600, 450, 15)),
        "Beans": ("food", disc(600, 450, 60)),
        "Far bed": ("bed", disc(9000, 300)),
        "Pond": ("water", pond),
        "Far pond": ("water", disc(-9000, 300)),
    }
    rows = frame(
        *(shape for _, shape in shapes.values()),
        name=list(shapes),
        kind=[kind for kind, _ in shapes.values()],
    )
    rows.to_crs(4326).to_file(tmp_path / "marks.gpkg")
    marks, _ = read_marks(tmp_path / "marks.gpkg", epsg=EPSG)
    place, grids = scene()
    ground = ground_of(with_marks(place, *marks), grids)
    assert [bed.label for bed in ground.beds] == ["North bed", "South bed", "Bed in the beans"]
    assert len(ground.foods[0].cells) > len(ground.beds[2].cells)
    for name in ("Far bed", "Far pond"):
        assert f"{name} lies outside the modelled ground and is left out." in ground.notes
    frame(polygon((540, 140), (600, 140), (600, 200)), name=["Wet"]).to_file(tmp_path / "bed.gpkg")
    wet, _ = read_marks(tmp_path / "bed.gpkg", epsg=EPSG)
    with pytest.raises(MarkError, match="bed Wet: It lies wholly on water"):
        ground_of(with_marks(place, *marks, *wet), grids)


def test_a_property_file_gives_its_boundary_and_its_marks(tmp_path):
    place, _ = scene(
        marks=[
            mark(MarkKind.BED, disc(200, 300), "Knob", who="doe", weight=2.0, note="thick"),
            mark(MarkKind.FOOD, disc(600, 300), "Corn", phase_weights={"pre-rut": 0.5}),
            mark(MarkKind.FENCE, line((0, 0), (800, 0)), "Line fence", height_m=2.0),
            mark(MarkKind.COVER, disc(400, 400), "Cut", cover_class=82),
        ]
    )
    create(tmp_path / "scene.gpkg", place)
    boundary = read_boundary(tmp_path / "scene.gpkg")
    assert boundary.outline.hausdorff_distance(place.boundary) < 1e-6
    marks, _ = read_marks(tmp_path / "scene.gpkg", epsg=EPSG)
    by_name = {one.name: one for one in marks}
    assert len(by_name) == len(place.marks)
    for own in place.marks:
        read = by_name[own.name]
        assert (read.kind, read.name, read.note, read.who) == (
            own.kind,
            own.name,
            own.note,
            own.who,
        )
        assert (read.weight, read.phase_weights) == (own.weight, own.phase_weights)
        assert (read.height_m, read.cover_class) == (own.height_m, own.cover_class)


def test_text_that_is_not_plain_letters_survives(tmp_path):
    frame(BED, name=["Łęg — 鹿 “knob”"]).to_file(tmp_path / "bed.geojson")
    assert read_marks(tmp_path / "bed.geojson", epsg=UTM)[0][0].name == "Łęg — 鹿 “knob”"
