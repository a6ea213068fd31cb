"""A fault at any byte, two hundred times over: never a wrong or half grid in the property file."""

from __future__ import annotations

import numpy as np

from funnelfinder.errors import SourceError
from funnelfinder.files.property_file import create, load, save_brought
from funnelfinder.files.sources import Bring, Patience, bring_in, yes

GRIDS = (Bring.ELEVATION, Bring.COVER)
N_FAULTS = 200


def test_a_fault_at_any_byte_never_leaves_a_wrong_grid(world, tmp_path):
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
    dice = np.random.default_rng(20261125)
    n_told = n_right = 0
    for n in range(N_FAULTS):
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
    assert n_told > N_FAULTS // 4
    assert n_right > N_FAULTS // 4
