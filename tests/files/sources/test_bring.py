"""What comes from the sources is right, whole and said; against a server of our own."""

from __future__ import annotations

import threading
from dataclasses import replace

import numpy as np
import pytest
import shapely
import shapely.affinity
from pyproj import Transformer

from funnelfinder.errors import GridError, SourceError, Stopped
from funnelfinder.files.property_file import (
    create,
    load,
    load_crops,
    load_origins,
    load_picture,
    save_brought,
)
from funnelfinder.files.sources import Bring, Patience, bring_in, yes
from funnelfinder.files.sources.faults import Fault, WireError
from funnelfinder.progress import Told
from tests.files.sources.world import heights

GRIDS = (Bring.ELEVATION, Bring.COVER)
THIRD, SURFACE, METRE = "3DEP 1/3 arc-second", "Copernicus GLO-30", "3DEP 1 m, seamless"
NLCD, WORLD = "NLCD 2021", "WorldCover 2021"
QUICK = Patience(timeout_s=2.0, tries=3)


def brought(world, tmp_path, *names, kinds=GRIDS, place=None, pauses=None, **more):
    """Bring in from the named sources with a cache of this test's own."""
    waited = [] if pauses is None else pauses
    return bring_in(
        place or world.place,
        kinds=kinds,
        sources=[one if not isinstance(one, str) else world.source(one) for one in names],
        ask=more.pop("ask", yes),
        kept=tmp_path / "kept",
        patience=more.pop("patience", QUICK),
        pause=waited.append,
        **more,
    )


def check_heights(raster, most_m=0.6):
    """Heights are those of the formula, wherever they came from (cubic on 10 m cells)."""
    known = np.isfinite(raster.values)
    rows, cols = np.nonzero(known)
    points = raster.grid.points_m(rows, cols)
    to_degrees = Transformer.from_crs(raster.grid.epsg, 4326, always_xy=True)
    wanted = heights(*to_degrees.transform(points[:, 0], points[:, 1]))
    assert np.abs(raster.values[known] - wanted).max() < most_m


def test_grids_come_from_their_boundary_alone(world, tmp_path):
    world.third()
    world.cover()
    found = brought(world, tmp_path, THIRD, NLCD)
    assert np.isfinite(found.grids.elevation.values).all()
    check_heights(found.grids.elevation)
    assert set(np.unique(found.grids.cover.values)) == {41, 82}
    assert found.table.legend == "nlcd"
    assert "Elevation of the whole extent is from 3DEP 1/3 arc-second." in found.notes


def test_nothing_is_asked_without_a_yes(world, tmp_path):
    world.third()
    seen = []

    def no(requests):
        seen.extend(requests)
        return False

    with pytest.raises(Stopped):
        brought(world, tmp_path, THIRD, NLCD, ask=no)
    assert world.asked() == []
    assert [one.host for one in seen] == ["127.0.0.1", "127.0.0.1"]
    assert all(one.about_bytes > 0 for one in seen)


def test_only_the_box_is_sent(world, tmp_path):
    world.third()
    world.cover()
    brought(world, tmp_path, THIRD, NLCD)
    assert all("Scene" not in line for line in world.asked())


def test_what_a_source_lacks_comes_from_the_next_and_it_is_said_where(world, tmp_path):
    world.one_metre()
    world.third()
    world.cover()
    found = brought(world, tmp_path, METRE, THIRD, NLCD)
    check_heights(found.grids.elevation)
    assert np.isfinite(found.grids.elevation.values).all()
    said = " ".join(found.notes)
    assert "in the west, is from 3DEP 1 m, seamless" in said
    assert "in the east, is from 3DEP 1/3 arc-second" in said
    shares = {one.source: one.share for one in found.grids.origins if one.kind == "elevation"}
    assert sum(shares.values()) == pytest.approx(1.0)


@pytest.mark.parametrize("status", ["404", "403"])
def test_a_tile_that_is_not_there_is_no_coverage_never_zeros(world, tmp_path, status):
    world.third()
    world.surface()
    world.cover()
    world.faults({"path": "USGS_13", "fault": status})
    found = brought(world, tmp_path, THIRD, SURFACE, NLCD)
    assert found.grids.elevation.source == SURFACE
    # The world's surface heights hold treetops: 12 m in this small world.
    lifted = replace(found.grids.elevation, values=found.grids.elevation.values - 12.0)
    check_heights(lifted, most_m=1.0)
    assert any(f"answer {status}" in note for note in found.notes)
    assert any("Treetops" in note for note in found.notes)


def test_legends_do_not_mix(world, tmp_path):
    """Cover comes from the source that has most, not from two."""
    world.third()
    world.world_cover()
    found = brought(world, tmp_path, THIRD, NLCD, WORLD)
    assert found.table.legend == "worldcover"
    assert set(np.unique(found.grids.cover.values)) == {10, 40}


