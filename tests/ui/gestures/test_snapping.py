"""Snapping within ten pixels."""

import pytest
import shapely

from ui.gestures import Snapper, Touch


def at(x: float, y: float, px_m: float = 1.0) -> Touch:
    return Touch(x_m=x, y_m=y, px_m=px_m)


def test_corners_go_before_lines() -> None:
    snapper = Snapper([shapely.LineString([(0, 0), (100, 0)])])
    assert snapper.snapped(at(93, 2)) == (100.0, 0.0)
    assert snapper.snapped(at(50, 9.9)) == pytest.approx((50.0, 0.0))
    assert snapper.snapped(at(50, 10.1)) is None


def test_reach_is_in_pixels_not_metres() -> None:
    snapper = Snapper([shapely.Point(0, 0)])
    assert snapper.snapped(at(40, 0, px_m=5.0)) == (0.0, 0.0)
    assert snapper.snapped(at(40, 0, px_m=1.0)) is None


def test_nothing_to_snap_to() -> None:
    assert Snapper().snapped(at(0, 0)) is None
