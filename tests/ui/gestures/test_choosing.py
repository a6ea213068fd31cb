"""The empty hand."""

from ui.gestures import Choose, Key, Touch

TOUCH = Touch(x_m=0, y_m=0, px_m=1)


def test_tab_walks_in_order_and_enter_takes() -> None:
    chosen: list[str] = []
    hand = Choose(
        find=lambda _touch: "",
        chosen=chosen.append,
        order=lambda: [("a", (0, 0)), ("b", (1, 1))],
    )
    hand.key(Key.TAB, TOUCH)
    hand.key(Key.TAB, TOUCH)
    assert hand.walked_to == "b"
    assert hand.sketch.snapped_m == (1, 1)
    hand.key(Key.BACK_TAB, TOUCH)
    hand.key(Key.ENTER, TOUCH)
    assert chosen == ["a"]


def test_a_click_takes_what_is_there() -> None:
    chosen: list[str] = []
    hand = Choose(find=lambda touch: "bed" if touch.x_m < 10 else "", chosen=chosen.append)
    assert hand.click(TOUCH)
    assert not hand.click(Touch(x_m=50, y_m=0, px_m=1))
    assert chosen == ["bed"]
