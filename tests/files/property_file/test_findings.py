"""Findings go through the file unchanged, and other programs see their points."""

from dataclasses import fields, replace

import geopandas
import numpy as np
import pytest

from funnelfinder.analysis.findings import Findings
from funnelfinder.files.property_file import (
    create,
    load_findings,
    load_grids,
    load_place,
    save_findings,
    save_grids,
    save_place,
)
from tests import scenes
from tests.files.property_file.made_up import findings_on, is_same

PLACE, GRIDS = scenes.scene(marks=scenes.pair_marks())
FINDINGS = findings_on(GRIDS.cover.grid)


@pytest.fixture
def path(tmp_path):
    create(tmp_path / "hollow.gpkg", PLACE)
    return tmp_path / "hollow.gpkg"


@pytest.mark.parametrize("name", [one.name for one in fields(Findings)])
def test_findings_come_back_equal(tmp_path_factory, name):
    """Field by field, so that the one that differs is named."""
    path = tmp_path_factory.getbasetemp() / "kept_findings.gpkg"
    if not path.exists():
        create(path, PLACE)
        save_findings(path, FINDINGS)
    assert is_same(getattr(load_findings(path), name), getattr(FINDINGS, name))


def test_sameness_sees_a_difference():
    """The test above hangs on it."""
    passage = FINDINGS.passage.copy()
    passage[3, 3] += 1
    cluster = replace(FINDINGS.clusters[0], steadiness=np.nan)
    assert not is_same(FINDINGS, replace(FINDINGS, passage=passage))
    assert not is_same(FINDINGS, replace(FINDINGS, clusters=(cluster, FINDINGS.clusters[1])))


def test_findings_with_nothing_in_them_come_back_equal(path):
    lists = {
        one.name: () for one in fields(Findings) if isinstance(getattr(FINDINGS, one.name), tuple)
    }
    nothing = replace(FINDINGS, **lists, n_redraws=0, caught=0.0)
    save_findings(path, nothing)
    assert is_same(load_findings(path), nothing)


def test_new_property_has_no_findings(path):
    assert load_findings(path) is None


def test_new_findings_take_the_place_of_the_old_and_all_else_stays(path):
    save_grids(path, GRIDS)
    save_findings(path, FINDINGS)
    other = findings_on(replace(GRIDS.cover.grid, n_rows=5), seed=8, notes=())
    save_findings(path, other)
    assert is_same(load_findings(path), other)
    assert is_same(load_grids(path), GRIDS)
    assert load_place(path) == PLACE


def test_marks_saved_later_leave_the_findings(path):
    save_findings(path, FINDINGS)
    save_place(path, replace(PLACE, marks=()))
    assert is_same(load_findings(path), FINDINGS)


def test_the_file_does_not_grow_by_saving_again(path):
    save_findings(path, FINDINGS)
    sizes = []
    for _ in range(4):
        save_findings(path, FINDINGS)
        sizes.append(path.stat().st_size)
    assert sizes[-1] == sizes[0]


def test_other_programs_see_the_points(path):
    save_findings(path, FINDINGS)
    scrapes = geopandas.read_file(path, layer="cluster_scrapes")
    expected = [scrape for one in FINDINGS.clusters for scrape in one.scrapes_m]
    assert [(point.x, point.y) for point in scrapes.geometry] == expected
    assert scrapes.crs.to_epsg() == PLACE.epsg
    assert scrapes["name"].tolist()[:3] == ["Oak saddle"] * 3
    cameras = geopandas.read_file(path, layer="cluster_cameras")
    assert cameras["share"].tolist() == [0.31, 0.1]
    assert cameras["steadiness"].isna().tolist() == [False, True]
    pinches = geopandas.read_file(path, layer="pinch_points")
    assert [(point.x, point.y) for point in pinches.geometry] == [
        (one.x_m, one.y_m) for one in FINDINGS.pinch_points
    ]
    assert set(geopandas.read_file(path, layer="features").geom_type) == {
        "Point",
        "Polygon",
        "LineString",
    }
    assert geopandas.read_file(path, layer="routes").geometry[0].length == pytest.approx(
        np.hypot(*np.diff(FINDINGS.routes[0].points_m, axis=0).T).sum()
    )
