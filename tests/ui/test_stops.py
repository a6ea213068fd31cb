"""What the footpath says."""

from dataclasses import replace

import numpy as np

from tests.scenes import scene
from tests.ui.hollow import bed, food, hollow
from ui.stops import Sign, Stop, profile, stop_states


def said(*args: object) -> dict[Stop, tuple[str, Sign]]:
    return {one.stop: (one.words, one.sign) for one in stop_states(*args)}


def test_nothing_open() -> None:
    states = said(None, None, None)
    assert states[Stop.GROUND] == ("needs a boundary", Sign.NOT_YET)
    assert states[Stop.MARKS] == ("nothing yet", Sign.NOT_YET)


def test_a_bed_needs_a_food_and_both_need_grids() -> None:
    assert said(hollow(bed()), None, None)[Stop.MARKS] == ("needs a food", Sign.WAITING)
    assert said(hollow(food()), None, None)[Stop.MARKS] == ("needs a bed", Sign.WAITING)
    states = said(hollow(bed(), food()), None, None)
    assert states[Stop.MARKS] == ("1 bed, 1 food", Sign.DONE)
    assert states[Stop.TRIPS] == ("not yet", Sign.NOT_YET)
    assert states[Stop.GROUND] == ("needs its grids", Sign.WAITING)


def test_with_grids_trips_are_ready() -> None:
    place, grids = scene()
    states = said(replace(place, marks=(bed(), food())), grids, None)
    assert states[Stop.GROUND] == ("relief, cover", Sign.DONE)
    assert states[Stop.TRIPS] == ("ready to run", Sign.WAITING)


def test_the_profile_goes_through_the_highest_ground() -> None:
    def hill(x: np.ndarray, y: np.ndarray) -> np.ndarray:
        return 300 + 50 * np.exp(-(((x - 600) / 150) ** 2) - ((y - 300) / 100) ** 2)

    _, grids = scene(height=hill)
    line = profile(grids)
    assert line.min() == 0
    assert line.max() == 1
    # The hill stands at 600 m of 800 m, with 100 m of surround at each side: 0.7 of the way.
    assert abs(line.argmax() / len(line) - 0.7) < 0.03
    assert not profile(None).any()
