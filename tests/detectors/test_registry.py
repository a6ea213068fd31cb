"""Detectors come through entry points, ours and those from outside; broken ones are named."""

import json
import os
import subprocess
import sys
import textwrap
from dataclasses import FrozenInstanceError, replace
from importlib.metadata import EntryPoint
from pathlib import Path

import numpy as np
import pytest
import shapely

from funnelfinder.detectors import registry
from funnelfinder.detectors.saddle import SADDLE
from funnelfinder.errors import Stopped
from funnelfinder.features import Detector, Feature
from funnelfinder.progress import Told
from tests import scenes

OURS = {
    "saddle",
    "bench",
    "point",
    "draw",
    "inside corner",
    "neck",
    "gap",
    "crossing",
    "field edge",
}


def test_our_own_come_through_entry_points_without_a_note():
    detectors, notes = registry.load_detectors()
    assert {one.name for one in detectors} >= OURS
    assert not [note for note in notes if "funnelfinder.detectors." in note]
    for one in detectors:
        assert one.words.endswith(".")
        assert one.source
        with pytest.raises(FrozenInstanceError):
            one.name = "other"


def noise(x, y):
    """Noise of 0.2 m on level ground."""
    return 300.0 + np.random.default_rng(11).normal(0.0, 0.2, x.shape)


@pytest.mark.parametrize("parts", [1, 5])
@pytest.mark.parametrize(
    "height",
    [
        scenes.flat,
        lambda x, y: 300.0 + 0.25 * x + 0.1 * y,
        noise,
        lambda x, y: noise(x, y) + 0.25 * x,
    ],
    ids=["level", "plane", "noise", "noisy plane"],
)
def test_none_of_them_finds_anything_on_even_ground(height, parts):
    place, grids = scenes.scene(height=height, cell_m=5.0, parts=parts)
    detectors, _ = registry.load_detectors()
    ours = tuple(one for one in detectors if one.name in OURS)
    assert registry.find_features(scenes.ground_of(place, grids), place, ours) == ((), ())


def test_holes_and_tiny_grounds_break_none_of_them():
    detectors, _ = registry.load_detectors()
    for height in (lambda x, y: np.full(x.shape, np.nan), lambda x, y: np.where(x > 60, np.nan, x)):
        place, grids = scenes.scene(height=height, width=30.0, depth=30.0, cell_m=10.0)
        assert registry.find_features(scenes.ground_of(place, grids), place, detectors)[1] == ()


def fixed(name: str, *found: object) -> Detector:
    """A detector that finds what it is told to."""
    return Detector(name=name, words="A test.", source="none", find=lambda _ground, _place: found)


STONE = Feature(kind="stone", geometry=shapely.Point(0, 0), words="A stone.")


def ground_and_place(**more):
    """A level ground."""
    place, grids = scenes.scene()
    return scenes.ground_of(place, grids), replace(place, **more)


def test_detectors_that_are_switched_off_do_not_run():
    ground, place = ground_and_place(detectors_off=frozenset({"stone"}))
    assert registry.find_features(ground, place, (fixed("stone", STONE),)) == ((), ())


def test_one_that_raises_is_named_and_the_others_run():
    def broken(_ground, _place):
        raise ZeroDivisionError("no stones here.")

    ground, place = ground_and_place()
    bad = Detector(name="bad", words="Fails.", source="none", find=broken)
    features, notes = registry.find_features(ground, place, (bad, fixed("stone", STONE)))
    assert features == (STONE,)
    (note,) = notes
    assert note.startswith("detector bad: It failed: ZeroDivisionError: no stones here.")
    assert note.endswith("It is skipped.")


def test_one_that_returns_something_else_is_named():
    ground, place = ground_and_place()
    features, (note,) = registry.find_features(ground, place, (fixed("odd", STONE, "a stone"),))
    assert features == ()
    assert "detector odd: It returned a str, not a feature." in note


def test_a_stop_goes_through():
    def stopping(_ground, _place):
        raise Stopped("Stopped.")

    ground, place = ground_and_place()
    with pytest.raises(Stopped):
        registry.find_features(
            ground, place, (Detector(name="s", words="", source="", find=stopping),)
        )
    with pytest.raises(Stopped):
        registry.find_features(
            ground, place, (fixed("stone"),), Told(lambda share, words: None, lambda: True)
        )


