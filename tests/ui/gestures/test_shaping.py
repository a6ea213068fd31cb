"""Shaping what is in the hand, without a window."""

import pytest
import shapely
from shapely.geometry.base import BaseGeometry

from ui.gestures import Key, Shape, Snapper, Touch

SQUARE = shapely.Polygon([(0, 0), (100, 0), (100, 100), (0, 100)])


def touch(x: float, y: float) -> Touch:
    return Touch(x_m=x, y_m=y, px_m=1.0)


class Told:
    def __init__(self, geometry: BaseGeometry, **more: object) -> None:
        self.changes: list[tuple[BaseGeometry, str]] = []
        self.tried: list[BaseGeometry] = []
        self.refused: list[tuple] = []
        self.left: list[object] = []
        self.shape = Shape(
            geometry,
            changed=lambda shape, deed: self.changes.append((shape, deed)),
            trying=self.tried.append,
            refused=lambda words, at: self.refused.append((words, at)),
            left=self.left.append,
            **more,
        )

    def drag(self, *places: tuple[float, float]) -> None:
        assert self.shape.press(touch(*places[0]))
        for place in places[1:]:
            self.shape.drag(touch(*place))
        self.shape.release(touch(*places[-1]))


def test_one_drag_of_a_corner_is_one_change() -> None:
    told = Told(SQUARE)
    told.drag((100, 100), (110, 105), (130, 120))
    assert len(told.changes) == 1
    shape, deed = told.changes[0]
    assert deed == "shape"
    assert shape.equals(shapely.Polygon([(0, 0), (100, 0), (130, 120), (0, 100)]))
    assert len(told.tried) == 2


def test_dragging_the_inside_moves_the_whole() -> None:
    told = Told(SQUARE)
    told.drag((50, 50), (60, 80))
    shape, deed = told.changes[0]
    assert deed == "move"
    assert shape.bounds == (10, 30, 110, 130)
    assert shape.area == pytest.approx(SQUARE.area)


def test_a_press_beside_it_is_not_taken_and_a_click_puts_it_down() -> None:
    told = Told(SQUARE)
    assert not told.shape.press(touch(300, 300))
    told.shape.click(touch(300, 300))
    assert len(told.left) == 1


def test_a_double_click_on_a_line_makes_a_corner() -> None:
    told = Told(SQUARE)
    assert told.shape.double_click(touch(30, 4))
    shape, _ = told.changes[0]
    assert len(shape.exterior.coords) - 1 == 5
    assert (30.0, 0.0) in list(shape.exterior.coords)


def test_a_corner_let_go_on_its_neighbour_is_gone() -> None:
    told = Told(SQUARE)
    told.drag((100, 100), (50, 100), (4, 97))
    shape, _ = told.changes[0]
    assert len(shape.exterior.coords) - 1 == 3


def test_the_last_three_corners_stay() -> None:
    told = Told(shapely.Polygon([(0, 0), (100, 0), (0, 100)]))
    told.shape.key(Key.TAB, touch(0, 0))
    told.shape.key(Key.DELETE, touch(0, 0))
    assert told.changes == []


def test_an_outline_that_would_cross_itself_goes_back() -> None:
    told = Told(SQUARE)
    told.drag((100, 100), (50, -60))
    assert told.changes == []
    assert told.refused
    assert told.shape.geometry.equals(SQUARE)


def test_keys_walk_the_corners_and_move_them() -> None:
    told = Told(SQUARE)
    told.shape.key(Key.TAB, touch(0, 0))
    told.shape.key(Key.TAB, touch(0, 0))
    told.shape.key(Key.RIGHT, touch(0, 0))
    shape, deed = told.changes[-1]
    assert deed == "shape"
    assert (108.0, 0.0) in list(shape.exterior.coords)
    told.shape.key(Key.INSERT, touch(0, 0))
    assert len(told.changes[-1][0].exterior.coords) - 1 == 5
    told.shape.key(Key.DELETE, touch(0, 0))
    assert len(told.changes[-1][0].exterior.coords) - 1 == 4


def test_shift_and_an_arrow_move_the_whole_by_a_yard() -> None:
    # International yard: 0.9144 m (NBS, 24 FR 5348, 1959).
    told = Told(SQUARE)
    told.shape.key(Key.UP, touch(0, 0), is_fine=True)
    assert told.changes[0][0].bounds == pytest.approx((0, 0.9144, 100, 100.9144))


def test_a_middle_becomes_a_corner_when_it_is_dragged() -> None:
    told = Told(SQUARE)
    told.drag((50, 0), (50, -30))
    assert (50.0, -30.0) in list(told.changes[0][0].exterior.coords)


def test_a_middle_that_is_only_clicked_is_no_corner() -> None:
    told = Told(SQUARE)
    assert told.shape.press(touch(50, 0))
    told.shape.click(touch(50, 0))
    assert told.shape.geometry.equals(SQUARE)
    assert len(told.shape.sketch.corners_m) == 4


def test_a_point_moves_as_a_whole_and_snaps() -> None:
    told = Told(
        shapely.Point(10, 10), snapper=Snapper([shapely.LineString([(0, 100), (100, 100)])])
    )
    told.drag((12, 10), (60, 92))
    assert told.changes[0][0].y == pytest.approx(100)


def test_a_hole_and_a_second_part_keep_their_places() -> None:
    hole = shapely.Polygon(SQUARE.exterior, [[(40, 40), (60, 40), (60, 60), (40, 60)]])
    two = shapely.MultiPolygon([hole, shapely.box(200, 0, 300, 100)])
    told = Told(two)
    told.drag((60, 60), (70, 70))
    shape = told.changes[0][0]
    assert shape.geom_type == "MultiPolygon"
    assert shape.area == pytest.approx(two.area - (700.0 - 400.0), abs=400)
    assert len(shape.geoms[0].interiors) == 1
