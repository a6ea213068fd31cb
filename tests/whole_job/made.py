"""The program in a process of its own, and what is handed to it."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import geopandas
from shapely.geometry.base import BaseGeometry

ROOT = Path(__file__).parents[2]
PROGRAM = (sys.executable, "-m", "funnelfinder")


def environment(**more: str) -> dict[str, str]:
    """The environment of a person's shell, with more in it."""
    return {**os.environ, **more}


def funnelfinder(*words: object, cwd: Path) -> subprocess.CompletedProcess[str]:
    """Run the program and wait."""
    return subprocess.run(
        [*PROGRAM, *map(str, words)],
        cwd=cwd,
        env=environment(PYTHONPATH=str(ROOT)),
        capture_output=True,
        text=True,
        check=False,
    )


def outline_file(path: Path, shape: BaseGeometry, epsg: int) -> Path:
    """A boundary as GeoJSON."""
    outline = geopandas.GeoSeries([shape], crs=epsg).to_crs(4326)
    outline.to_file(path, driver="GeoJSON")
    return path


def marks_file(path: Path, marks: dict[tuple[str, str], BaseGeometry], epsg: int) -> Path:
    """Marks by kind and name as GeoJSON."""
    table = geopandas.GeoDataFrame(
        {"kind": [kind for kind, _ in marks], "name": [name for _, name in marks]},
        geometry=list(marks.values()),
        crs=epsg,
    )
    table.to_crs(4326).to_file(path, driver="GeoJSON")
    return path