FAULTS = {
    "sign in": Fault.WRONG_TYPE,
    "no parts": Fault.NO_PARTS,
    "cut": Fault.CUT,
    "hang up": Fault.CUT,
    "503": Fault.BUSY,
    "429": Fault.BUSY,
    "401": Fault.FORBIDDEN,
    "404": Fault.NOT_THERE,
    "away": Fault.ASTRAY,
    "loop": Fault.ASTRAY,
}


@pytest.mark.parametrize(("fault", "meaning"), FAULTS.items())
def test_every_fault_has_its_own_words(world, tmp_path, fault, meaning):
    world.third()
    world.faults({"path": "USGS_13", "fault": fault, "at": 100})
    with pytest.raises(SourceError, match=meaning.value.split(" (")[0].replace("(", r"\(")) as told:
        brought(world, tmp_path, THIRD, NLCD)
    assert told.value.remedy


def test_a_server_that_stalls_is_slow(world, tmp_path):
    world.third()
    world.faults({"path": "USGS_13", "fault": "stall"})
    with pytest.raises(SourceError, match=Fault.SLOW.value):
        brought(world, tmp_path, THIRD, NLCD, patience=Patience(timeout_s=0.2, tries=2))


def test_a_page_to_sign_in_is_quoted(world, tmp_path):
    world.third()
    world.cover()
    world.faults({"path": "wcs", "fault": "sign in"})
    with pytest.raises(SourceError, match="Welcome to our network"):
        brought(world, tmp_path, THIRD, NLCD)


def test_pauses_grow_and_obey_the_server(world, tmp_path):
    world.third()
    world.cover()
    world.faults({"path": "USGS_13", "fault": "503", "times": 2})
    pauses: list[float] = []
    found = brought(world, tmp_path, THIRD, NLCD, pauses=pauses)
    check_heights(found.grids.elevation)
    assert pauses == [7.0, 7.0]  # the server asks for 7 s, more than our first 1 and 2 s
    world.faults({"path": "wcs", "fault": "cut", "times": 2, "at": 50})
    pauses.clear()
    found = bring_in(
        world.place,
        kinds=GRIDS,
        sources=[world.source(THIRD), world.source(NLCD)],
        ask=yes,
        kept=tmp_path / "other",
        patience=QUICK,
        pause=pauses.append,
    )
    assert pauses == [1.0, 2.0]


def test_redirects_are_followed_to_servers_only(world, tmp_path):
    world.third()
    world.cover()
    world.faults({"path": "/Staged", "fault": "redirect", "times": 2})
    check_heights(brought(world, tmp_path, THIRD, NLCD).grids.elevation)


def test_no_server_and_no_name_are_told_apart(world, tmp_path):
    dead = replace(world.source(THIRD), address="http://127.0.0.1:9/{name}")
    with pytest.raises(SourceError, match=r"refused"):
        brought(world, tmp_path, dead, NLCD)


def test_a_stop_leaves_nothing_but_kept_bytes_and_goes_on_there(world, tmp_path):
    world.one_metre()
    world.third()
    world.cover()
    stop = threading.Event()

    def tell(share, words):
        if "KB of" in words or "MB of" in words:
            count = len(world.asked())
            if count > 8:
                stop.set()

    with pytest.raises(Stopped):
        brought(world, tmp_path, METRE, THIRD, NLCD, progress=Told(tell, stop.is_set))
    before = world.asked()
    found = brought(world, tmp_path, METRE, THIRD, NLCD)
    check_heights(found.grids.elevation)
    again = world.asked()[len(before) :]
    whole = [line for line in before if "S1M_" in line]
    assert whole
    assert not set(whole[:-2]) & set(again)


def test_a_second_property_next_door_asks_for_nothing_that_is_kept(world, tmp_path):
    world.third()
    world.cover()
    brought(world, tmp_path, THIRD, NLCD)
    n_asked = len(world.asked())
    inner = replace(
        world.place,
        name="Next door",
        boundary=shapely.affinity.scale(world.place.boundary, 0.4, 0.4),
    )
    world.faults({"path": "/", "fault": "503"})
    found = brought(world, tmp_path, THIRD, NLCD, place=inner)
    check_heights(found.grids.elevation)
    assert len(world.asked()) == n_asked


