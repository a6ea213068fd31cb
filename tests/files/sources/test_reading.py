"""Only the window that is needed is read, once, as fine as it is wanted, and told in bytes."""

from __future__ import annotations

import json
import threading
from dataclasses import replace

import numpy as np
import pytest
import shapely.affinity

from funnelfinder.defaults import with_setting
from funnelfinder.errors import SourceError, Stopped
from funnelfinder.files.property_file import create, load, save_brought
from funnelfinder.files.sources import Bring, planned
from funnelfinder.files.sources.plan import area_of, wanted_cell_m
from funnelfinder.progress import Told
from tests.files.sources.test_bring import GRIDS, METRE, NLCD, THIRD, WORLD, brought, check_heights
from tests.files.sources.test_table import virtual
from tests.files.sources.world import degree_grid

SECOND, SURFACE, PICTURE = "3DEP 1 arc-second", "Copernicus GLO-30", "National Map aerial picture"


def ranges_of(world, word):
    """The ranges asked of files with a word in their address, each once."""
    lines = (line.split() for line in world.asked() if word in line)
    return [line[1] for line in dict.fromkeys(map(tuple, lines)) if len(line) > 1]


def n_bytes(spans):
    """How many bytes ranges ask for."""
    ends = (one.removeprefix("bytes=").split("-") for one in spans)
    return sum(int(last) - int(first) + 1 for first, last in ends)


def large_third(world):
    """A tile whose window is a small part of it: heights with noise, so that it does not pack."""
    cell, n = 1 / 10800, 1500
    name = world.third().name
    path = next(world.folder.rglob(name))
    degree_grid(
        path, world.lon - n / 2 * cell, world.lat + n / 2 * cell, cell, n, nodata=-999999,
        block=128, noise=0.2,
    )  # fmt: skip
    return path


def test_only_the_window_is_read(world, tmp_path):
    path = large_third(world)
    world.cover()
    found = brought(world, tmp_path, THIRD, NLCD)
    check_heights(found.grids.elevation, most_m=1.0)
    spans = ranges_of(world, "USGS_13")
    assert spans
    assert n_bytes(spans) < path.stat().st_size / 4


def test_cells_finer_than_wanted_come_from_an_overview(world, tmp_path):
    """1 m cells where the ground is worked on with 2 m: every second one, the same heights."""
    world.one_metre()
    world.third()
    world.cover()
    place = replace(world.place, settings=with_setting(world.place.settings, "travel-cell", "20"))
    assert wanted_cell_m(place, world.source(METRE)) == 2.0
    found = brought(world, tmp_path, METRE, THIRD, NLCD, place=place)
    check_heights(found.grids.elevation)
    told = [json.loads(one.read_text()) for one in (tmp_path / "kept").rglob("windows-*/*.json")]
    about = next(one for one in told if one["name"].startswith("S1M_"))
    assert about["cell_m"] == pytest.approx(2.0, rel=0.01)
    assert not about["is_full"]


def test_the_index_of_the_nation_leads_to_its_files(world, tmp_path):
    """The virtual raster is fetched whole, its pieces by range (GDAL's VRT format)."""
    tile = world.third()
    index = world.folder / "StagedProducts/Elevation/1/TIFF/USGS_Seamless_DEM_1.vrt"
    index.parent.mkdir(parents=True)
    index.write_text(virtual(tile, f"../../13/TIFF/current/{tile.parent.name}/{tile.name}"))
    world.cover()
    found = brought(world, tmp_path, SECOND, NLCD)
    check_heights(found.grids.elevation)
    assert found.grids.elevation.source == SECOND
    assert ranges_of(world, tile.name)


def test_progress_tells_bytes_and_never_falls_back(world, tmp_path):
    world.third()
    world.cover()
    told = []
    brought(world, tmp_path, THIRD, NLCD, progress=Told(lambda *one: told.append(one)))
    shares = [share for share, _ in told]
    assert shares == sorted(shares)
    assert shares[-1] <= 1.0
    said = [words for _, words in told]
    assert any(one.startswith("Bringing in elevation: ") and "KB of about" in one for one in said)
    assert any(one.startswith("Bringing in land cover: ") for one in said)


def test_the_guess_of_bytes_beforehand_is_of_the_right_size(world, tmp_path):
    """For the tile of the national layout: between a fifth and five times what comes."""
    large_third(world)
    world.cover()
    requests = planned(world.place, [world.source(THIRD)], [Bring.ELEVATION])
    brought(world, tmp_path, THIRD, NLCD)
    came = n_bytes(ranges_of(world, "USGS_13"))
    # Public tiles are cut into blocks of 512 cells, ours of 128: 16 times the bytes at most.
    assert came / 5 < requests[0].about_bytes < 16 * 5 * came


