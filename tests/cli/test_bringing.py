"""Bringing in and suggesting from the command line; servers are our own, on the loopback."""

from __future__ import annotations

import os
import pty
import subprocess
import sys

import numpy as np
import pytest

from funnelfinder.errors import Stopped
from funnelfinder.files import property_file
from funnelfinder.files.property_file import (
    create,
    load,
    load_crops,
    load_origins,
    load_picture,
    load_place,
    save_grids,
)
from funnelfinder.files.sources import wire
from funnelfinder.ground import travel_grid
from tests import scenes
from tests.cli import made
from tests.files.sources.world import World
from tests.files.test_own_picture import halves
from tests.suggestions.test_beds import hill
from tests.suggestions.test_suggestions import mixed


@pytest.fixture
def world(tmp_path, monkeypatch):
    """A small public world, a property in it, and nothing kept from before."""
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    monkeypatch.setenv("no_proxy", "127.0.0.1")
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))
    monkeypatch.setattr(wire.Wire, "_wait", lambda self, seconds: None)
    folder = tmp_path / "world"
    folder.mkdir()
    one = World(folder)
    one.third()
    one.cover()
    create(tmp_path / "scene.gpkg", one.place)
    one.table(tmp_path / "sources.csv")
    yield one
    one.close()


def bring(tmp_path, *words):
    """Run the verb with the table that leads to our own server."""
    path = tmp_path / "scene.gpkg"
    return made.funnelfinder("bring", path, "--source-table", tmp_path / "sources.csv", *words)


def test_one_verb_brings_elevation_and_cover(world, tmp_path):
    result = bring(tmp_path, "--yes")
    assert result.exit_code == 0, result.stderr
    said = " ".join(result.stdout.split())
    assert "Elevation: 3DEP 1/3 arc-second from 127.0.0.1, 1 file, about" in said
    assert "only where those before leave gaps" in said
    assert "Scene: elevation every 10 yards, cover every 33 yards." in said
    assert "is from 3DEP 1/3 arc-second." in result.stderr
    kept = load(tmp_path / "scene.gpkg")
    assert np.isfinite(kept.grids.elevation.values).all()
    assert kept.place.cover_table.legend == "nlcd"


def test_without_a_yes_and_nobody_there_nothing_is_asked(world, tmp_path):
    before = (tmp_path / "scene.gpkg").read_bytes()
    result = bring(tmp_path)
    assert result.exit_code == 1
    assert "there is no one here to say yes" in result.stderr
    assert "--yes" in result.stderr
    assert world.asked() == []
    assert (tmp_path / "scene.gpkg").read_bytes() == before


@pytest.mark.parametrize(("answer", "is_asked"), [(b"\n", False), (b"y\n", True)])
def test_at_a_terminal_the_person_is_asked(world, tmp_path, answer, is_asked):
    """A real terminal of the system's, its keys typed beforehand."""
    above, below = pty.openpty()
    try:
        os.write(above, answer)
        done = subprocess.run(
            [
                *(sys.executable, "-m", "funnelfinder", "bring", tmp_path / "scene.gpkg"),
                *("--source-table", tmp_path / "sources.csv"),
            ],
            stdin=below,
            capture_output=True,
            text=True,
            check=False,
        )
    finally:
        os.close(above)
        os.close(below)
    assert "Ask them? [y/N]" in done.stdout
    assert "Nothing else is sent but the box" in done.stdout
    assert bool(world.asked()) is is_asked
    assert done.returncode == (0 if is_asked else 130)
    assert (load(tmp_path / "scene.gpkg").grids is not None) is is_asked


def test_a_picture_and_crops_come_by_name(world, tmp_path):
    world.pictures()
    world.crops()
    assert bring(tmp_path, "--yes", "--picture", "--crops").exit_code == 0
    path = tmp_path / "scene.gpkg"
    assert load(path).grids is None
    assert {one.kind for one in load_origins(path)} == {"picture", "crops"}
    assert set(np.unique(load_crops(path).values)) == {1, 36}
    assert load_picture(path, travel_grid(world.place)) is not None


