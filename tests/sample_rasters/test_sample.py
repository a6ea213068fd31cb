"""The sample property: its files say what they should, and grow again from their seed."""

import csv
import json

import numpy as np
import pyproj
import pytest
import rasterio
import shapely

from funnelfinder.land_cover import shipped_table
from funnelfinder.marks import Mark, MarkKind
from sample_rasters import sample_files
from sample_rasters.grow import DEGREE_DECIMALS, grown, write_boundary, write_built_in, write_marks

FILES = sample_files()
#: International acre (NIST Handbook 44, Appendix C) [m²].
ACRE_M2 = 4046.8564224
SURROUND_M = 800.0
#: Farthest that a bed and a food source are linked by default [m].
TOO_FAR_M = 2000.0
COLUMNS = {"who", "crop", "height_m", "width_m"}


def features(path):
    return json.loads(path.read_text(encoding="utf-8"))["features"]


def on_map(geometry):
    to_map = pyproj.Transformer.from_crs(4326, 32617, always_xy=True)
    return shapely.transform(
        shapely.geometry.shape(geometry),
        lambda points: np.column_stack(to_map.transform(points[:, 0], points[:, 1])),
    )


@pytest.fixture(scope="module")
def boundary():
    (only,) = features(FILES.boundary)
    return on_map(only["geometry"])


@pytest.fixture(scope="module")
def marks():
    return [
        Mark(
            kind=MarkKind(one["properties"]["kind"]),
            name=one["properties"]["name"],
            geometry=on_map(one["geometry"]),
            **{key: one["properties"][key] for key in COLUMNS & set(one["properties"])},
        )
        for one in features(FILES.marks)
    ]


@pytest.fixture(scope="module")
def again():
    return grown()


def read(path):
    with rasterio.open(path) as dataset:
        return dataset.read(1), dataset.profile, dataset.bounds, dataset.units[0]


def of_kind(marks, *kinds):
    return [mark for mark in marks if mark.kind in kinds]


def test_all_files_together_are_small():
    folder = FILES.boundary.parent
    assert sum(file.stat().st_size for file in folder.iterdir() if file.is_file()) <= 5_000_000


def test_the_property_is_about_640_acres(boundary):
    assert boundary.area / ACRE_M2 == pytest.approx(640, abs=10)


@pytest.mark.parametrize(("path", "coarsest_m"), [(FILES.elevation, 3.0), (FILES.cover, 10.0)])
def test_grids_reach_over_boundary_and_surround(path, coarsest_m, boundary):
    values, profile, bounds, _ = read(path)
    assert profile["crs"].to_epsg() == 32617
    assert profile["transform"].a == -profile["transform"].e <= coarsest_m
    # The travel cells are 5 m: fine cells must divide them.
    assert (5.0 / profile["transform"].a).is_integer()
    assert min(bounds.right - bounds.left, bounds.top - bounds.bottom) >= 3_300
    around = boundary.buffer(SURROUND_M).bounds
    assert bounds.left <= around[0]
    assert bounds.bottom <= around[1]
    assert bounds.right >= around[2]
    assert bounds.top >= around[3]
    assert np.isfinite(values.astype(float)).all()


def test_heights_are_hill_country_in_metres(boundary):
    heights, _, _, unit = read(FILES.elevation)
    assert unit == "m"
    assert heights.dtype == np.float32
    assert 60 <= np.ptp(heights) <= 120
    # No cliffs, pits or stripes of one cell: the ground is smooth at 2.5 m.
    steps = np.abs(np.diff(heights, axis=0)).max(), np.abs(np.diff(heights, axis=1)).max()
    assert max(steps) < 2.5


def test_cover_is_coded_as_nlcd_and_varied():
    codes, *_ = read(FILES.cover)
    known = shipped_table(FILES.legend).by_code
    assert set(np.unique(codes)) <= set(known)
    assert {41, 42, 43, 52, 81, 82, 90} <= set(np.unique(codes))
    assert 0.6 < np.isin(codes, [41, 42, 43, 52, 90]).mean() < 0.98


def test_heights_and_cover_grow_again_from_the_seed(again):
    heights, *_ = read(FILES.elevation)
    codes, *_ = read(FILES.cover)
    # Another build of numpy or scipy may round a height to the next sixteenth of a metre.
    far = np.abs(again.elevation_m - heights)
    assert (far > 0).mean() < 0.001
    assert far.max() < 0.5
    assert (again.cover != codes).mean() < 0.001


