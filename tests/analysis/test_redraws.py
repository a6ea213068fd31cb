"""Everything tried again with other costs."""

from __future__ import annotations

import os
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from funnelfinder.analysis import Findings, run
from funnelfinder.analysis.redraws import redraw, with_redraws
from funnelfinder.errors import Stopped
from funnelfinder.ground import Grids
from funnelfinder.marks import Property
from funnelfinder.progress import Told
from tests.analysis.small import small_property

Small = tuple[Property, Grids, Findings]


@pytest.fixture(scope="module")
def small() -> Small:
    place, grids = small_property()
    return place, grids, run(place, grids, n_redraws=0)


def test_redraws_of_no_spread_keep_every_cluster(small: Small) -> None:
    place, grids, findings = small
    settings = replace(place.settings, redraws=replace(place.settings.redraws, spread=0.0))
    still = replace(place, settings=settings)
    redrawn = redraw(still, grids, findings.clusters, n_redraws=3, seed=1, n_workers=1)
    assert redrawn.stayed.all()
    assert np.ptp(redrawn.shares, axis=0).max() == 0.0
    assert all(one.steadiness == 1.0 for one in with_redraws(findings.clusters, redrawn))


def test_redraws_repeat_with_their_seed_whatever_the_number_of_processes(small: Small) -> None:
    place, grids, findings = small
    alone, together = (
        redraw(place, grids, findings.clusters, n_redraws=2, seed=4, n_workers=count)
        for count in (1, 2)
    )
    np.testing.assert_array_equal(alone.shares, together.shares)
    assert alone.dependences == together.dependences


def test_ranges_hold_the_share_and_the_dependences_are_ranked(small: Small) -> None:
    place, grids, findings = small
    redrawn = redraw(place, grids, findings.clusters, n_redraws=4, seed=1, n_workers=1)
    for cluster in with_redraws(findings.clusters, redrawn):
        assert cluster.share_low <= cluster.share <= cluster.share_high
        assert cluster.n_redraws == 4
    swings = [one.swing for one in redrawn.dependences]
    assert swings == sorted(swings, reverse=True)
    told = {one.what for one in redrawn.dependences}
    assert {"what crossing a fence costs", "how far trips stray"} <= told
    assert "how much West bed is used" in told
    assert "how much Bean field is used" not in told


def test_no_redraws_is_not_tested(small: Small) -> None:
    *_, findings = small
    assert all(np.isnan(cluster.steadiness) for cluster in findings.clusters)


def test_redraws_can_be_stopped(small: Small) -> None:
    place, grids, findings = small
    told: list[str] = []
    stop = Told(lambda share, words: told.append(words), lambda: len(told) > 2)
    with pytest.raises(Stopped):
        redraw(place, grids, findings.clusters, n_redraws=8, seed=1, n_workers=1, progress=stop)
    assert len(told) == 3


def test_a_plain_script_without_a_guard_runs_once(tmp_path: Path) -> None:
    script = tmp_path / "my_run.py"
    script.write_text(
        "from funnelfinder.analysis import run\n"
        "from tests.analysis.small import small_property\n"
        "print('begun')\n"
        "print(run(*small_property(), n_redraws=2).clusters[0].n_redraws)\n"
    )
    root = Path(__file__).parents[2]
    done = subprocess.run(
        [sys.executable, script],
        cwd=root,
        env={**os.environ, "PYTHONPATH": str(root)},
        capture_output=True,
        text=True,
        timeout=240,
        check=True,
    )
    assert done.stdout.split() == ["begun", "2"]
