"""Decisions on stands by the command line."""

from __future__ import annotations

import numpy as np
import pytest

from funnelfinder.cli.said_sits import CAUTIONS
from funnelfinder.declination import lon_lat_deg
from funnelfinder.files.property_file import create, load_place, save_findings, save_grids
from tests import scenes
from tests.analysis.small import small_property
from tests.cli import made
from tests.stands import ready


@pytest.fixture
def path(tmp_path):
    place, grids = small_property()
    create(tmp_path / "scene.gpkg", place)
    save_grids(tmp_path / "scene.gpkg", grids)
    save_findings(tmp_path / "scene.gpkg", ready.found()[1])
    return tmp_path / "scene.gpkg"


def stand(path, *words):
    result = made.funnelfinder("stand", path, *words)
    return result, " ".join(result.stdout.split())


def test_a_stand_is_taken_left_listed_and_forgotten(path):
    assert "Nothing is decided" in stand(path)[1]
    first, second = (one.name for one in ready.stands()[:2])
    assert stand(path, "take", second, "--shot", "30", "--note", "ladder")[0].exit_code == 0
    assert stand(path, "leave", first)[0].exit_code == 0
    taken, left = load_place(path).stands
    assert (taken.name, taken.is_taken, taken.note) == (second, True, "ladder")
    assert taken.shot_m == pytest.approx(27.432)
    assert not left.is_taken
    said = stand(path, "list")[1]
    assert f"1. {second}: taken, shot 30 yards" in said
    assert "2. without a name: left out" in said
    assert stand(path, "forget", "2")[0].exit_code == 0
    assert stand(path, "forget", second)[0].exit_code == 0
    assert load_place(path).stands == ()


def test_one_is_put_where_the_gps_says_and_judged(path):
    spot = ready.found()[1].clusters[0]
    ((lon, lat),) = lon_lat_deg(np.array([spot.camera_m]), scenes.EPSG)
    result, said = stand(path, "put", f"{lat:.7f},{lon:.7f}", "--name", "Twin oak")
    assert result.exit_code == 0, result.stderr
    (pick,) = load_place(path).stands
    assert pick.is_by_hand
    assert (pick.x_m, pick.y_m) == pytest.approx(spot.camera_m, abs=0.05)
    assert "Twin oak is put." in said
    assert "It breaks a rule: " in said
    assert all(" ".join(one.split()) in said for one in CAUTIONS)
    again, _ = stand(path, "put", f"{lat:.7f},{lon:.7f}", "--name", "Twin oak")
    assert again.exit_code == 1
    assert "same name" in again.stderr


@pytest.mark.parametrize(
    "words",
    [("climb", "S1A"), ("take", "S99Z"), ("put", "north"), ("put", "99,0"), ("forget", "x")],
)
def test_what_cannot_be_is_told_and_changes_nothing(path, words):
    assert stand(path, *words)[0].exit_code == 2
    assert load_place(path).stands == ()
