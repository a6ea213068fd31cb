"""Points: the ends of spurs, and what is none."""

import numpy as np
import pytest
import shapely

from funnelfinder.detectors.point import POINT
from tests import scenes


def found(height, **more):
    """What is found on a height function of metres from the scene's middle."""
    place, grids = scenes.scene(
        height=lambda x, y: height(x - 400.0, y - 300.0), **{"cell_m": 5.0, **more}
    )
    return POINT.find(scenes.ground_of(place, grids), place)


def spur(u, v):
    """A spur that comes down from the west and runs out at u = 100 on a gentle plain."""
    crest = 60.0 * np.clip((100.0 - u) / 200.0, 0.0, 1.0)
    return 300.0 - 0.01 * u + crest * np.exp(-((v / 60.0) ** 2))


@pytest.mark.parametrize("is_mirrored", [False, True])
def test_the_end_of_a_spur_is_one_point(is_mirrored):
    (point,) = found((lambda u, v: spur(-u, v)) if is_mirrored else spur)
    tip = shapely.Point(scenes.EAST_0 + (300 if is_mirrored else 500), scenes.NORTH_0 + 300)
    assert point.geometry.distance(tip) < 60
    # 60 m in 200 m: 27.4 m in 91.4 m (100 yards), less where the crest has levelled off.
    assert point.sizes["fall_m"] == pytest.approx(26.0, abs=3.0)
    assert "over the last 100 yards" in point.words


@pytest.mark.parametrize(
    "height",
    [
        lambda u, v: 340 - 40 * (1 - np.exp(-((v / 60) ** 2))),
        lambda u, v: 340 - 0.1 * u - 40 * (1 - np.exp(-((v / 60) ** 2))),
        lambda u, v: 300 + 40 * np.exp(-(u**2 + v**2) / 10000),
        lambda u, v: 300 + 0.3 * u,
        lambda u, v: 340 + 0.1 * u + 40 * (1 - np.exp(-((v / 60) ** 2))),
    ],
    ids=["level ridge", "falling ridge", "round hill", "hillside", "valley"],
)
def test_grounds_without_a_spur_end_have_no_point(height):
    assert found(height) == []


def test_a_low_swell_is_no_point():
    assert found(lambda u, v: 300 + (spur(u, v) - 300) * 0.06) == []
