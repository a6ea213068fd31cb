"""How marked sign agrees with passage."""

from __future__ import annotations

import numpy as np
import pytest

from funnelfinder.marks import MarkKind
from funnelfinder.report import report_text
from funnelfinder.report.sign import sign_on_passage
from tests import hand_made, scenes


def ramp():
    """Passage that rises to the east over the scene of 100 columns of 10 m."""
    grid = hand_made.findings().grid
    return np.tile(np.arange(grid.n_cols, dtype=np.float32), (grid.n_rows, 1))


def with_sign(*marks):
    return scenes.with_marks(hand_made.place(), *marks)


def test_no_sign_is_no_check():
    assert sign_on_passage(hand_made.place(), hand_made.findings()) is None


def test_sign_beyond_the_boundary_does_not_count():
    place = with_sign(scenes.mark(MarkKind.RUB, scenes.point(-50, 300)))
    assert sign_on_passage(place, hand_made.findings(passage=ramp())) is None


def test_a_rub_on_the_top_fifth_and_one_off_it_make_a_half():
    """On a ramp to the east the top fifth of a box of 800 m begins near 640 m."""
    place = with_sign(
        scenes.mark(MarkKind.RUB, scenes.point(780, 300), "east"),
        scenes.mark(MarkKind.RUB, scenes.point(100, 300), "west"),
    )
    findings = hand_made.findings(passage=ramp())
    assert sign_on_passage(place, findings) == (2, 0.5)
    assert "50 of 100 on the fifth of the ground" in " ".join(report_text(place, findings).split())


def test_a_trail_counts_by_its_part():
    place = with_sign(scenes.mark(MarkKind.TRAIL, scenes.line((0, 300), (799, 300))))
    count, share = sign_on_passage(place, hand_made.findings(passage=ramp()))
    assert count == 1
    assert share == pytest.approx(0.2, abs=0.03)


def test_ground_without_any_passage_has_no_top_fifth():
    place = with_sign(scenes.mark(MarkKind.RUB, scenes.point(780, 300)))
    assert sign_on_passage(place, hand_made.findings()) == (1, 0.0)