def test_a_property_that_overlaps_asks_only_for_what_is_new(world, tmp_path):
    path = large_third(world)
    world.cover()
    brought(world, tmp_path, THIRD, NLCD)
    before = set(ranges_of(world, "USGS_13"))
    beside = replace(
        world.place, name="Beside", boundary=shapely.affinity.translate(world.place.boundary, 150)
    )
    found = brought(world, tmp_path, THIRD, NLCD, place=beside)
    check_heights(found.grids.elevation, most_m=1.0)
    assert np.isfinite(found.grids.elevation.values).all()
    again = [line.split()[1] for line in world.asked() if "USGS_13" in line]
    assert len(set(again)) == len(again) / 2  # twice each over plain http, and no more
    assert n_bytes(set(again) - before) < path.stat().st_size / 4


@pytest.mark.parametrize("fault", ["503", "404", "cut", "sign in"])
def test_partial_cover_of_a_broken_source_is_filled_and_told(world, tmp_path, fault):
    """Half a tile comes, then the server fails: the rest is the next source's, all is said."""
    large_third(world)
    world.surface()
    world.cover()
    world.faults({"path": "USGS_13", "fault": fault, "after": 4, "at": 9})
    found = brought(world, tmp_path, THIRD, SURFACE, NLCD)
    assert found.grids.elevation.source == SURFACE
    assert any("USGS_13" in note for note in found.notes)


def test_a_stop_in_the_middle_leaves_the_property_as_it_was(world, tmp_path):
    """At every sixth word of progress in turn, through bringing in and keeping."""
    world.third()
    world.cover()
    world.pictures()
    path = tmp_path / "scene.gpkg"
    create(path, world.place)
    before = path.read_bytes()
    sources = (THIRD, NLCD, PICTURE)

    def bring_and_keep(n_words, folder):
        count, stop = [0], threading.Event()

        def tell(share, words):
            count[0] += 1
            if count[0] >= n_words:
                stop.set()

        progress = Told(tell, stop.is_set)
        found = brought(
            world, tmp_path / folder, *sources, kinds=[*GRIDS, Bring.PICTURE], progress=progress
        )
        save_brought(
            path, epsg=world.place.epsg, grids=found.grids, picture=found.picture,
            origins=found.origins, progress=progress,
        )  # fmt: skip
        return count[0]

    n_words = 1
    stopped = 0
    while True:
        try:
            bring_and_keep(n_words, f"at-{n_words}")
        except Stopped:
            stopped += 1
            assert path.read_bytes() == before
            n_words += 6
        else:
            break
    assert stopped >= 4
    assert load(path).grids is not None


def test_world_cover_stands_in_where_the_nation_has_none(world, tmp_path):
    """Beyond the national grids: the world's heights and cover, each with its caution."""
    world.surface()
    world.world_cover()
    found = brought(world, tmp_path, METRE, THIRD, SURFACE, NLCD, WORLD)
    assert found.grids.elevation.source == SURFACE
    assert found.table.legend == "worldcover"
    said = " ".join(found.notes)
    assert "Treetops" in said
    assert "planted trees as woods" in said


def test_tiles_of_ones_own_by_a_template(world, tmp_path):
    """A tile template and a cloud-optimized file of one's own, from a table of one's own."""
    from funnelfinder.files.sources import with_own

    world.pictures()
    world.third()
    world.cover()
    base = f"http://{world.host}/arcgis/rest/services/USGSImageryOnly/MapServer/tile"
    table = tmp_path / "own.csv"
    table.write_text(
        "name,kind,reader,address,tiles,crs,credit\n"
        f"County picture,picture,tiles,{base}/{{z}}/{{y}}/{{x}},zoom 16,EPSG:3857,The county\n"
    )
    own = with_own(table)[0]
    found = brought(world, tmp_path, own, kinds=[Bring.PICTURE])
    assert found.picture.colours.shape[2] == 3
    assert found.origins[0].credit == "The county"


def test_a_picture_with_gaps_says_how_much_is_missing(world, tmp_path):
    world.pictures()
    tiles = sorted(world.folder.rglob("16/*/*"))
    asked = len(tiles)
    brought(world, tmp_path, PICTURE, kinds=[Bring.PICTURE])
    first = next(line.split()[0] for line in world.asked() if "/tile/16/" in line)
    world.faults({"path": first, "fault": "404"})
    found = brought(world, tmp_path / "other", PICTURE, kinds=[Bring.PICTURE])
    assert asked
    assert any("has no picture of" in note for note in found.notes)
    assert found.origins[0].share < 1.0
    assert (found.picture.colours == 255).all(axis=-1).any()


def test_a_picture_that_breaks_off_is_not_kept_in_part(world, tmp_path):
    world.pictures()
    world.faults({"path": "/tile/", "fault": "503", "after": 2})
    with pytest.raises(SourceError, match="busy"):
        brought(world, tmp_path, PICTURE, kinds=[Bring.PICTURE])


def test_the_extent_is_boundary_with_surround(world):
    area = area_of(world.place)
    west, south, east, north = world.place.boundary.bounds
    surround = world.place.settings.ground.surround_m
    got = area.grid.bounds_m
    assert got[0] <= west - surround < got[0] + 30
    assert got[3] >= north + surround > got[3] - 30
    assert (got[1], got[2]) <= (south - surround, east + surround + 30)
