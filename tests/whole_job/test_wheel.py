"""The program as it is handed on: built, installed elsewhere, and its demo run from there."""

from __future__ import annotations

import json
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from lxml import etree

from funnelfinder.cli.demo import PROPERTY_PATH
from funnelfinder.report.cautions import LAST_HEADING
from tests.whole_job import made
from tests.whole_job.test_command_line import check_export

SOURCES = ("funnelfinder", "ui", "sample_rasters", "pyproject.toml", "README.md", "LICENSE")


@pytest.fixture(scope="module")
def installed(tmp_path_factory) -> Path:
    """A folder with the wheel installed in it, apart from the tree that it was built from."""
    tree = tmp_path_factory.mktemp("tree")
    for name in SOURCES:
        source = made.ROOT / name
        if source.is_dir():
            shutil.copytree(source, tree / name, ignore=shutil.ignore_patterns("__pycache__"))
        else:
            shutil.copy(source, tree / name)
    pip = [sys.executable, "-m", "pip", "--disable-pip-version-check", "-q"]
    wheels = tree / "dist"
    subprocess.run(
        [*pip, "wheel", "--no-deps", "--no-build-isolation", "-w", wheels, tree], check=True
    )
    (wheel,) = wheels.glob("*.whl")
    site = tmp_path_factory.mktemp("site")
    subprocess.run([*pip, "install", "--no-deps", "--target", site, wheel], check=True)
    return site


def start(installed: Path, *words: object, cwd: Path) -> subprocess.CompletedProcess[str]:
    """Run the installed command from another folder."""
    return subprocess.run(
        [sys.executable, installed / "bin" / "funnelfinder", *map(str, words)],
        cwd=cwd,
        env=made.environment(PYTHONPATH=str(installed)),
        capture_output=True,
        text=True,
        check=False,
    )


def test_it_runs_from_where_it_was_installed(installed, tmp_path):
    code = "import funnelfinder, sys; print(funnelfinder.__file__)"
    done = subprocess.run(
        [sys.executable, "-c", code],
        cwd=tmp_path,
        env=made.environment(PYTHONPATH=str(installed)),
        capture_output=True,
        text=True,
        check=True,
    )
    assert Path(done.stdout.strip()).is_relative_to(installed)
    assert not (installed / "ui").exists()
    assert start(installed, "--version", cwd=tmp_path).returncode == 0


def test_the_demo_goes_from_a_boundary_to_gps_map_and_report(installed, tmp_path):
    done = start(installed, "demo", "out", "--redraws", "0", cwd=tmp_path)
    assert done.returncode == 0, done.stderr
    folder = tmp_path / "out"
    assert [one.name for one in tmp_path.iterdir()] == ["out"]
    shown = start(installed, "show", folder / PROPERTY_PATH, "--json", cwd=tmp_path)
    facts = json.loads(shown.stdout)
    check_export(folder, PROPERTY_PATH.stem, facts)
    names = [point["name"] for point in facts["points"]]
    assert sum(name.startswith("C") and name[2] in "ABC" for name in names) >= 6
    report = (folder / "report.txt").read_text(encoding="utf-8")
    assert f"\n{LAST_HEADING}\n" in report
    assert (folder / "map.png").read_bytes().startswith(b"\x89PNG")
    assert (folder / "map.pdf").read_bytes().startswith(b"%PDF")
    schemas = made.ROOT.parent / "shared" / "schemas"
    for ending, schema in (("gpx", "gpx11.xsd"), ("kml", "ogckml22.xsd")):
        document = etree.parse(folder / f"{PROPERTY_PATH.stem}.{ending}")
        if (schemas / schema).exists():
            etree.XMLSchema(etree.parse(schemas / schema)).assertValid(document)