def entries(monkeypatch, *values: tuple[str, str]) -> None:
    """Let these be the installed entry points."""
    found = [EntryPoint(name, value, registry.GROUP) for name, value in values]
    monkeypatch.setattr(registry, "entry_points", lambda group: found)


def test_a_repeated_name_and_a_stranger_are_named_and_skipped(monkeypatch):
    monkeypatch.setattr(registry, "ANOTHER", fixed("saddle"), raising=False)
    entries(
        monkeypatch,
        ("another", "funnelfinder.detectors.registry:ANOTHER"),
        ("asaddle", "funnelfinder.detectors.saddle:SADDLE"),
        ("number", "funnelfinder.detectors.saddle:CELL_M"),
        ("missing", "funnelfinder.detectors.saddle:NOTHING"),
    )
    detectors, notes = registry.load_detectors()
    assert [one.name for one in detectors] == ["saddle"]
    assert len(notes) == 3
    text = "\n".join(notes)
    assert "Another one is called 'saddle'" in text
    assert "number (funnelfinder.detectors.saddle:CELL_M): It is a float, not a detector." in text
    assert "missing (funnelfinder.detectors.saddle:NOTHING): It could not be loaded" in text
    assert all(note.endswith("It is skipped.") for note in notes)


def test_the_same_one_registered_twice_is_taken_once_without_a_note(monkeypatch):
    value = "funnelfinder.detectors.saddle:SADDLE"
    entries(monkeypatch, ("saddle", value), ("saddle2", value))
    assert registry.load_detectors() == ((SADDLE,), ())


PROJECT = """
[build-system]
requires = ["setuptools"]
build-backend = "setuptools.build_meta"
[project]
name = "stone-walls"
version = "1.0"
[project.entry-points."funnelfinder.detectors"]
stone_wall = "stone_walls:STONE_WALL"
broken_wall = "broken_walls:BROKEN"
[tool.setuptools]
py-modules = ["stone_walls", "broken_walls"]
"""

GOOD = """
import shapely
from funnelfinder.features import Detector, Feature


def find(ground, place):
    middle = shapely.box(*ground.grid.bounds_m).centroid
    return [Feature(kind="stone wall", geometry=middle, words="A wall.", sizes={"height_m": 1.2})]


STONE_WALL = Detector(name="stone wall", words="Finds walls.", source="a test", find=find)
"""

SCRIPT = """
import json
from funnelfinder.detectors.registry import find_features, load_detectors
from tests import scenes

detectors, notes = load_detectors()
place, grids = scenes.scene()
features, more = find_features(scenes.ground_of(place, grids), place, detectors)
print(json.dumps([[one.name for one in detectors], notes, [one.kind for one in features], more]))
"""


def test_a_package_from_outside_is_found_and_a_broken_one_is_named(tmp_path):
    source, target = tmp_path / "source", tmp_path / "installed"
    source.mkdir()
    (source / "pyproject.toml").write_text(PROJECT)
    (source / "stone_walls.py").write_text(textwrap.dedent(GOOD))
    (source / "broken_walls.py").write_text("raise RuntimeError('this wall fell down')\n")
    pip = [sys.executable, "-m", "pip", "install", "-q", "--no-index", "--no-deps"]
    pip += ["--no-build-isolation", "--disable-pip-version-check"]
    subprocess.run([*pip, "--target", str(target), str(source)], check=True, capture_output=True)
    root = Path(__file__).parents[2]
    done = subprocess.run(
        [sys.executable, "-c", SCRIPT],
        check=True,
        capture_output=True,
        text=True,
        cwd=root,
        env={**os.environ, "PYTHONPATH": f"{target}{os.pathsep}{root}"},
    )
    names, notes, kinds, more = json.loads(done.stdout)
    assert set(names) == OURS | {"stone wall"}
    assert names[-1] == "stone wall"
    (note,) = notes
    assert "broken_wall (broken_walls:BROKEN)" in note
    assert "RuntimeError: this wall fell down" in note
    assert kinds == ["stone wall"]
    assert more == []
