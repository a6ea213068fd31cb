"""Camera records come back from the property file as they went in, whole or not at all."""

from __future__ import annotations

import sqlite3
from contextlib import closing

import pytest

from funnelfinder.errors import PropertyFileError
from funnelfinder.evidence import CameraLog, CameraStay, Deer, Sighting
from funnelfinder.files.property_file import change_cameras, create, load_cameras, load_log
from tests import scenes


def log() -> CameraLog:
    """A camera with two sightings."""
    stay = CameraStay(
        name="Saddle",
        key="one",
        begun="2026-10-01T12:00:00-04:00",
        ended="2026-10-21T12:00:00-04:00",
        x_m=400_100.5,
        y_m=4_300_100.25,
        note="On the oak.",
    )
    return CameraLog(
        stays=(stay,),
        sightings=(
            Sighting(stay="one", at="2026-10-05T07:30:00-04:00", deer=Deer.MATURE_BUCK, n_deer=2),
            Sighting(stay="one", at="2026-10-06T22:30:00-04:00", note="Ears only."),
        ),
    )


@pytest.fixture
def path(tmp_path):
    """A new property file."""
    file = tmp_path / "scene.gpkg"
    create(file, scenes.scene()[0])
    return file


def test_records_come_back_as_they_went_in(path):
    assert load_cameras(path) == CameraLog()
    before, after = change_cameras(path, lambda kept: kept.with_records(log()), epsg=scenes.EPSG)
    assert (before, after) == (CameraLog(), log())
    assert load_cameras(path) == log()


def test_a_change_is_taken_back_by_what_was_before(path):
    change_cameras(path, lambda _: log(), epsg=scenes.EPSG)
    before, _ = change_cameras(path, lambda kept: kept.without("one"), epsg=scenes.EPSG)
    assert load_cameras(path) == CameraLog()
    change_cameras(path, lambda _: before, epsg=scenes.EPSG)
    assert load_cameras(path) == log()
    assert load_log(path) == ()


def test_a_change_that_fails_leaves_the_records_as_they_were(path):
    change_cameras(path, lambda _: log(), epsg=scenes.EPSG)

    def fail(_: CameraLog) -> CameraLog:
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        change_cameras(path, fail, epsg=scenes.EPSG)
    assert load_cameras(path) == log()


@pytest.mark.parametrize(
    "harm",
    [
        "UPDATE sightings SET deer = 'elk'",
        "UPDATE sightings SET stay = 'two'",
        "UPDATE cameras SET ended = begun",
        "UPDATE cameras SET geom = NULL",
    ],
)
def test_records_that_another_program_spoilt_are_told(path, harm):
    change_cameras(path, lambda _: log(), epsg=scenes.EPSG)
    with closing(sqlite3.connect(path)) as db, db:
        db.execute(harm)
    with pytest.raises(PropertyFileError, match="camera"):
        load_cameras(path)
