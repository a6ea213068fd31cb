"""From files to points by command, on real public grids; and what goes wrong on the way."""

from __future__ import annotations

import contextlib
import json
import os
import signal
import subprocess
from pathlib import Path

import geopandas
import gpxpy
import numpy as np
import pandas as pd
import pytest
import rasterio
import shapely
from rasterio.transform import from_bounds
from typer.testing import CliRunner

from funnelfinder.cli.program import app
from funnelfinder.files.property_file import create, load, save_grids
from funnelfinder.files.take_along import FORMATS
from funnelfinder.marks import MarkKind
from tests import scenes
from tests.whole_job import made

SHARED = made.ROOT.parent / "shared"
LIDAR = SHARED / "real" / "lidar_1m"


def ok(done):
    """What a verb printed, once it went well."""
    assert done.returncode == 0, done.stderr
    return done.stdout


def in_this_process(*words, cwd):
    """Run the program here, which spares its start; relative paths hang on ``cwd``."""
    with contextlib.chdir(cwd):
        done = CliRunner().invoke(app, [str(word) for word in words])
    return subprocess.CompletedProcess(words, done.exit_code, done.stdout, done.stderr)


def exported_points(folder: Path, stem: str) -> dict[str, list]:
    """Names and places in every format, each read by a reader that is not ours."""
    gpx = gpxpy.parse((folder / f"{stem}.gpx").read_text(encoding="utf-8"))
    kml = geopandas.read_file(folder / f"{stem}.kml", layer=0)
    geojson = geopandas.read_file(folder / f"{stem}.geojson")
    csv = pd.read_csv(folder / f"{stem}.csv")
    gpkg = geopandas.read_file(folder / f"{stem}.gpkg", layer="points")
    return {
        "gpx": [(one.name, one.longitude, one.latitude) for one in gpx.waypoints],
        "kml": list(zip(kml["Name"], kml.geometry.x, kml.geometry.y, strict=True)),
        "geojson": list(zip(geojson["name"], geojson.geometry.x, geojson.geometry.y, strict=True)),
        "csv": list(zip(csv["name"], csv["lon"], csv["lat"], strict=True)),
        "gpkg": list(zip(gpkg["name"], gpkg.geometry.x, gpkg.geometry.y, strict=True)),
    }


def check_export(folder: Path, stem: str, facts: dict) -> None:
    """Every format holds exactly the points that `show --json` prints."""
    wanted = [(point["name"], point["lon"], point["lat"]) for point in facts["points"]]
    assert wanted
    for name, points in exported_points(folder, stem).items():
        assert points == wanted, name
        assert FORMATS[name].rows(folder / f"{stem}.{name}") == facts["points"], name


def run_from_files(
    folder: Path, boundary: Path, grids: list[Path], marks: Path, *, start=made.funnelfinder
) -> dict:
    """Do the whole job verb by verb; return what `show --json` prints."""
    elevation, cover = grids
    verbs = (
        ("new", "place.gpkg", boundary),
        ("settings", "place.gpkg", "surround=300m"),
        ("grids", "place.gpkg", "--elevation", elevation, "--cover", cover),
        ("marks", "place.gpkg", marks),
        ("run", "place.gpkg", "--redraws", 0),
        ("export", "place.gpkg", "gps"),
    )
    for verb in verbs:
        ok(start(*verb, cwd=folder))
    shown = start("show", "place.gpkg", "--json", cwd=folder)
    facts = json.loads(ok(shown))
    assert facts["is_current"]
    check_export(folder / "gps", "place", facts)
    report = (folder / "gps" / "report.txt").read_text(encoding="utf-8")
    assert report == ok(start("show", "place.gpkg", cwd=folder))
    return facts


def test_real_lidar_goes_from_file_to_gpx(tmp_path):
    """450 m of 1 m lidar (North Carolina, EPSG:3358) with NLCD codes 31, 43, 71.

    Landscape evolution dataset of B. Harmon, Open Database Licence. Most of the surround is
    missing, which must be said.
    """
    if not LIDAR.exists():
        pytest.skip(f"{LIDAR} is not there")
    boundary = made.outline_file(
        tmp_path / "b.geojson", shapely.box(597205, 150590, 597635, 151020), 3358
    )
    marks = made.marks_file(
        tmp_path / "m.geojson",
        {
            ("bed", "Gully bed"): shapely.Point(597250, 150640).buffer(25),
            ("food", "Upper grass"): shapely.Point(597590, 150970).buffer(25),
        },
        3358,
    )
    grids = [LIDAR / "elevation_2016.tif", LIDAR / "landcover.tif"]
    facts = run_from_files(tmp_path, boundary, grids, marks)
    assert facts["pairs"][0]["demand"] == 1.0
    kinds = {point["kind"] for point in facts["points"]}
    assert {"scrape", "camera"} <= kinds <= {"scrape", "camera", "pinch", "staging"}
    assert any("missing" in note for note in facts["notes"])
    inside = geopandas.read_file(boundary).to_crs(3358).geometry[0].buffer(1)
    scrapes = geopandas.read_file(tmp_path / "gps" / "place.geojson").to_crs(3358)
    scrapes = scrapes[scrapes["kind"] == "scrape"]
    assert scrapes.geometry.within(inside).all()


