"""Never half a grid: what one source lacks another fills, or the property stays as it was."""

from __future__ import annotations

import json
from dataclasses import replace

import numpy as np
import pytest
import shapely.affinity

from funnelfinder.errors import SourceError
from funnelfinder.files.property_file import create, save_brought
from funnelfinder.files.sources.faults import Fault, WireError
from tests.files.sources.test_bring import METRE, NLCD, THIRD, WORLD, brought, check_heights
from tests.files.sources.world import degree_grid

PROJECT, SURFACE = "3DEP 1 m, by project", "Copernicus GLO-30"


def two_tiles(world):
    """Two tiles of one source, west and east of the place's middle, named by the look-up."""
    cell = 1 / 40000
    for name, west in (("west", world.lon - 400 * cell), ("east", world.lon)):
        degree_grid(
            world.folder / f"{name}.tif", west, world.lat + 200 * cell, cell, 400, nodata=-999999
        )
    items = [
        {
            "title": f"USGS 1 meter {name}",
            "publicationDate": "2025-01-01",
            "downloadURL": f"http://SERVER/{name}.tif",
            "boundingBox": {},
        }
        for name in ("west", "east")
    ]
    listed = world.folder / "api/v1/products"
    listed.parent.mkdir(parents=True)
    listed.write_text(json.dumps({"total": 2, "items": items}))


def no_network(monkeypatch):
    """From now on every question meets that there is no network."""

    def gone(*words, **more):
        raise WireError(Fault.NO_NETWORK, where="example.org")

    monkeypatch.setattr("funnelfinder.files.sources.wire.Wire.get", gone)


def test_tiles_that_a_look_up_names_are_joined(world, tmp_path):
    two_tiles(world)
    world.cover()
    found = brought(world, tmp_path, PROJECT, NLCD)
    check_heights(found.grids.elevation)
    assert np.isfinite(found.grids.elevation.values).all()
    assert {one.file for one in found.grids.origins} >= {"west.tif", "east.tif"}


@pytest.mark.parametrize("fault", ["503", "cut", "429"])
def test_half_of_a_source_is_not_kept_where_nothing_fills_the_rest(world, tmp_path, fault):
    two_tiles(world)
    world.cover()
    path = tmp_path / "scene.gpkg"
    create(path, world.place)
    before = path.read_bytes()
    world.faults({"path": "east.tif", "fault": fault, "at": 5})
    with pytest.raises(SourceError, match=r"in part only: \d\d % of the extent") as told:
        brought(world, tmp_path, PROJECT, NLCD)
    assert "east.tif" in told.value.where
    assert path.read_bytes() == before
    # Once the server is well again only what is missing is asked for.
    n_asked = len(world.asked())
    world.faults()
    found = brought(world, tmp_path, PROJECT, NLCD)
    save_brought(path, epsg=world.place.epsg, grids=found.grids)
    assert np.isfinite(found.grids.elevation.values).all()
    assert not any("west.tif" in line for line in world.asked()[n_asked:])


def test_half_of_a_source_is_filled_by_the_next(world, tmp_path):
    two_tiles(world)
    world.third()
    world.cover()
    world.faults({"path": "east.tif", "fault": "503"})
    found = brought(world, tmp_path, PROJECT, THIRD, NLCD)
    check_heights(found.grids.elevation)
    assert np.isfinite(found.grids.elevation.values).all()
    said = " ".join(found.notes)
    assert "in the west, is from 3DEP 1 m, by project" in said
    assert "in the east, is from 3DEP 1/3 arc-second" in said
    assert "east.tif on 127.0.0.1: The server is busy" in said


def test_ground_that_no_source_has_is_a_hole_that_is_told(world, tmp_path):
    """Beyond a coast nothing is published: that is no fault, and no reason to refuse."""
    two_tiles(world)
    (world.folder / "east.tif").unlink()
    world.cover()
    found = brought(world, tmp_path, PROJECT, NLCD)
    assert np.isnan(found.grids.elevation.values).any()
    assert any("No source has elevation for" in note for note in found.notes)


def test_next_door_works_from_what_is_kept_without_a_network(world, tmp_path, monkeypatch):
    world.third()
    world.cover()
    brought(world, tmp_path, THIRD, NLCD)
    no_network(monkeypatch)
    inner = replace(world.place, boundary=shapely.affinity.scale(world.place.boundary, 0.4, 0.4))
    # The finer source was never asked before and cannot be asked now.
    found = brought(world, tmp_path, METRE, THIRD, SURFACE, WORLD, NLCD, place=inner)
    check_heights(found.grids.elevation)
    assert np.isfinite(found.grids.elevation.values).all()
    assert found.grids.cover.source == NLCD
    assert any("There is no network" in note for note in found.notes)


def test_next_door_without_a_network_says_what_is_missing(world, tmp_path, monkeypatch):
    two_tiles(world)
    world.cover()
    (tmp_path / "first").mkdir()
    brought(world, tmp_path, PROJECT, NLCD)
    no_network(monkeypatch)
    beyond = replace(world.place, boundary=shapely.affinity.translate(world.place.boundary, 600.0))
    with pytest.raises(SourceError, match="no network"):
        brought(world, tmp_path, PROJECT, NLCD, place=beyond)


def test_one_unknown_name_is_an_address_and_all_unknown_is_no_network(monkeypatch, world, tmp_path):
    def unknown(self, address, **more):
        raise WireError(Fault.NO_NAME, where=address[8:30])

    monkeypatch.setattr("funnelfinder.files.sources.wire.Wire.get", unknown)
    with pytest.raises(SourceError, match="name of the server is not known"):
        brought(world, tmp_path, THIRD, NLCD)
    other = replace(world.source(SURFACE), address="https://elsewhere.example/{name}")
    with pytest.raises(SourceError, match="no network") as told:
        brought(world, tmp_path, THIRD, other, NLCD)
    assert "Go online" in told.value.remedy
