"""All suggestions together: what is marked is not suggested again, and taking one makes a mark."""

from __future__ import annotations

import numpy as np

from funnelfinder.marks import MarkKind
from funnelfinder.suggestions import suggestions
from funnelfinder.suggestions.suggestion import compass, distinct, largest_outline
from tests import scenes
from tests.suggestions.test_beds import hill


def mixed(x, y):
    """Evergreens with a field in the south."""
    return np.where(y < 100, 82, 42)


def test_food_comes_before_beds():
    place, grids = scenes.scene(height=hill, cover=mixed)
    kinds = [one.kind for one in suggestions(place, grids)]
    assert kinds[0] is MarkKind.FOOD
    assert MarkKind.BED in kinds
    assert kinds == sorted(kinds, key=lambda kind: kind is MarkKind.BED)


def test_what_is_marked_is_not_suggested():
    place, grids = scenes.scene(height=hill, cover=mixed)
    first = suggestions(place, grids)
    taken = [one.as_mark() for one in first]
    assert suggestions(scenes.with_marks(place, *taken[:1]), grids) == first[1:]
    assert not {one.name for one in suggestions(scenes.with_marks(place, *taken), grids)} & {
        one.name for one in first
    }


def test_nothing_uses_a_suggestion_until_it_is_taken():
    """Finding them leaves the property as it was."""
    place, grids = scenes.scene(height=hill, cover=mixed)
    assert suggestions(place, grids)
    assert place.marks == ()


def test_a_taken_one_is_a_mark_like_any_other():
    place, grids = scenes.scene(height=hill, cover=mixed)
    one = suggestions(place, grids)[0]
    mark = one.as_mark()
    assert (mark.kind, mark.name, mark.crop, mark.note) == (one.kind, one.name, one.crop, one.why)


def test_compass_words():
    assert [compass(one) for one in (0, 44, 135, 337.6)] == [
        "north",
        "north-east",
        "south-east",
        "north",
    ]


def test_outlines_follow_the_largest_piece():
    place, grids = scenes.scene()
    mask = np.zeros(grids.cover.grid.shape, dtype=bool)
    assert largest_outline(mask, grids.cover.grid) is None
    mask[2:4, 2:4] = True
    mask[10:20, 10:25] = True
    assert largest_outline(mask, grids.cover.grid).area == 10 * 15 * 100.0
    assert place.marks == ()


def test_names_are_numbered_from_the_second_on():
    place, grids = scenes.scene(height=hill, cover=mixed)
    one = suggestions(place, grids)[0]
    assert [each.name for each in distinct([one, one, one])] == [
        one.name,
        f"{one.name} 2",
        f"{one.name} 3",
    ]
