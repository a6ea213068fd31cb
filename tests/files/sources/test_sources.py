"""A fault at any byte, two hundred times over: never a wrong or half grid in the property file."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from funnelfinder.errors import SourceError
from funnelfinder.files.property_file import create, load, save_brought
from funnelfinder.files.sources import Bring, Patience, bring_in, yes

GRIDS = (Bring.ELEVATION, Bring.COVER)
CROPS, PICTURE = "Cropland Data Layer 2024", "National Map aerial picture"
N_FAULTS = [200, pytest.param(4000, marks=pytest.mark.soak)]


@pytest.mark.parametrize("n_faults", N_FAULTS)
def test_a_fault_at_any_byte_never_leaves_a_wrong_grid(world, tmp_path, n_faults):
    """Bytes changed, cut off or refused: what is kept is right to the last bit, or nothing.

    Over plain http, where nothing else proves what arrives. Every other time nothing is tried
    twice, so that the fault must be told.
    """
    world.third()
    world.cover()
    path = tmp_path / "scene.gpkg"
    create(path, world.place)
    sources = [world.source("3DEP 1/3 arc-second"), world.source("NLCD 2021")]

    def bring_and_keep(n: int, tries: int) -> None:
        found = bring_in(
            world.place,
            kinds=GRIDS,
            sources=sources,
            ask=yes,
            kept=tmp_path / f"kept-{n}",
            patience=Patience(timeout_s=2.0, tries=tries),
            pause=lambda seconds: None,
        )
        save_brought(path, epsg=world.place.epsg, grids=found.grids, origins=found.origins)

    bring_and_keep(-1, 1)
    n_answers = len(world.asked())
    truth = load(path).grids
    path.unlink()
    create(path, world.place)
    dice = np.random.default_rng(n_faults)
    n_told = n_right = 0
    for n in range(n_faults):
        fault = dice.choice(["corrupt", "cut", "hang up", "500", "503", "404"])
        at, after = int(dice.integers(0, 40_000)), int(dice.integers(0, n_answers))
        world.faults({"path": "/", "fault": fault, "at": at, "after": after, "times": 1})
        before = path.read_bytes()
        try:
            bring_and_keep(n, 1 + 2 * (n % 2))
        except SourceError:
            n_told += 1
            assert path.read_bytes() == before
        else:
            n_right += 1
            grids = load(path).grids
            assert np.array_equal(grids.elevation.values, truth.elevation.values), (fault, at)
            assert np.array_equal(grids.cover.values, truth.cover.values), (fault, at)
    assert n_told > n_faults // 4
    assert n_right > n_faults // 4


def test_a_file_that_is_damaged_at_its_source_is_never_an_error_of_ours(world, tmp_path):
    """Bytes of its head changed in turn, the same in every reading: told in plain words.

    What a published file itself holds wrong cannot all be seen: a corner moved a little still
    looks like a grid. It must not break the program, and warnings are errors here.
    """
    path = world.third()
    world.cover()
    content = path.read_bytes()
    here = replace(world.source("3DEP 1/3 arc-second"), address=str(path), tiles="one file")
    sources = [here, world.source("NLCD 2021")]
    n_told = 0
    for at in range(0, 1000, 13):
        path.write_bytes(content[:at] + bytes([content[at] ^ 0x5A]) + content[at + 1 :])
        try:
            bring_in(
                world.place,
                kinds=GRIDS,
                sources=sources,
                ask=yes,
                kept=tmp_path / "kept",
                patience=Patience(timeout_s=2.0, tries=1),
            )
        except SourceError:
            n_told += 1
    assert n_told > 3


def test_a_fault_leaves_no_wrong_picture_and_no_wrong_crops(world, tmp_path):
    """Forty faults on the tiles of a picture and on crops by a link: right, or as before."""
    world.pictures()
    world.crops()
    path = tmp_path / "scene.gpkg"
    create(path, world.place)
    sources = [world.source(one) for one in (CROPS, PICTURE)]
    kinds = (Bring.CROPS, Bring.PICTURE)

    def bring(n: int, tries: int):
        return bring_in(
            world.place,
            kinds=kinds,
            sources=sources,
            ask=yes,
            kept=tmp_path / f"kept-{n}",
            patience=Patience(timeout_s=2.0, tries=tries),
            pause=lambda seconds: None,
        )

    truth = bring(-1, 1)
    n_answers = len(world.asked())
    dice = np.random.default_rng(20261126)
    n_told = 0
    for n in range(40):
        fault = dice.choice(["corrupt", "cut", "hang up", "500", "sign in"])
        at, after = int(dice.integers(0, 4_000)), int(dice.integers(0, n_answers))
        world.faults({"path": "/", "fault": fault, "at": at, "after": after, "times": 1})
        try:
            found = bring(n, 1 + 2 * (n % 2))
        except SourceError:
            n_told += 1
        else:
            assert np.array_equal(found.crops.values, truth.crops.values), (fault, at)
            assert np.array_equal(found.picture.colours, truth.picture.colours), (fault, at)
    assert 5 < n_told < 35
