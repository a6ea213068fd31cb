"""Marks, and the rules that a property keeps."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
import shapely

from funnelfinder.errors import MarkError
from funnelfinder.marks import GEOMETRIES, Mark, MarkKind, Pick, StandPick
from tests import scenes

BED = scenes.mark(MarkKind.BED, scenes.disc(100, 100), "West bed")
FENCE = scenes.mark(MarkKind.FENCE, scenes.line((0, 0), (90, 0)))


def bare():
    place, _ = scenes.scene()
    return place


def test_every_kind_has_geometries_and_a_word_of_its_own():
    assert set(GEOMETRIES) == set(MarkKind)
    assert len({kind.value for kind in MarkKind}) == len(MarkKind)


def test_a_mark_of_the_same_kind_and_name_is_replaced():
    moved = replace(BED, geometry=scenes.disc(300, 100), key="moved")
    place = bare().with_marks([BED, FENCE]).with_marks([moved])
    assert place.marks == (FENCE, moved)


def test_the_same_name_of_another_kind_stays():
    food = scenes.mark(MarkKind.FOOD, scenes.disc(300, 100), "West bed")
    assert bare().with_marks([BED]).with_marks([food]).marks == (BED, food)


def test_marks_without_a_name_replace_none():
    assert len(bare().with_marks([FENCE]).with_marks([replace(FENCE, key="other")]).marks) == 2


def test_marks_that_come_together_do_not_replace_each_other():
    both = [BED, replace(BED, key="second part")]
    assert bare().with_marks(both).marks == tuple(both)


def test_a_mark_is_replaced_by_its_key_and_removed_by_it():
    renamed = replace(BED, name="Far bed")
    place = bare().with_mark(BED).with_mark(FENCE).with_mark(renamed)
    assert place.marks == (renamed, FENCE)
    assert place.without_mark(BED.key).marks == (FENCE,)


def test_marks_are_found_by_kind_in_the_order_drawn():
    place = bare().with_marks([FENCE, BED])
    assert list(place.of_kind(MarkKind.BED, MarkKind.FENCE)) == [FENCE, BED]
    assert list(place.of_kind(MarkKind.FOOD)) == []


BOW_TIE = shapely.Polygon([(0, 0), (9, 9), (9, 0), (0, 9)])


@pytest.mark.parametrize(
    ("given", "words"),
    [
        ({"geometry": scenes.point(1, 1)}, "Point"),
        ({"geometry": BOW_TIE}, "crosses itself"),
        ({"geometry": shapely.Polygon()}, "empty"),
        ({"weight": 0.0}, "weight"),
        ({"weight": math.nan}, "weight"),
        ({"weight": math.inf}, "weight"),
        ({"who": "turkey"}, "turkey"),
        ({"width_m": -1.0}, "above 0"),
        ({"height_m": 0.0}, "above 0"),
    ],
)
def test_a_mark_that_cannot_be_says_which_and_why(given, words):
    with pytest.raises(MarkError, match=f"bed West bed: .*{words}"):
        Mark(**{"kind": MarkKind.BED, "geometry": BED.geometry, "name": "West bed", **given})


@pytest.mark.parametrize("outline", [shapely.MultiPolygon(), shapely.MultiPolygon([BOW_TIE])])
def test_a_boundary_that_cannot_be_is_refused(outline):
    with pytest.raises(MarkError, match="boundary"):
        replace(bare(), boundary=outline)


def test_a_mark_without_a_name_is_called_by_its_kind():
    assert (BED.label, FENCE.label) == ("West bed", "fence")


def test_a_pick_is_taken_unless_it_says_otherwise():
    assert Pick(x_m=1.0, y_m=2.0).is_taken


def stand(**more):
    return StandPick(**{"x_m": 1.0, "y_m": 2.0, "spot_x_m": 3.0, "spot_y_m": 4.0, **more})


def test_a_stand_is_replaced_by_its_key_and_removed_by_it():
    first, second = stand(name="Twin oak"), stand()
    place = bare().with_stand(first).with_stand(second)
    moved = replace(first, x_m=9.0)
    assert place.with_stand(moved).stands == (moved, second)
    assert place.without_stand(first.key).stands == (second,)
    assert place.stands == (first, second)


@pytest.mark.parametrize(
    ("given", "words"),
    [
        ({"x_m": math.nan}, "no place"),
        ({"spot_y_m": math.inf}, "no place"),
        ({"shot_m": 0.0}, "shot"),
        ({"shot_m": math.nan}, "shot"),
        ({"shot_m": 1001.0}, "shot"),
    ],
)
def test_a_stand_that_cannot_be_says_which_and_why(given, words):
    with pytest.raises(MarkError, match=f"stand Twin oak: .*{words}"):
        stand(name="Twin oak", **given)


def test_two_stands_may_not_share_a_name_or_a_key():
    place = bare().with_stand(stand(name="Twin oak"))
    with pytest.raises(MarkError, match="Twin oak: Two stands have the same name"):
        place.with_stand(stand(name="Twin oak"))
    with pytest.raises(MarkError, match="same name"):
        replace(place, stands=(stand(key="a"), stand(key="a")))
    assert len(place.with_stand(stand(name="Twin oak", is_taken=False)).stands) == 2
