"""How many trips scrapes catch on even ground, against figures measured in an earlier prototype.

One pair 400 m apart; a scrape half way, one cluster of three, three clusters. Prototype figures
(no publication): 26, 44, 57-64 of 100 at a wander of 100 yards; 53, 81, 81-94 at 40.
"""

from __future__ import annotations

import numpy as np
import pytest

from funnelfinder.catch import catch_of
from funnelfinder.defaults import TripSettings
from funnelfinder.scrapes import caught_share, find_clusters
from funnelfinder.trips import draw_trips, kappa_per_m
from funnelfinder.units import YARD_M
from tests import scenes
from tests.trips.even_ground import MIDDLE, turned_pair

REACH_M = 30 * YARD_M


@pytest.mark.parametrize(
    ("wander_yd", "one", "three", "nine"), [(100.0, 0.26, 0.44, 0.57), (40.0, 0.53, 0.81, 0.81)]
)
def test_catch_on_even_ground(wander_yd, one, three, nine) -> None:
    pair, ground, _ = turned_pair(cell_m=10.0, kappa=kappa_per_m(wander_yd * YARD_M))
    drawn = draw_trips([pair], TripSettings(), seed=2)
    middle = scenes.corner(MIDDLE, MIDDLE)
    assert catch_of(middle[None, :], drawn, REACH_M) == pytest.approx(one, abs=0.04)
    row = middle + np.array([(0.0, -27.0), (0.0, 0.0), (0.0, 27.0)])
    assert catch_of(row, drawn, REACH_M) == pytest.approx(three, abs=0.08)
    aside = row[None, :, :] + np.array([(0.0, -191.0), (0.0, 0.0), (0.0, 191.0)])[:, None, :]
    assert catch_of(aside.reshape(-1, 2), drawn, REACH_M) == pytest.approx(nine, abs=0.08)
    # Chosen together, three clusters catch at least what the best row half way across does.
    settings = scenes.scene()[0].settings.scrapes
    clusters, _ = find_clusters(ground, drawn, (), settings)
    assert caught_share(clusters[:3], drawn, settings.reach_m) >= nine - 0.02
