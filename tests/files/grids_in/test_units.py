"""Heights in any unit."""

from __future__ import annotations

import numpy as np
import pytest
import rasterio

from funnelfinder.errors import GridError
from funnelfinder.units import FOOT_M, US_SURVEY_FOOT_M
from tests.files.grids_in.written import (
    UTM,
    errors_m,
    read,
    written,
)


def test_state_plane_feet_without_a_height_unit_are_asked_for(tmp_path, cover):
    file = written(tmp_path / "hill.tif", crs="EPSG:3735", cell=(16.0, 16.0), half=320.0)
    with pytest.raises(GridError, match=r"hill\.tif: Its map is in feet.*Pass the height unit"):
        read(file, cover)
    grids, _ = read(file, cover, height_unit="m")
    assert np.nanpercentile(errors_m(grids), 99) < 0.15


@pytest.mark.parametrize("word", ["us-ft", "ft", "feet"])
def test_the_unit_told_is_used(tmp_path, cover, word):
    file = written(
        tmp_path / "hill.tif",
        crs="EPSG:3735",
        cell=(16.0, 16.0),
        half=320.0,
        change=lambda values: values / FOOT_M,
    )
    grids, _ = read(file, cover, height_unit=word)
    assert np.nanpercentile(errors_m(grids), 99) < 0.15


def test_a_band_says_its_unit(tmp_path, cover):
    file = written(
        tmp_path / "hill.tif", units="us-ft", change=lambda values: values / US_SURVEY_FOOT_M
    )
    grids, _ = read(file, cover)
    assert np.nanmax(errors_m(grids)) < 0.01


def test_metres_are_taken_with_a_note_on_a_metric_map(tmp_path, cover):
    grids, _ = read(written(tmp_path / "hill.tif"), cover)
    assert "hill.tif: the unit of heights is not stated; metres were taken." in grids.notes


def test_the_word_of_the_person_overrules_the_file_and_is_noted(tmp_path, cover):
    file = written(
        tmp_path / "hill.tif", crs=f"EPSG:{UTM}+5703", change=lambda values: values / FOOT_M
    )
    grids, _ = read(file, cover, height_unit="ft")
    assert np.nanmax(errors_m(grids)) < 0.01
    assert any("it says metres" in note for note in grids.notes)


def test_a_file_that_contradicts_itself_is_asked_about(tmp_path, cover):
    file = written(tmp_path / "hill.tif", crs=f"EPSG:{UTM}+5703", units="us-ft")
    with pytest.raises(GridError, match="Its vertical system says metres, its band feet"):
        read(file, cover)
    assert read(file, cover, height_unit="m")


def test_a_surface_model_is_named_as_one(tmp_path, cover):
    # Copernicus GLO-30 is one, by its file names (Copernicus_DSM_COG_10_N40_00_W084_00_DEM.tif).
    grids, _ = read(written(tmp_path / "World_DSM_10_N40.tif"), cover)
    assert any("World_DSM_10_N40.tif: by its name it is a surface" in note for note in grids.notes)
    grids, _ = read(written(tmp_path / "windsmill.tif"), cover)
    assert not any("surface model" in note for note in grids.notes)


def test_an_unknown_unit_is_an_error(tmp_path, cover):
    with pytest.raises(GridError, match="'fathoms' is no unit of heights"):
        read(written(tmp_path / "hill.tif"), cover, height_unit="fathoms")


def test_scaled_integers_are_unscaled(tmp_path, cover):
    file = written(tmp_path / "hill.tif", dtype="int16", change=lambda values: values * 10)
    with rasterio.open(file, "r+") as dataset:
        dataset.scales, dataset.offsets = (0.1,), (0.0,)
    grids, _ = read(file, cover)
    assert np.nanmax(errors_m(grids)) < 0.11
