"""Drawing by clicks and by keys, without a window."""

import pytest
import shapely

from ui.gestures import Draw, Form, Hand, Key, LookAround, Outlook, Snapper, Touch


def touch(x: float, y: float, *, is_snapping: bool = True) -> Touch:
    return Touch(x_m=x, y_m=y, px_m=1.0, is_snapping=is_snapping)


class Told:
    def __init__(self) -> None:
        self.done: list[tuple] = []
        self.left: list[tuple] = []
        self.refused: list[tuple] = []

    def draw(self, form: Form, **more: object) -> Draw:
        return Draw(
            form,
            done=self.done.append,
            left=self.left.append,
            refused=lambda words, at: self.refused.append((words, at)),
            **more,
        )


SQUARE = [(0, 0), (100, 0), (100, 100), (0, 100)]


def test_clicks_and_a_double_click_make_an_area() -> None:
    told = Told()
    draw = told.draw(Form.AREA)
    for x, y in SQUARE:
        draw.click(touch(x, y))
    draw.double_click(touch(0, 100))
    assert told.done == [((0, 0), (100, 0), (100, 100), (0, 100))]


def test_a_click_on_the_first_corner_closes_and_the_corner_grows_before() -> None:
    told = Told()
    draw = told.draw(Form.AREA)
    for x, y in SQUARE:
        draw.click(touch(x, y))
    draw.hover(touch(5, 4))
    assert draw.sketch.grown_m == (0, 0)
    draw.click(touch(5, 4))
    assert len(told.done[0]) == 4


def test_a_corner_that_would_cross_the_outline_is_refused_and_the_rest_stays() -> None:
    told = Told()
    draw = told.draw(Form.AREA)
    for x, y in ((0, 0), (100, 100), (100, 0)):
        draw.click(touch(x, y))
    draw.click(touch(0, 100))
    assert draw.corners == ((0, 0), (100, 100), (100, 0))
    words, at = told.refused[0]
    assert words.startswith("This outline crosses itself here")
    assert at == pytest.approx((50, 50))
    assert draw.sketch.crossing_m == pytest.approx((50, 50))


def test_closing_across_the_outline_is_refused_too() -> None:
    told = Told()
    draw = told.draw(Form.AREA)
    for x, y in ((0, 0), (100, 50), (0, 100), (150, 100)):
        draw.click(touch(x, y))
    draw.key(Key.ENTER, touch(0, 0))
    assert not told.done
    assert len(told.refused) == 1


def test_backspace_takes_the_last_corner_back_and_two_corners_are_no_area() -> None:
    told = Told()
    draw = told.draw(Form.AREA)
    for x, y in SQUARE[:3]:
        draw.click(touch(x, y))
    draw.key(Key.BACKSPACE, touch(0, 0))
    draw.key(Key.ENTER, touch(0, 0))
    assert told.done == []
    assert draw.corners == ((0, 0), (100, 0))


def test_escape_hands_the_corners_back_and_they_can_be_gone_on_with() -> None:
    told = Told()
    draw = told.draw(Form.LINE)
    draw.click(touch(1, 2))
    draw.click(touch(30, 2))
    draw.key(Key.ESCAPE, touch(0, 0))
    again = told.draw(Form.LINE, corners=told.left[0])
    again.click(touch(60, 2))
    again.key(Key.ENTER, touch(0, 0))
    assert told.done == [((1, 2), (30, 2), (60, 2))]


def test_a_place_needs_one_click() -> None:
    told = Told()
    told.draw(Form.PLACE).click(touch(7, 8))
    assert told.done == [((7, 8),)]


def test_a_corner_snaps_within_ten_pixels_and_not_with_alt() -> None:
    snapper = Snapper([shapely.LineString([(0, 0), (200, 0)])])
    told = Told()
    draw = told.draw(Form.LINE, snapper=snapper)
    draw.click(touch(50, 9))
    draw.click(touch(195, 6))
    draw.click(touch(195, 60))
    draw.click(touch(100, 9, is_snapping=False))
    draw.key(Key.ENTER, touch(0, 0))
    assert told.done == [((50, 0), (200, 0), (195, 60), (100, 9))]


def test_keys_alone_draw_a_line() -> None:
    told = Told()
    draw = told.draw(Form.LINE)
    middle = touch(500, 500)
    draw.key(Key.SPACE, middle)
    for _ in range(3):
        draw.key(Key.RIGHT, middle)
    draw.key(Key.UP, middle, is_fine=True)
    draw.key(Key.SPACE, middle)
    draw.key(Key.ENTER, middle)
    # 8 px for an arrow and 1 px with Shift, at 1 m/px.
    assert told.done == [((500, 500), (524, 501))]


def test_a_drag_looks_around_and_a_click_draws() -> None:
    told = Told()
    look = LookAround(Outlook(x_m=0, y_m=0, px_m=1, width_px=200, height_px=200))
    hand = Hand(look, told.draw(Form.PLACE))
    hand.press(100, 100)
    hand.move(150, 100)
    hand.release(150, 100)
    assert told.done == []
    assert look.outlook.x_m == pytest.approx(-50)
    hand.press(100, 100)
    hand.move(102, 101)
    hand.release(102, 101)
    assert told.done == [((-48, -1),)]


def test_the_second_press_of_a_double_click_sets_no_corner() -> None:
    told = Told()
    look = LookAround(Outlook(x_m=0, y_m=0, px_m=1, width_px=200, height_px=200))
    hand = Hand(look, told.draw(Form.LINE))
    for x in (20, 90):
        hand.press(x, 50)
        hand.release(x, 50)
    hand.double_click(90, 50)
    hand.release(90, 50)
    assert len(told.done[0]) == 2
