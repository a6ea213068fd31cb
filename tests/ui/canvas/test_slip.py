"""Where a slip lies."""

from PyQt5.QtCore import QPointF, QRectF

from funnelfinder.errors import GridError
from ui.canvas.slip import best_place, trouble_words

ROOM = QRectF(0, 0, 1000, 600)
SIZE = (300.0, 150.0)


def test_a_slip_lies_beside_its_thing_and_inside_the_room() -> None:
    for anchor in (QPointF(500, 300), QPointF(5, 5), QPointF(995, 595), QPointF(990, 10)):
        at = best_place(SIZE, anchor, ROOM, lambda box: 0.0)
        box = QRectF(at.x(), at.y(), *SIZE)
        assert ROOM.contains(box)
        assert not box.contains(anchor)


def test_a_slip_goes_where_it_hides_least() -> None:
    right = QRectF(520, 0, 480, 600)
    at = best_place(SIZE, QPointF(500, 300), ROOM, lambda box: float(box.intersects(right)))
    assert at.x() + SIZE[0] <= 520


def test_an_error_says_what_happened_what_is_unharmed_and_what_to_do() -> None:
    error = GridError("It stops halfway.", where="north.tif", remedy="Copy it again.")
    words = trouble_words(error)
    assert words.body == ("north.tif: It stops halfway. Your property is as before. Copy it again.")
    assert words.is_trouble