def test_a_public_elevation_grid_goes_from_file_to_gpx(tmp_path):
    """Tennessee, 3 arc-seconds, shipped with matplotlib (its ymin and ymax are swapped).

    The land cover is made up: woods with a hay field, codes of NLCD.
    """
    pytest.importorskip("matplotlib")
    from matplotlib import cbook

    with cbook.get_sample_data("jacksboro_fault_dem.npz") as file:
        heights = file["elevation"].astype(np.float32)
    edges = (-84.41375, 36.44625, -84.07792, 36.73292)
    woods = np.full(heights.shape, 41, dtype=np.uint8)
    field = shapely.box(-84.2405, 36.5895, -84.2365, 36.5925)
    rows, cols = np.indices(heights.shape)
    transform = from_bounds(*edges, heights.shape[1], heights.shape[0])
    lon, lat = transform * (cols + 0.5, rows + 0.5)
    woods[shapely.contains_xy(field, lon, lat)] = 81
    paths = []
    for name, values in (("dem", heights), ("cover", woods)):
        path = tmp_path / f"{name}.tif"
        shape = {"height": heights.shape[0], "width": heights.shape[1], "count": 1}
        with rasterio.open(
            path,
            "w",
            driver="GTiff",
            crs="EPSG:4326",
            dtype=values.dtype,
            transform=transform,
            **shape,
        ) as out:
            out.write(values, 1)
            out.units = ("metre" if name == "dem" else "",)
        paths.append(path)
    boundary = made.outline_file(
        tmp_path / "b.geojson", shapely.box(-84.250, 36.583, -84.234, 36.594), 4326
    )
    marks = made.marks_file(
        tmp_path / "m.geojson",
        {
            ("bed", "Fault bed"): shapely.Point(-84.2470, 36.5860).buffer(0.0005),
            ("food", "Hay"): field,
        },
        4326,
    )
    facts = run_from_files(tmp_path, boundary, paths, marks, start=in_this_process)
    assert facts["property"]["epsg"] == 32616
    assert 0.2 < facts["caught"] <= 1
    assert all(point["elevation_m"] > 200 for point in facts["points"])


def small(folder: Path, *marks, name: str = "place.gpkg") -> Path:
    """A small property with grids, made without the program."""
    path = folder / name
    place, grids = scenes.scene(width=500, depth=400, marks=marks)
    create(path, place)
    save_grids(path, grids)
    return path


BED = scenes.mark(MarkKind.BED, scenes.disc(100, 200), "West bed")
FOOD = scenes.mark(MarkKind.FOOD, scenes.disc(420, 200), "Acorns", crop="acorns")
#: A fence of 2.4 m all round the bed: no whitetail crosses it (VerCauteren et al. 2010).
PEN = scenes.mark(
    MarkKind.FENCE,
    scenes.line((20, 120), (180, 120), (180, 280), (20, 280), (20, 120)),
    "Pen",
    height_m=2.4,
)


@pytest.mark.parametrize(
    ("marks", "words"),
    [
        ((FOOD,), "bed"),
        ((BED,), "food"),
        ((BED, FOOD, PEN), "West bed"),
    ],
    ids=["no bed", "no food", "cut off"],
)
def test_a_run_that_cannot_be_says_why_and_changes_nothing(tmp_path, marks, words):
    path = small(tmp_path, *marks)
    before = path.read_bytes()
    done = made.funnelfinder("run", path, cwd=tmp_path)
    assert done.returncode == 1
    assert words in done.stderr
    assert "Traceback" not in done.stderr
    assert path.read_bytes() == before
    assert [one.name for one in tmp_path.iterdir()] == ["place.gpkg"]


def test_a_grid_that_misses_the_property_is_refused(tmp_path):
    path = small(tmp_path, BED, FOOD)
    far = tmp_path / "far.tif"
    with rasterio.open(
        far,
        "w",
        driver="GTiff",
        height=20,
        width=20,
        count=1,
        dtype="float32",
        crs="EPSG:32617",
        transform=from_bounds(600_000, 4_300_000, 600_200, 4_300_200, 20, 20),
    ) as file:
        file.write(np.full((20, 20), 300, dtype=np.float32), 1)
        file.units = ("metre",)
    before = path.read_bytes()
    done = made.funnelfinder("grids", path, "--elevation", far, "--cover", far, cwd=tmp_path)
    assert done.returncode == 1
    assert "far.tif" in done.stderr
    assert path.read_bytes() == before


def test_the_same_seed_gives_the_same_findings(tmp_path):
    shown = []
    for name in ("a.gpkg", "b.gpkg"):
        path = small(tmp_path, BED, FOOD, name=name)
        ok(made.funnelfinder("run", path, "--redraws", 0, "--seed", 5, cwd=tmp_path))
        facts = json.loads(ok(made.funnelfinder("show", path, "--json", cwd=tmp_path)))
        shown.append(facts)
    assert shown[0] == shown[1]
    assert shown[0]["points"]


@pytest.mark.parametrize("stage", ["Reading the ground", "Trying other costs"])
def test_ctrl_c_leaves_everything_as_it_was(tmp_path, stage):
    """A terminal sends SIGINT to the whole group of processes."""
    path = small(tmp_path, BED, FOOD)
    before = path.read_bytes()
    program = subprocess.Popen(
        [*made.PROGRAM, "run", path, "--redraws", "20"],
        cwd=tmp_path,
        env=made.environment(PYTHONPATH=str(made.ROOT)),
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        start_new_session=True,
    )
    with program:
        assert any(stage in line for line in program.stderr)
        os.killpg(program.pid, signal.SIGINT)
        printed, told = program.communicate()
    assert program.returncode == 130
    assert told.strip().endswith("Stopped. Everything is as it was before.")
    assert "Traceback" not in told
    assert printed == ""
    assert path.read_bytes() == before
    assert [one.name for one in tmp_path.iterdir()] == ["place.gpkg"]
    assert load(path).findings is None
