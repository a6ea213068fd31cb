"""Who gets what the button does."""

import pytest

from ui.gestures import Gesture, Hand, LookAround, Outlook, Touch


class Taker(Gesture):
    def __init__(self) -> None:
        self.heard: list[str] = []

    def press(self, touch: Touch) -> bool:
        return touch.x_m < 0

    def drag(self, touch: Touch) -> None:
        self.heard.append("drag")

    def release(self, touch: Touch) -> None:
        self.heard.append("release")

    def click(self, touch: Touch) -> bool:
        self.heard.append("click")
        return True

    def hover(self, touch: Touch) -> None:
        self.heard.append("hover")


@pytest.fixture
def hand() -> Hand:
    look = LookAround(Outlook(x_m=0, y_m=0, px_m=1, width_px=200, height_px=200))
    return Hand(look, Taker())


def test_a_drag_that_is_taken_never_moves_the_map(hand: Hand) -> None:
    before = hand.look.outlook
    hand.press(50, 100)
    hand.move(80, 100)
    hand.release(90, 100)
    assert hand.gesture.heard == ["drag", "release"]
    assert hand.look.outlook == before


def test_a_drag_that_is_not_taken_pulls_the_map(hand: Hand) -> None:
    hand.press(150, 100)
    hand.move(120, 100)
    assert hand.is_pulling
    hand.release(120, 100)
    assert hand.gesture.heard == []
    assert hand.look.outlook.x_m == pytest.approx(30)


def test_a_slip_of_four_pixels_is_still_a_click(hand: Hand) -> None:
    hand.press(50, 100)
    hand.move(53, 102)
    hand.release(53, 102)
    assert hand.gesture.heard == ["click"]
