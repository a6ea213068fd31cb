"""Stands and ways on the map are told apart by shape."""

from __future__ import annotations

import numpy as np
import pytest
from PyQt5.QtCore import QPointF
from PyQt5.QtGui import QImage, QPainter

from funnelfinder.declination import Leg
from funnelfinder.stands import Stand
from ui.canvas.stand_painter import StandScene, paint_stands, stand_at
from ui.look import colours

SIDE = 240


def stand(name: str, x_m: float, y_m: float, *, is_chosen: bool = False) -> Stand:
    return Stand(
        name=name,
        cluster=1,
        x_m=x_m,
        y_m=y_m,
        scrapes_m=((x_m + 20, y_m),),
        legs=(Leg(length_m=20.0, true_deg=90.0, magnetic_deg=97.0),),
        beside_share=0.05,
        backdrop_share=0.9,
        sun_in_eyes=(),
        in_range=(),
        shot_m=36.0,
        is_chosen=is_chosen,
    )


def to_screen(at: tuple[float, float]) -> QPointF:
    """One pixel a metre, north up."""
    return QPointF(at[0], SIDE - at[1])


def drawn(qapp, scene: StandScene) -> np.ndarray:
    """Return how dark each pixel is, (rows, cols)."""
    image = QImage(SIDE, SIDE, QImage.Format_RGB32)
    image.fill(colours.colour("#D8DACD"))
    painter = QPainter(image)
    paint_stands(painter, to_screen, scene)
    painter.end()
    pointer = image.bits()
    pointer.setsize(image.byteCount())
    pixels = np.frombuffer(pointer, dtype=np.uint8).reshape(SIDE, SIDE, 4)
    return 255.0 - pixels[:, :, :3].mean(axis=2)


def edge(dark: np.ndarray, x: int, y: int) -> np.ndarray:
    """Return the darkness along the upper edge of a sign."""
    return dark[y - 15 : y - 12, x - 9 : x + 10].max(axis=0)


def test_the_persons_own_has_a_solid_frame_and_a_tree_found_a_dashed_one(qapp) -> None:
    dark = drawn(qapp, StandScene(stands=(stand("S1A", 60, 120), stand("S1B", 180, 120))))
    dashed = edge(dark, 60, SIDE - 120)
    own = drawn(qapp, StandScene(stands=(stand("S1A", 60, 120, is_chosen=True),)))
    solid = edge(own, 60, SIDE - 120)
    assert (solid > 120).all()
    assert 0.2 < (dashed > 120).mean() < 0.9


def test_of_stands_that_meet_only_one_is_drawn_whole_and_all_can_be_clicked(qapp) -> None:
    scene = StandScene(stands=(stand("S1A", 100, 120), stand("S1B", 112, 122)), in_hand="S1B")
    assert stand_at(scene, QPointF(112, SIDE - 122), to_screen) == "S1B"
    assert stand_at(scene, QPointF(98, SIDE - 120), to_screen) == "S1A"
    assert stand_at(scene, QPointF(20, 20), to_screen) == ""
    together = drawn(qapp, scene)
    alone = drawn(qapp, StandScene(stands=(stand("S1B", 112, 122),), in_hand="S1B"))
    # The sign in hand is the same with and without its neighbour beside it.
    box = np.s_[SIDE - 122 - 10 : SIDE - 122 + 10, 112 - 6 : 112 + 12]
    assert np.abs(together[box] - alone[box]).mean() < 25


@pytest.mark.parametrize("turned", [False, True])
def test_a_way_is_dotted_and_its_arrowheads_point_along_it(qapp, turned: bool) -> None:
    way = np.array([[20.0, 120.0], [220.0, 120.0]])
    dark = drawn(qapp, StandScene(way_in=way[::-1] if turned else way))
    row = dark[SIDE - 120] > 120
    steps = np.flatnonzero(np.diff(row.astype(int)) == 1)
    assert len(steps) > 15  # dots, not a line
    heads = (dark > 120).sum(axis=0)
    at = int(np.argmax(heads))
    # The broad end of an arrowhead is its tail: the rest of it lies the way the walk goes.
    ahead, behind = heads[at + 1 : at + 6].sum(), heads[at - 5 : at].sum()
    assert behind > ahead if turned else ahead > behind


def test_nothing_is_drawn_of_an_empty_scene(qapp) -> None:
    assert np.ptp(drawn(qapp, StandScene())) == 0
