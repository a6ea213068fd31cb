"""What the window knows of each kind of mark: its word, its key, its icon, how it is drawn."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

import shapely
from shapely.geometry.base import BaseGeometry

from funnelfinder.marks import Mark, MarkKind

from .gestures import Form, Point


@dataclass(frozen=True, slots=True, kw_only=True)
class KindWords:
    """One kind of mark: ``word`` as people read it, ``key`` that starts it, what to do first."""

    kind: MarkKind
    word: str
    form: Form
    hint: str
    key: str = ""
    tip: str = ""

    @property
    def icon(self) -> str:
        """The name of its icon."""
        return self.kind.value


_ALL: Final = (
    KindWords(
        kind=MarkKind.BED,
        word="Bed",
        form=Form.AREA,
        key="B",
        hint="Where do deer bed? <b>Click</b> around the place.",
        tip="Where deer lie up by day. Trips start here.",
    ),
    KindWords(
        kind=MarkKind.FOOD,
        word="Food",
        form=Form.AREA,
        key="F",
        hint="What do they walk to? <b>Click</b> around the field or the oaks.",
        tip="A field, a plot, a stand of oaks. Trips end here.",
    ),
    KindWords(
        kind=MarkKind.FENCE,
        word="Fence",
        form=Form.LINE,
        key="L",
        hint="<b>Click</b> along the fence.",
        tip="Deer cross it, at a cost; from 8 feet on they do not.",
    ),
    KindWords(
        kind=MarkKind.GAP,
        word="Gap",
        form=Form.PLACE,
        key="G",
        hint="<b>Click</b> where the fence is open or down.",
        tip="Where a fence is open. Trips are drawn to it.",
    ),
    KindWords(
        kind=MarkKind.CROSSING,
        word="Crossing",
        form=Form.PLACE,
        key="C",
        hint="<b>Click</b> where they cross the creek or ditch.",
        tip="Where a creek or ditch is easy to cross.",
    ),
    KindWords(
        kind=MarkKind.WAY_IN,
        word="Way in",
        form=Form.PLACE,
        key="W",
        hint="<b>Click</b> where you park or open the gate.",
        tip="Where you come from on foot.",
    ),
    KindWords(
        kind=MarkKind.KEEP_OFF,
        word="Keep off",
        form=Form.AREA,
        key="K",
        hint="<b>Click</b> around ground that you may not enter. Deer still cross it.",
        tip="Ground without spots or ways in. Deer may cross it.",
    ),
    KindWords(
        kind=MarkKind.HOUSE,
        word="House",
        form=Form.PLACE,
        key="H",
        hint="<b>Click</b> the house.",
        tip="Deer keep away from it, and so do scrapes.",
    ),
    KindWords(
        kind=MarkKind.RUB,
        word="Rub",
        form=Form.PLACE,
        hint="<b>Click</b> the rubbed tree.",
        tip="A tree that a buck rubbed bare.",
    ),
    KindWords(
        kind=MarkKind.SCRAPE,
        word="Scrape",
        form=Form.PLACE,
        hint="<b>Click</b> the scrape you found.",
        tip="A scrape that deer made themselves.",
    ),
    KindWords(
        kind=MarkKind.TRACKS,
        word="Tracks",
        form=Form.PLACE,
        hint="<b>Click</b> where the tracks are.",
        tip="Prints on the ground.",
    ),
    KindWords(
        kind=MarkKind.TRAIL,
        word="Trail",
        form=Form.LINE,
        hint="<b>Click</b> along the trail you saw.",
        tip="A beaten trail.",
    ),
    KindWords(
        kind=MarkKind.CORE,
        word="Core",
        form=Form.AREA,
        hint="<b>Click</b> around the 10 to 15 acres he seldom leaves.",
        tip="The heart of a buck's ground.",
    ),
    KindWords(
        kind=MarkKind.COVER,
        word="Cover",
        form=Form.AREA,
        hint="<b>Click</b> around cover that the grid shows wrongly.",
        tip="Paints over the land cover where it is wrong or out of date.",
    ),
    KindWords(
        kind=MarkKind.WATER,
        word="Water",
        form=Form.AREA,
        hint="<b>Click</b> around the pond or river.",
        tip="Water that the grid does not show. Trips go round it where it is wide.",
    ),
    KindWords(
        kind=MarkKind.CREEK,
        word="Creek",
        form=Form.LINE,
        hint="<b>Click</b> along the creek.",
        tip="Deer cross it, at a cost.",
    ),
    KindWords(
        kind=MarkKind.DITCH,
        word="Ditch",
        form=Form.LINE,
        hint="<b>Click</b> along the ditch.",
        tip="Deer cross it, at a cost.",
    ),
    KindWords(
        kind=MarkKind.ROAD,
        word="Road",
        form=Form.LINE,
        hint="<b>Click</b> along the road.",
        tip="Deer keep away from it, and so do scrapes.",
    ),
)

KINDS: Final[dict[MarkKind, KindWords]] = {one.kind: one for one in _ALL}
#: Shown at once: the two that trips need, then the next most useful; sign opens four of its own.
FIRST_KINDS: Final = (MarkKind.BED, MarkKind.FOOD)
NEXT_KINDS: Final = (
    MarkKind.FENCE,
    MarkKind.GAP,
    MarkKind.CROSSING,
    MarkKind.WAY_IN,
    MarkKind.KEEP_OFF,
    MarkKind.HOUSE,
)
MORE_KINDS: Final = (
    MarkKind.CREEK,
    MarkKind.DITCH,
    MarkKind.ROAD,
    MarkKind.WATER,
    MarkKind.COVER,
    MarkKind.CORE,
)


def unused_name(kind: MarkKind, marks: Iterable[Mark]) -> str:
    """Return a plain name that no mark has yet: "Bed 3".

    Examples
    --------
    >>> unused_name(MarkKind.BED, [])
    'Bed 1'
    """
    taken = {mark.name for mark in marks}
    number = 1
    while f"{KINDS[kind].word} {number}" in taken:
        number += 1
    return f"{KINDS[kind].word} {number}"


def drawn_geometry(form: Form, corners: tuple[Point, ...]) -> BaseGeometry:
    """Return the geometry of corners that a hand drew."""
    if form is Form.PLACE:
        return shapely.Point(corners[0])
    if form is Form.LINE:
        return shapely.LineString(corners)
    return shapely.Polygon(corners)


def said_mark(mark: Mark) -> str:
    """Return a mark in words, for those who hear the map.

    Examples
    --------
    >>> from shapely import Point
    >>> said_mark(Mark(kind=MarkKind.WAY_IN, geometry=Point(0, 0), name="Pump lane gate"))
    'Way in, Pump lane gate'
    """
    words = [KINDS[mark.kind].word, *([mark.name] if mark.name else [])]
    if mark.kind is MarkKind.BED:
        words.append(mark.who)
    if mark.crop:
        words.append(mark.crop)
    return ", ".join(words)
