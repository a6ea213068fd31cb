"""Putting a spot: by a click, or by arrows and Space."""

from __future__ import annotations

from ui.gestures import Key, Place, Touch


class Seen:
    def __init__(self) -> None:
        self.done: list = []
        self.pointed: list = []
        self.left = 0

    def place(self, **more) -> Place:
        def leave() -> None:
            self.left += 1

        return Place(done=self.done.append, pointed=self.pointed.append, left=leave, **more)


def touch(x: float, y: float) -> Touch:
    return Touch(x_m=x, y_m=y, px_m=0.5)


def test_a_click_puts_it_where_the_hand_is() -> None:
    seen = Seen()
    gesture = seen.place()
    gesture.hover(touch(3, 4))
    assert seen.pointed == [(3, 4)]
    assert gesture.click(touch(5, 6))
    assert seen.done == [(5, 6)]


def test_arrows_move_the_cross_eight_pixels_and_with_shift_one() -> None:
    seen = Seen()
    gesture = seen.place(cross_m=(100.0, 100.0))
    assert seen.pointed == [(100.0, 100.0)]
    middle = touch(0, 0)
    assert gesture.key(Key.RIGHT, middle)
    assert gesture.key(Key.UP, middle, is_fine=True)
    assert gesture.sketch.cross_m == (104.0, 100.5)
    assert gesture.key(Key.SPACE, middle)
    assert seen.done == [(104.0, 100.5)]


def test_escape_leaves_and_nothing_is_put() -> None:
    seen = Seen()
    gesture = seen.place(cross_m=(1.0, 1.0))
    assert gesture.key(Key.ESCAPE, touch(0, 0))
    assert seen.left == 1
    assert seen.pointed[-1] is None
    assert seen.done == []