def test_cover_of_another_legend_comes_with_it(world, tmp_path):
    (world.folder / "geoserver/mrlc_download/wcs").unlink()
    world.world_cover()
    settings = tmp_path / "own.csv"
    settings.write_text("code,resistance,woody\n41,1.7,1\n")
    path = tmp_path / "scene.gpkg"
    made.funnelfinder("settings", path, "--cover-table", settings)
    result = bring(tmp_path, "--yes")
    assert result.exit_code == 0, result.stderr
    assert load_place(path).cover_table.legend == "worldcover"
    assert "The costs of your own for nlcd gave way to those of worldcover" in result.stderr


def test_a_fault_leaves_the_property_as_it_was(world, tmp_path):
    before = (tmp_path / "scene.gpkg").read_bytes()
    world.faults({"path": "USGS_13", "fault": "503"})
    result = bring(tmp_path, "--yes")
    assert result.exit_code == 1
    assert "The server is busy (answer 503)" in result.stderr
    assert "Traceback" not in result.stderr
    assert (tmp_path / "scene.gpkg").read_bytes() == before


def test_a_stop_while_it_is_kept_leaves_the_property_as_it_was(world, tmp_path, monkeypatch):
    before = (tmp_path / "scene.gpkg").read_bytes()

    def stop(*words):
        raise Stopped("Stopped.")

    # The grids are in the new file, their legend is not.
    monkeypatch.setattr(property_file.brought, "write_coverage", stop)
    monkeypatch.setattr(property_file.brought, "put_cover_table", stop)
    (world.folder / "geoserver/mrlc_download/wcs").unlink()
    world.world_cover()
    assert bring(tmp_path, "--yes").exit_code == 130
    assert (tmp_path / "scene.gpkg").read_bytes() == before
    assert sorted(one.name for one in tmp_path.glob("*.gpkg*")) == ["scene.gpkg"]


def test_what_is_kept_is_said_and_thrown_away(world, tmp_path):
    bring(tmp_path, "--yes")
    said = " ".join(made.funnelfinder("bring", "--kept").stdout.split())
    assert f"KB, in {tmp_path / 'cache' / 'funnelfinder' / 'sources'}." in said
    assert "Thrown away:" in made.funnelfinder("bring", "--empty-kept").stdout
    assert "nothing" in made.funnelfinder("bring", "--kept").stdout
    assert load(tmp_path / "scene.gpkg").grids is not None


def test_a_table_in_the_usual_place_is_used(world, tmp_path):
    folder = tmp_path / "config" / "funnelfinder"
    folder.mkdir(parents=True)
    (tmp_path / "sources.csv").rename(folder / "sources.csv")
    result = made.funnelfinder("bring", tmp_path / "scene.gpkg", "--yes")
    assert result.exit_code == 0, result.stderr
    assert world.asked()


def test_a_picture_of_ones_own_asks_nobody(world, tmp_path):
    own = halves(tmp_path / "air.tif", driver="GTiff")
    result = bring(tmp_path, "--own-picture", own)
    assert result.exit_code == 0, result.stderr
    assert "your picture air.tif lies behind the map" in result.stdout
    assert world.asked() == []
    both = bring(tmp_path, "--own-picture", own, "--picture")
    assert both.exit_code == 2


def test_suggestions_are_told_and_written_and_read_back(tmp_path):
    place, grids = scenes.scene(height=hill, cover=mixed)
    path, file = tmp_path / "scene.gpkg", tmp_path / "likely.geojson"
    create(path, place)
    save_grids(path, grids)
    before = path.read_bytes()
    result = made.funnelfinder("suggest", path, file)
    assert result.exit_code == 0, result.stderr
    assert "Food: Crop field, south." in result.stdout
    assert "Bed: " in result.stdout
    assert path.read_bytes() == before
    taken = made.funnelfinder("marks", path, file)
    assert taken.exit_code == 0, taken.stderr
    assert load_place(path).marks
    again = made.funnelfinder("suggest", path)
    assert "Crop field, south." not in again.stdout


def test_suggestions_need_grids(tmp_path):
    result = made.funnelfinder("suggest", made.bare(tmp_path))
    assert result.exit_code == 1
    assert "no grids" in result.stderr
    assert "funnelfinder bring" in result.stderr


def test_suggestions_are_written_as_geojson_only(tmp_path):
    assert made.funnelfinder("suggest", made.bare(tmp_path), tmp_path / "a.kml").exit_code == 2
