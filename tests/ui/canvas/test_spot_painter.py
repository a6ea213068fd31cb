"""Spots are drawn where they lie, picked ones solid, and found again under the pointer."""

from __future__ import annotations

import math
from dataclasses import replace

from PyQt5.QtCore import QPointF
from PyQt5.QtGui import QColor, QImage, QPainter

from funnelfinder.pinch_points import PinchPoint
from funnelfinder.scrapes import Cluster, ClusterKind
from ui.canvas.spot_painter import SpotScene, disc_at, paint_spots, spot_at
from ui.look import colours

CLUSTER = Cluster(
    number=1,
    kind=ClusterKind.PINCH,
    scrapes_m=((90.0, 100.0), (110.0, 100.0)),
    camera_m=(90.0, 104.0),
    camera_bearing_deg=0.0,
    share=0.2,
    gain=0.2,
    steadiness=0.9,
    n_redraws=20,
    name="Gap",
)
PINCH = PinchPoint(
    x_m=100.0,
    y_m=60.0,
    squeeze=3.0,
    width_m=30.0,
    even_width_m=90.0,
    share=0.2,
    pairs=(),
    from_bed_m=100.0,
    to_food_m=100.0,
    detour_share=0.1,
    across_deg=90.0,
)


def to_screen(at: tuple[float, float]) -> QPointF:
    """One pixel a metre, north up."""
    return QPointF(at[0], 200.0 - at[1])


def painted(scene: SpotScene) -> QImage:
    image = QImage(200, 200, QImage.Format_RGB32)
    image.fill(QColor("#A45050"))
    painter = QPainter(image)
    try:
        paint_spots(painter, to_screen, scene)
    finally:
        painter.end()
    return image


def near(image: QImage, at: QPointF, wanted: str) -> bool:
    have, want = image.pixelColor(at.toPoint()), QColor(wanted)
    pairs = zip(have.getRgb()[:3], want.getRgb()[:3], strict=True)
    return max(abs(a - b) for a, b in pairs) < 12


def test_a_picked_disc_is_ink_a_found_one_paper_and_the_one_in_hand_petrol(qapp) -> None:
    inside = disc_at(CLUSTER, to_screen) + QPointF(-9, 0)
    picked = painted(SpotScene(clusters=[CLUSTER], taken=frozenset({1})))
    found = painted(SpotScene(clusters=[CLUSTER]))
    held = painted(SpotScene(clusters=[CLUSTER], taken=frozenset({1}), in_hand=1, reach_m=27.0))
    assert near(picked, inside, colours.INK)
    assert near(found, inside, colours.PAPER)
    assert near(held, inside, colours.PETROL)


def test_the_squeeze_is_drawn_to_scale_across_the_trips(qapp) -> None:
    scene = SpotScene(clusters=[CLUSTER], in_hand=1, reach_m=10.0, squeeze=PINCH)
    image = painted(scene)
    middle = to_screen((PINCH.x_m, PINCH.y_m))
    row = [near(image, QPointF(x, middle.y() + 2), colours.PETROL) for x in range(40, 160)]
    # The solid bar is 7 px high and as long as the trips are wide here: 30 m at a pixel a metre.
    assert 28 <= sum(row[30:90]) <= 32


def test_a_click_finds_disc_and_scrapes_and_nothing_far_away(qapp) -> None:
    scene = SpotScene(clusters=[CLUSTER, replace(CLUSTER, number=2, scrapes_m=((20.0, 20.0),))])
    assert spot_at(scene, disc_at(CLUSTER, to_screen), to_screen) == 1
    assert spot_at(scene, to_screen((20.0, 20.0)), to_screen) == 2
    assert spot_at(scene, QPointF(190, 190), to_screen) == 0
    assert not math.isnan(CLUSTER.steadiness)
