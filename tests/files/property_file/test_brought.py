"""What was brought in is kept whole or not at all, beside what the property had."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import rasterio
from affine import Affine
from pyproj import Transformer

from funnelfinder.errors import PropertyFileError, Stopped
from funnelfinder.files.property_file import (
    Picture,
    brought,
    create,
    forget_grids,
    load,
    load_crops,
    load_origins,
    load_picture,
    load_place,
    save_brought,
    save_grids,
)
from funnelfinder.ground import Origin, travel_grid
from funnelfinder.land_cover import shipped_table
from funnelfinder.progress import Told
from tests import scenes


@pytest.fixture
def kept(tmp_path):
    """A property with grids and marks, and where it is kept."""
    place, grids = scenes.scene(marks=scenes.pair_marks())
    path = tmp_path / "scene.gpkg"
    create(path, place)
    save_grids(path, grids)
    return path, place, grids


def origin(kind, source="Survey"):
    return Origin(
        kind=kind, source=source, file="a.tif", address="https://example.org/a.tif",
        on="2026-11-25", licence="public domain", credit=source, fingerprint="0" * 32,
    )  # fmt: skip


def crops_of(grids, code=1):
    return replace(grids.cover, values=np.full(grids.cover.grid.shape, code, dtype=np.uint8))


def picture_of(place, colour=(10, 200, 90), cell=8.0):
    """A picture of one colour over the property, on cells of the web map."""
    west, south, east, north = travel_grid(place).bounds_m
    to_web = Transformer.from_crs(place.epsg, 3857, always_xy=True)
    left, bottom, right, top = to_web.transform_bounds(west, south, east, north)
    rows, cols = round((top - bottom) / cell) + 8, round((right - left) / cell) + 8
    colours = np.empty((rows, cols, 3), dtype=np.uint8)
    colours[:] = colour
    transform = Affine(cell, 0.0, left - 4 * cell, 0.0, -cell, top + 4 * cell)
    return Picture(colours=colours, transform=transform)


def test_all_of_it_is_there_again(kept):
    path, place, grids = kept
    origins = [origin("crops"), origin("picture")]
    save_brought(
        path, epsg=place.epsg, crops=crops_of(grids), picture=picture_of(place), origins=origins
    )
    assert np.array_equal(load_crops(path).values, crops_of(grids).values)
    grid = travel_grid(place)
    picture = load_picture(path, grid)
    # JPEG at quality 85 keeps one colour within a few steps.
    assert np.abs(picture[3:-3, 3:-3].astype(int) - (10, 200, 90)).max() <= 4
    assert set(load_origins(path)) == set(origins)
    after = load(path)
    assert after.place == place
    assert np.array_equal(after.grids.cover.values, grids.cover.values)


def test_what_is_not_there_is_none(kept):
    path, place, _ = kept
    assert load_crops(path) is None
    assert load_picture(path, travel_grid(place)) is None
    assert load_origins(path) == ()


def test_the_new_takes_the_place_of_the_old_and_the_file_does_not_grow(kept):
    path, place, grids = kept
    save_brought(
        path, epsg=place.epsg, crops=crops_of(grids, 1), picture=picture_of(place),
        origins=[origin("crops", "First"), origin("picture", "First")],
    )  # fmt: skip
    size = path.stat().st_size
    save_brought(
        path, epsg=place.epsg, crops=crops_of(grids, 5), picture=picture_of(place, (90, 90, 90)),
        origins=[origin("crops", "Second"), origin("picture", "Second")],
    )  # fmt: skip
    assert np.unique(load_crops(path).values).tolist() == [5]
    assert {one.source for one in load_origins(path)} == {"Second"}
    assert path.stat().st_size < 1.2 * size


def test_one_kind_leaves_the_others_alone(kept):
    path, place, grids = kept
    save_brought(
        path, epsg=place.epsg, crops=crops_of(grids), picture=picture_of(place),
        origins=[origin("crops"), origin("picture")],
    )  # fmt: skip
    save_brought(
        path, epsg=place.epsg, crops=crops_of(grids, 24), origins=[origin("crops", "Later")]
    )
    assert load_picture(path, travel_grid(place)) is not None
    assert {(one.kind, one.source) for one in load_origins(path)} == {
        ("crops", "Later"),
        ("picture", "Survey"),
    }


def test_cover_and_its_legend_come_together(kept):
    path, place, grids = kept
    table = shipped_table("worldcover")
    world = replace(grids, cover=crops_of(grids, 10))
    save_brought(path, epsg=place.epsg, grids=world, table=table)
    after = load(path)
    assert after.place == replace(place, cover_table=table)
    assert np.unique(after.grids.cover.values).tolist() == [10]


@pytest.mark.parametrize("step", ["_write_table", "_write_crops", "_write_picture", "_forget"])
def test_a_step_that_fails_leaves_the_file_as_it_was(kept, monkeypatch, step):
    path, place, grids = kept
    before = path.read_bytes()

    def full(*words, **more):
        raise PropertyFileError("The disk is full.")

    monkeypatch.setattr(brought, step, full)
    with pytest.raises(PropertyFileError, match="full"):
        save_brought(
            path, epsg=place.epsg, grids=grids, table=shipped_table("worldcover"),
            crops=crops_of(grids), picture=picture_of(place),
        )  # fmt: skip
    assert path.read_bytes() == before
    assert [one.name for one in path.parent.iterdir() if "gpkg" in one.name] == [path.name]


def test_a_stop_leaves_the_file_as_it_was(kept):
    path, place, grids = kept
    before = path.read_bytes()
    progress = Told(lambda share, words: None, lambda: True)
    with pytest.raises(Stopped):
        save_brought(path, epsg=place.epsg, grids=grids, progress=progress)
    with pytest.raises(Stopped):
        save_brought(path, epsg=place.epsg, picture=picture_of(place), progress=progress)
    assert path.read_bytes() == before


def test_other_programs_see_a_picture_and_grids_in_it(kept):
    """Rasters of a GeoPackage (OGC 12-128), read by GDAL as any other file of its kind."""
    path, place, grids = kept
    save_brought(path, epsg=place.epsg, picture=picture_of(place), crops=crops_of(grids))
    with rasterio.open(f"GPKG:{path}:picture") as seen:
        assert (seen.crs.to_epsg(), seen.count >= 3) == (3857, True)
    with rasterio.open(f"GPKG:{path}:crops") as seen:
        assert seen.crs.to_epsg() == place.epsg


def test_a_picture_is_white_beyond_its_end(kept):
    path, place, _ = kept
    save_brought(path, epsg=place.epsg, picture=picture_of(place))
    grid = travel_grid(place)
    wide = replace(grid, west_m=grid.west_m - 2000, n_cols=grid.n_cols + round(2000 / grid.cell_m))
    picture = load_picture(path, wide)
    assert (picture[:, 0] == 255).all()
    assert not picture.flags.writeable


def test_what_is_no_property_is_told(tmp_path):
    path = tmp_path / "notes.gpkg"
    path.write_text("Buy corn.")
    place, _ = scenes.scene()
    for read in (load_crops, load_origins, lambda one: load_picture(one, travel_grid(place))):
        with pytest.raises(PropertyFileError):
            read(path)
    with pytest.raises(PropertyFileError):
        save_brought(path, epsg=place.epsg, picture=picture_of(place))
    assert path.read_text() == "Buy corn."


def test_a_place_with_a_new_table_keeps_all_else(kept):
    path, place, grids = kept
    save_brought(path, epsg=place.epsg, grids=grids, table=shipped_table("worldcover"))
    assert load_place(path).marks == place.marks
    assert load_place(path).settings == place.settings


def test_grids_of_ones_own_take_the_credits_away(kept):
    path, place, grids = kept
    brought_in = replace(grids, origins=(origin("elevation"), origin("cover")))
    save_brought(path, epsg=place.epsg, grids=brought_in)
    assert load(path).grids.credits
    save_grids(path, grids)
    assert load(path).grids.credits == ()
    assert load_origins(path) == ()


def test_forgotten_grids_are_gone_with_their_legend_and_all_else_stays(kept):
    path, place, grids = kept
    world = shipped_table("worldcover")
    brought_grids = replace(grids, origins=(origin("elevation"), origin("cover")), notes=("A.",))
    picture = picture_of(place)
    save_brought(
        path, epsg=place.epsg, grids=brought_grids, table=world, picture=picture,
        origins=[origin("picture")],
    )  # fmt: skip
    forget_grids(path, epsg=place.epsg, table=place.cover_table)
    after = load(path)
    assert after.grids is None
    assert after.place == place
    assert [one.kind for one in load_origins(path)] == ["picture"]
    assert load_picture(path, travel_grid(place)) is not None
    # They can come again.
    save_brought(path, epsg=place.epsg, grids=grids)
    again = load(path).grids
    assert np.array_equal(again.elevation.values, grids.elevation.values)
    assert again.notes == grids.notes
    assert again.origins == ()