def test_a_kept_window_that_was_touched_is_not_believed(world, tmp_path):
    world.third()
    world.cover()
    brought(world, tmp_path, THIRD, NLCD)
    for path in (tmp_path / "kept").rglob("*"):
        if path.is_file():
            content = bytearray(path.read_bytes())
            content[len(content) // 2] ^= 0xFF
            path.write_bytes(content)
    found = brought(world, tmp_path, THIRD, NLCD)
    check_heights(found.grids.elevation)


def test_a_file_that_changes_while_it_is_read_is_begun_anew(world, tmp_path):
    world.one_metre()
    world.third()
    world.cover()
    brought(world, tmp_path, METRE, THIRD, NLCD)
    for folder in (tmp_path / "kept").glob("windows-*"):
        for path in folder.iterdir():
            path.unlink()
    # Half of the blocks are forgotten, and the file is written again meanwhile.
    for path in (tmp_path / "kept").rglob("1?"):
        path.unlink()
    path = world.one_metre()
    path.touch()
    check_heights(brought(world, tmp_path, METRE, THIRD, NLCD).grids.elevation)


def test_one_half_alone_keeps_the_other(world, tmp_path):
    world.third()
    world.cover()
    first = brought(world, tmp_path, THIRD, NLCD)
    world.surface()
    later = brought(world, tmp_path, SURFACE, kinds=[Bring.ELEVATION], has=first.grids)
    assert np.array_equal(later.grids.cover.values, first.grids.cover.values)
    assert later.grids.elevation.source == SURFACE
    assert {one.source for one in later.grids.origins} == {SURFACE, NLCD}
    with pytest.raises(GridError, match="no land cover yet"):
        brought(world, tmp_path, SURFACE, kinds=[Bring.ELEVATION])


def test_heights_that_no_ground_has_are_refused(world, tmp_path):
    world.third(lift=20_000.0)
    with pytest.raises(SourceError, match="heights up to"):
        brought(world, tmp_path, THIRD, NLCD)


def test_codes_of_another_legend_are_refused(world, tmp_path):
    world.third()
    world.cover(codes=lambda x: np.full(x.shape, 200, np.uint8))
    with pytest.raises(SourceError, match="codes that nlcd does not have"):
        brought(world, tmp_path, THIRD, NLCD)


def test_all_is_kept_in_the_property_and_opens_without_a_network(world, tmp_path):
    world.third()
    world.cover()
    world.pictures()
    found = brought(
        world, tmp_path, THIRD, NLCD, "National Map aerial picture", kinds=[*GRIDS, Bring.PICTURE]
    )
    path = tmp_path / "scene.gpkg"
    create(path, world.place)
    save_brought(
        path,
        epsg=world.place.epsg,
        grids=found.grids,
        picture=found.picture,
        origins=found.origins,
    )
    world.close()
    kept = load(path)
    assert np.array_equal(kept.grids.elevation.values, found.grids.elevation.values)
    assert kept.grids.origins == found.grids.origins
    assert kept.grids.credits == (
        "Elevation: USGS 3DEP (US public domain).",
        "Land cover: MRLC, National Land Cover Database 2021 (US public domain).",
    )
    assert "Elevation: USGS 3DEP (US public domain)." in kept.grids.notes
    origins = load_origins(path)
    assert {one.kind for one in origins} == {"elevation", "cover", "picture"}
    assert all(len(one.on) == 10 for one in origins)
    picture = load_picture(path, kept.grids.cover.grid)
    assert picture.shape == (*kept.grids.cover.grid.shape, 3)
    check_picture(world, picture, kept.grids.cover.grid)


def check_picture(world, picture, grid):
    """Red is the column of the tile, green its row: known from the web map's tile rule."""
    import mercantile

    to_degrees = Transformer.from_crs(grid.epsg, 4326, always_xy=True)
    for row, col in ((2, 2), (grid.n_rows - 3, grid.n_cols - 3), (grid.n_rows // 2, 5)):
        point = grid.points_m(np.array([row]), np.array([col]))[0]
        lon, lat = to_degrees.transform(*point)
        fraction_x = (lon + 180) / 360 * 2**16 % 1
        tile = mercantile.tile(lon, lat, 16)
        if 0.05 < fraction_x < 0.95:
            # Colours pass through JPEG twice.
            assert abs(int(picture[row, col, 0]) - tile.x % 256) <= 6


def test_crops_come_by_the_link_that_the_service_names(world, tmp_path):
    world.third()
    world.cover()
    world.crops()
    found = brought(world, tmp_path, "Cropland Data Layer 2024", kinds=[Bring.CROPS])
    assert found.grids is None
    assert set(np.unique(found.crops.values)) == {1, 36}
    place = tmp_path / "crops.gpkg"
    create(place, world.place)
    save_brought(place, epsg=world.place.epsg, crops=found.crops, origins=found.origins)
    assert np.array_equal(load_crops(place).values, found.crops.values)


def test_a_picture_without_tiles_is_not_there(world, tmp_path):
    with pytest.raises(SourceError, match="aerial picture"):
        brought(world, tmp_path, "National Map aerial picture", kinds=[Bring.PICTURE])


def test_a_network_that_is_gone_ends_all_at_once(world, tmp_path, monkeypatch):
    def gone(*words, **more):
        raise WireError(Fault.NO_NETWORK, where="here")

    monkeypatch.setattr("funnelfinder.files.sources.wire.Wire.get", gone)
    with pytest.raises(SourceError, match="no network"):
        brought(world, tmp_path, THIRD, SURFACE, NLCD)
