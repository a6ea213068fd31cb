"""Dots of scent lie where scent goes, and drift away from the person."""

import numpy as np

from ui.canvas.scent_dots import scent_dots

AT = (500.0, 700.0)


def test_dots_lie_in_cells_that_scent_reaches_and_thicker_where_more_goes() -> None:
    share = np.zeros((40, 40))
    share[25, 20] = 1.0  # 25 m north of the person, who stands at the corner of the middle
    share[20, 30] = 0.04  # 50 m east
    dots = scent_dots(share, AT, 5.0)
    east, north = (dots.begin_m - AT).T
    in_first = (east >= 0) & (east <= 5) & (north >= 25) & (north <= 30)
    in_second = (east >= 50) & (east <= 55) & (north >= 0) & (north <= 5)
    assert (in_first | in_second).all()
    assert in_first.sum() > 1.5 * in_second.sum() > 0
    # They drift outward: along the line from the person.
    outward = (dots.begin_m - AT) / np.hypot(east, north)[:, None]
    assert np.allclose(dots.ahead, outward)


def test_no_scent_gives_no_dots() -> None:
    assert not scent_dots(np.zeros((10, 10)), AT, 5.0).phase.size
