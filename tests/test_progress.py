"""How long work tells how far it is, and stops."""

from __future__ import annotations

import pytest

from funnelfinder.errors import Stopped
from funnelfinder.progress import QUIET, Part, Told


def test_steps_are_passed_on_until_the_person_stops():
    seen = []
    told = Told(lambda share, words: seen.append((share, words)), lambda: len(seen) == 2)
    told.step(0.1, "one")
    told.step(0.2, "two")
    with pytest.raises(Stopped):
        told.step(0.3, "three")
    assert seen == [(0.1, "one"), (0.2, "two")]


def test_a_part_fills_its_stretch_and_parts_nest():
    seen = []
    whole = Told(lambda share, words: seen.append(share))
    half = Part(whole, 0.5, 1.0)
    inner = Part(half, 0.0, 0.5)
    for share in (0.0, 0.5, 1.0):
        inner.step(share, "")
    assert seen == pytest.approx([0.5, 0.625, 0.75])


def test_quiet_progress_never_stops():
    QUIET.step(0.5, "words")
