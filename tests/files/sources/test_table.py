"""The table of sources, shipped and one's own."""

from __future__ import annotations

import re
from dataclasses import replace
from importlib.resources import files
from pathlib import Path

import numpy as np
import pytest

import funnelfinder
from funnelfinder.errors import SettingError
from funnelfinder.files.sources import (
    Bring,
    bring_in,
    own_table,
    shipped_sources,
    usual_sources,
    with_own,
    yes,
)
from funnelfinder.files.sources.table import sources_from_csv
from tests.files.sources.test_bring import GRIDS, NLCD, THIRD, brought, check_heights


def test_every_shipped_source_says_whom_to_credit():
    shipped = shipped_sources()
    assert {one.kind for one in shipped} == set(Bring)
    for one in shipped:
        assert one.credit, one.name
        assert one.licence, one.name
        assert one.address.startswith("https://") or one.address == "{link}"


def test_addresses_of_services_stand_in_the_table_alone():
    """A changed address is a one-line edit; pages for people to read are no services."""
    addresses = [one.asks or one.address for one in shipped_sources()]
    services = {re.split(r"[{?]", one)[0].rstrip("/") for one in addresses}
    assert len(services) >= 9
    root = Path(str(files(funnelfinder)))
    for path in root.rglob("*.py"):
        text = path.read_text(encoding="utf-8")
        assert not [service for service in services if service in text], path


def test_a_table_of_ones_own_comes_first_and_replaces_by_name(tmp_path):
    path = tmp_path / "own.csv"
    path.write_text(
        "name,kind,reader,address\n"
        "County lidar,elevation,folder,tiles\n"
        f"{THIRD},elevation,grid,https://example.org/{{name}}\n"
    )
    found = with_own(path)
    assert found[0].name == "County lidar"
    assert found[0].address == str(tmp_path / "tiles")
    assert not found[0].is_remote
    assert [one.address for one in found if one.name == THIRD] == ["https://example.org/{name}"]


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("name,kind\na,elevation\n", "lacks the column 'address'"),
        ("name,kind,address\na,gravel,x\n", "gravel"),
        ("name,kind,address,tiles\na,cover,x,by moon\n", "no rule for tiles"),
        ("name,kind,address,cell\na,cover,x,0\n", "cell size"),
        ("name,kind,address,crs\na,cover,x,EPSG:1\n", "no map system"),
        ("name,kind,address,covers\na,cover,x,1 2\n", "cannot be used"),
        ("name,kind,address,tiles\na,picture,x,zoom 40\n", "deeper"),
    ],
)
def test_a_table_that_cannot_be_used_says_why(text, words):
    with pytest.raises(SettingError, match=words):
        sources_from_csv(text, where="own.csv")


def test_the_usual_sources_hold_a_table_of_ones_own_where_there_is_one(tmp_path, monkeypatch):
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path))
    assert usual_sources() == shipped_sources()
    own_table().parent.mkdir(parents=True)
    own_table().write_text("name,kind,reader,address\nCounty,elevation,folder,tiles\n")
    assert usual_sources()[0].name == "County"
    assert usual_sources()[1:] == shipped_sources()
    own_table().write_text("name\nCounty\n")
    with pytest.raises(SettingError, match="lacks the column"):
        usual_sources()


def test_a_missing_table_says_so(tmp_path):
    with pytest.raises(SettingError, match="cannot be read"):
        with_own(tmp_path / "none.csv")


def test_a_template_with_a_field_that_its_rule_lacks_is_told(world, tmp_path):
    wrong = replace(world.source(THIRD), address=f"http://{world.host}/{{square}}.tif")
    with pytest.raises(SettingError, match="does not fit the rule"):
        brought(world, tmp_path, wrong, NLCD)


def test_folders_grids_and_indexes_of_ones_own_are_read(world, tmp_path):
    """A folder, one grid here, one grid on a server, and a virtual raster here and there."""
    tile = world.third()
    world.cover()
    local = tmp_path / "tiles" / "north.tif"
    local.parent.mkdir()
    local.write_bytes(tile.read_bytes())
    named = tile.relative_to(world.folder)
    (world.folder / "nation.vrt").write_text(virtual(tile, str(named)))
    (tmp_path / "nation.vrt").write_text(virtual(tile, str(tile)))
    base = f"http://{world.host}"
    rows = {
        "folder": ("folder", str(local.parent)),
        "grid": ("grid", str(local)),
        "remote grid": ("grid", f"{base}/{named}"),
        "remote index": ("index", f"{base}/nation.vrt"),
        "index": ("index", str(tmp_path / "nation.vrt")),
    }
    for name, (reader, address) in rows.items():
        text = (
            f"name,kind,reader,address,unit,nodata\n{name},elevation,{reader},{address},m,-999999\n"
        )
        own = sources_from_csv(text, where="own.csv")
        found = bring_in(
            world.place,
            kinds=GRIDS,
            sources=[*own, world.source(NLCD)],
            ask=yes,
            kept=tmp_path / name,
            pause=lambda seconds: None,
        )
        assert found.grids.elevation.source == name
        assert np.isfinite(found.grids.elevation.values).all()
        check_heights(found.grids.elevation)


def virtual(tile: Path, named: str) -> str:
    """A virtual raster of one piece, as the national index writes it."""
    import rasterio

    with rasterio.open(tile) as dataset:
        n, transform, nodata = dataset.width, dataset.transform, dataset.nodata
        srs = dataset.crs.to_wkt()
    place = ", ".join(repr(value) for value in transform.to_gdal())
    relative = 0 if named.startswith("/") else 1
    return (
        f'<VRTDataset rasterXSize="{n}" rasterYSize="{n}"><SRS>{srs.replace("&", "")}</SRS>'
        f"<GeoTransform>{place}</GeoTransform>"
        f'<VRTRasterBand dataType="Float32" band="1"><NoDataValue>{nodata}</NoDataValue>'
        f'<SimpleSource><SourceFilename relativeToVRT="{relative}">{named}</SourceFilename>'
        f'<SourceBand>1</SourceBand><SrcRect xOff="0" yOff="0" xSize="{n}" ySize="{n}"/>'
        f'<DstRect xOff="0" yOff="0" xSize="{n}" ySize="{n}"/></SimpleSource>'
        "</VRTRasterBand></VRTDataset>"
    )


def test_ground_that_a_source_does_not_cover_is_not_asked_for(world, tmp_path):
    world.third()
    world.cover()
    far = replace(world.source(NLCD), name="Elsewhere", covers_deg=(10.0, 40.0, 20.0, 50.0))
    found = brought(world, tmp_path, THIRD, far, NLCD)
    assert not any("Elsewhere" in note for note in found.notes)
