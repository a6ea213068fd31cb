"""Corners of geometries and back."""

import pytest
import shapely

from ui.gestures import crossing_of, geometry_of, outline_of

SHAPES = [
    shapely.Point(1, 2),
    shapely.LineString([(0, 0), (5, 5), (9, 0)]),
    shapely.Polygon([(0, 0), (9, 0), (9, 9)], [[(5, 1), (6, 1), (6, 2)]]),
    shapely.MultiPolygon([shapely.box(0, 0, 1, 1), shapely.box(3, 3, 5, 5)]),
    shapely.MultiLineString([[(0, 0), (1, 1)], [(4, 4), (5, 6)]]),
    shapely.MultiPoint([(0, 0), (3, 3)]),
]


@pytest.mark.parametrize("shape", SHAPES, ids=lambda shape: shape.geom_type)
def test_a_geometry_comes_back_equal(shape: shapely.Geometry) -> None:
    back = geometry_of(outline_of(shape))
    assert back.geom_type == shape.geom_type
    assert back.equals(shape)


def test_neighbouring_sides_meet_without_crossing() -> None:
    assert crossing_of([(0, 0), (4, 0), (4, 4)], is_closed=True) is None
    assert crossing_of([(0, 0), (4, 4), (4, 0), (0, 4)], is_closed=True) == (2.0, 2.0)


def test_a_line_that_turns_back_on_itself_crosses() -> None:
    assert crossing_of([(0, 0), (4, 0), (2, 0)], is_closed=False) is not None