def test_boundary_marks_and_funnels_are_written_again_alike(tmp_path):
    for write in (write_boundary, write_marks, write_built_in):
        write(tmp_path)
    for written in tmp_path.iterdir():
        kept = FILES.boundary.parent / written.name
        assert written.read_text(encoding="utf-8") == kept.read_text(encoding="utf-8")


def test_outlines_follow_the_geojson_standard():
    # RFC 7946: no crs member (4), outer rings counter-clockwise (3.1.6), closed (3.1.6).
    for path in (FILES.boundary, FILES.marks):
        whole = json.loads(path.read_text(encoding="utf-8"))
        assert "crs" not in whole
        for one in whole["features"]:
            shape = shapely.geometry.shape(one["geometry"])
            if isinstance(shape, shapely.Polygon):
                assert shape.exterior.is_ccw
            points = shapely.get_coordinates(shape)
            assert np.array_equal(points, np.round(points, DEGREE_DECIMALS))


def test_every_mark_is_valid_and_named(marks):
    names = [mark.name for mark in marks]
    assert all(names)
    assert len(set(names)) == len(names)


def test_what_a_hunter_marks_is_there(marks):
    for kind, least in {
        MarkKind.BED: 3,
        MarkKind.FOOD: 2,
        MarkKind.FENCE: 2,
        MarkKind.GAP: 2,
        MarkKind.CREEK: 1,
        MarkKind.CROSSING: 1,
        MarkKind.WAY_IN: 1,
        MarkKind.HOUSE: 1,
        MarkKind.ROAD: 1,
        MarkKind.KEEP_OFF: 1,
    }.items():
        assert len(of_kind(marks, kind)) >= least, kind
    assert {mark.who for mark in of_kind(marks, MarkKind.BED)} == {"buck", "doe"}
    signs = of_kind(marks, MarkKind.RUB, MarkKind.SCRAPE, MarkKind.TRACKS, MarkKind.TRAIL)
    assert len({mark.kind for mark in signs}) == 4


def test_beds_food_and_gates_lie_on_the_property(marks, boundary):
    for mark in of_kind(marks, MarkKind.BED, MarkKind.FOOD):
        assert boundary.contains(mark.geometry), mark.name
    for mark in of_kind(marks, MarkKind.WAY_IN):
        assert boundary.buffer(1.0).contains(mark.geometry), mark.name
        assert boundary.exterior.distance(mark.geometry) < 60, mark.name


def test_every_bed_has_food_within_reach(marks):
    for bed in of_kind(marks, MarkKind.BED):
        distances = [bed.geometry.distance(f.geometry) for f in of_kind(marks, MarkKind.FOOD)]
        assert max(distances) < TOO_FAR_M
        assert min(distances) > 50, bed.name


def test_gaps_and_the_ford_lie_on_their_lines(marks):
    fences = shapely.union_all([mark.geometry for mark in of_kind(marks, MarkKind.FENCE)])
    creek = shapely.union_all([mark.geometry for mark in of_kind(marks, MarkKind.CREEK)])
    for gap in of_kind(marks, MarkKind.GAP):
        assert gap.geometry.distance(fences) < 0.5, gap.name
    for crossing in of_kind(marks, MarkKind.CROSSING):
        assert crossing.geometry.distance(creek) < 0.5, crossing.name


def test_the_creek_runs_downhill_in_its_bed(marks):
    heights, profile, *_ = read(FILES.elevation)
    (creek,) = of_kind(marks, MarkKind.CREEK)
    line = shapely.segmentize(creek.geometry, 5.0)
    cols, rows = ~profile["transform"] @ shapely.get_coordinates(line).T
    inside = (rows >= 0) & (rows < heights.shape[0]) & (cols >= 0) & (cols < heights.shape[1])
    bed = heights[rows[inside].astype(int), cols[inside].astype(int)]
    assert bed[0] - bed[-1] > 5
    # A pool may be a hand deep, no more.
    assert (bed - np.minimum.accumulate(bed)).max() < 0.3


def test_five_funnels_are_written_down(boundary):
    with FILES.built_in.open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    kinds = [row["kind"] for row in rows]
    assert sorted(kinds) == ["bench", "crossing", "inside corner", "neck", "saddle"]
    for row in rows:
        point = {"type": "Point", "coordinates": [float(row["lon_deg"]), float(row["lat_deg"])]}
        assert boundary.contains(on_map(point)), row["name"]
