"""Which names collide on a small screen, and when they part."""

from __future__ import annotations

from ui.small_screen import ScreenView, Shown, crowded, parts_at_yd

YARD = 0.9144


def test_names_collide_from_far_and_part_near() -> None:
    # A name of 4 letters is 28.8 dots wide: two points 40 m apart part where 40 m are as many.
    points = [Shown(name="C1-A", x_m=0, y_m=0), Shown(name="C2-B", x_m=40, y_m=0)]
    far = ScreenView(x_m=20, y_m=0, across_m=1000)
    assert crowded(points, far) == ("C1-A", "C2-B")
    parts = parts_at_yd(points, far)
    assert parts == 350
    assert 40 * 240 / (350 * YARD) > 28.8 > 40 * 240 / (400 * YARD)


def test_names_at_one_place_never_part() -> None:
    points = [Shown(name="C1", x_m=0, y_m=0), Shown(name="C2", x_m=0, y_m=0)]
    assert parts_at_yd(points, ScreenView(x_m=0, y_m=0, across_m=500)) is None


def test_the_middle_of_the_view_is_the_middle_of_the_screen() -> None:
    view = ScreenView(x_m=100, y_m=200, across_m=240)
    assert view.dot(100, 200) == (120, 160)
    assert view.dot(110, 190) == (130, 170)
