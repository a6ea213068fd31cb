"""The wind table."""

from __future__ import annotations

import numpy as np

from funnelfinder.defaults import StandSettings
from funnelfinder.stands import said_alerted, wind_table
from tests.stands import ready


def test_no_wind_changes_the_catch_only_the_alerted_share():
    _, _, base = ready.found()
    stands = ready.stands()[:3]
    weak = wind_table(base, stands, speed_m_s=1.0)
    brisk = wind_table(base, stands, speed_m_s=6.0)
    assert np.array_equal(weak.caught, brisk.caught)
    assert np.ptp(brisk.alerted, axis=1).max() > 0.02
    assert not np.array_equal(weak.alerted, brisk.alerted)


def test_shares_are_shares_and_worth_is_their_difference():
    _, _, base = ready.found()
    table = wind_table(base, ready.stands()[:2])
    assert table.alerted.shape == (2, 16, 2)
    assert ((table.alerted >= 0) & (table.alerted <= 1)).all()
    assert np.allclose(table.worth[:, 3, 1], table.caught[:, 1] - table.alerted[:, 3, 1])
    assert (table.is_huntable(StandSettings()) <= (table.worth > 0)).all()


def test_words_need_no_colour():
    own = StandSettings()
    assert [said_alerted(share, own) for share in (0.049, 0.05, 0.2, 0.21)] == [
        "few",
        "some",
        "some",
        "many",
    ]
