"""A property: its boundary, what a person marked on it, and the rules that marks keep.

Geometry is shapely, in metres of the property's UTM zone.
"""

from __future__ import annotations

import math
import uuid
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace
from enum import Enum
from typing import Final

from shapely.geometry import MultiPolygon
from shapely.geometry.base import BaseGeometry

from funnelfinder.defaults import Settings
from funnelfinder.errors import MarkError
from funnelfinder.land_cover import CoverTable, shipped_table
from funnelfinder.season import SeasonChoices


class MarkKind(Enum):
    """What a mark means; the value is the word in the column ``kind``."""

    BED = "bed"
    FOOD = "food"
    CORE = "core"
    COVER = "cover"
    WATER = "water"
    HOUSE = "house"
    ROAD = "road"
    FENCE = "fence"
    DITCH = "ditch"
    CREEK = "creek"
    GAP = "gap"
    CROSSING = "crossing"
    WAY_IN = "way-in"
    KEEP_OFF = "keep-off"
    RUB = "rub"
    SCRAPE = "scrape"
    TRACKS = "tracks"
    TRAIL = "trail"


_POLYGON: Final = frozenset({"Polygon", "MultiPolygon"})
_LINE: Final = frozenset({"LineString", "MultiLineString"})
_POINT: Final = frozenset({"Point", "MultiPoint"})

#: Which geometry types a kind of mark may have.
GEOMETRIES: Final[dict[MarkKind, frozenset[str]]] = {
    MarkKind.BED: _POLYGON,
    MarkKind.FOOD: _POLYGON,
    MarkKind.CORE: _POLYGON,
    MarkKind.COVER: _POLYGON,
    MarkKind.WATER: _POLYGON,
    MarkKind.HOUSE: _POINT | _POLYGON,
    MarkKind.ROAD: _LINE,
    MarkKind.FENCE: _LINE,
    MarkKind.DITCH: _LINE,
    MarkKind.CREEK: _LINE,
    MarkKind.GAP: _POINT | _LINE,
    MarkKind.CROSSING: _POINT | _LINE,
    MarkKind.WAY_IN: _POINT,
    MarkKind.KEEP_OFF: _POLYGON,
    MarkKind.RUB: _POINT,
    MarkKind.SCRAPE: _POINT,
    MarkKind.TRACKS: _POINT,
    MarkKind.TRAIL: _LINE,
}

SIGN_KINDS: Final = (MarkKind.RUB, MarkKind.SCRAPE, MarkKind.TRACKS, MarkKind.TRAIL)

#: The crop of a goal that is no food: a bed of does, which bucks walk to while they seek.
DOES_BED: Final = "bed of does"

#: Food that lies in the woods: its polygon does not turn the cover into an open field.
WOODS_FOOD: Final = frozenset(
    {DOES_BED, "acorns", "mast", "browse", "apples", "orchard", "persimmons"}
)

WHO: Final = ("buck", "doe", "either")


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """One thing that a person marked.

    Parameters
    ----------
    kind : MarkKind
        What it is.
    geometry : shapely geometry
        Where it is [m, UTM zone of the property]; its type must be one of `GEOMETRIES`.
    name, note : str
        What the person calls it and wrote about it.
    weight : float
        How much it is used relative to others of its kind, > 0.
    who : str
        For beds: ``buck``, ``doe`` or ``either``.
    crop : str
        For food: what grows there.
    phase_weights : dict of str to float
        For food: weights by phase of the season, beside ``weight``.
    height_m, width_m : float, optional
        Height of a fence; width of a creek, gap or crossing [m].
    cover_class : int, optional
        For cover: the class code that it is repainted with.
    key : str
        Stays the same while the mark is edited.

    Raises
    ------
    MarkError
        If the geometry does not fit the kind, is empty or crosses itself, or a number is out of
        range.
    """

    kind: MarkKind
    geometry: BaseGeometry
    name: str = ""
    note: str = ""
    weight: float = 1.0
    who: str = "either"
    crop: str = ""
    phase_weights: dict[str, float] = field(default_factory=dict)
    height_m: float | None = None
    width_m: float | None = None
    cover_class: int | None = None
    key: str = field(default_factory=lambda: uuid.uuid4().hex)

    def __post_init__(self) -> None:
        where = f"{self.kind.value} {self.name}".strip()
        if self.geometry.geom_type not in GEOMETRIES[self.kind]:
            fitting = " or ".join(sorted(GEOMETRIES[self.kind]))
            raise MarkError(
                f"It is a {self.geometry.geom_type}.",
                where=where,
                remedy=f"Draw it as {fitting}.",
            )
        if self.geometry.is_empty or not self.geometry.is_valid:
            raise MarkError(
                "Its outline is empty or crosses itself.",
                where=where,
                remedy="Draw it again without a crossing.",
            )
        if not 0 < self.weight < float("inf"):
            raise MarkError("Its weight is not above 0.", where=where, remedy="Give 0.25 to 4.")
        if self.who not in WHO:
            raise MarkError(
                f"{self.who!r} cannot bed.",
                where=where,
                remedy="Say buck, doe or either.",
            )
        if any(size is not None and not size > 0 for size in (self.height_m, self.width_m)):
            raise MarkError("Its height or width is not above 0 m.", where=where)

    @property
    def label(self) -> str:
        """The name, or the kind where it has none."""
        return self.name or self.kind.value


@dataclass(frozen=True, slots=True, kw_only=True)
class Pick:
    """What a person decided about a spot: taken or left, or one put there by hand.

    ``x_m, y_m`` is where the spot is [m]; ``is_taken`` false leaves it out; ``is_by_hand`` means
    that the person put it there; ``name`` is the person's own, or empty.
    """

    x_m: float
    y_m: float
    is_taken: bool = True
    is_by_hand: bool = False
    name: str = ""


#: No bow or gun is shot from a stand farther than this [m].
_FARTHEST_SHOT_M: Final = 1000.0


@dataclass(frozen=True, slots=True, kw_only=True)
class StandPick:
    """What a person decided about a stand: taken or left, or one put there by hand.

    Parameters
    ----------
    x_m, y_m : float
        Where the stand is [m].
    spot_x_m, spot_y_m : float
        The middle of the scrapes that it hunts [m]; spots are known by their place, since a run
        may number them anew.
    is_taken : bool
        False leaves a tree out that was found.
    is_by_hand : bool
        Whether the person put it there.
    name, note : str
        What the person calls it and wrote about it; both may be empty.
    shot_m : float, optional
        How far the person shoots from it [m]; None takes the setting.
    key : str
        Stays the same while the stand is edited.

    Raises
    ------
    MarkError
        If a place is no number, or the shot is not between 0 and 1,000 m.
    """

    x_m: float
    y_m: float
    spot_x_m: float
    spot_y_m: float
    is_taken: bool = True
    is_by_hand: bool = False
    name: str = ""
    note: str = ""
    shot_m: float | None = None
    key: str = field(default_factory=lambda: uuid.uuid4().hex)

    def __post_init__(self) -> None:
        where = f"stand {self.name}".strip()
        if not all(map(math.isfinite, (self.x_m, self.y_m, self.spot_x_m, self.spot_y_m))):
            raise MarkError("It has no place.", where=where, remedy="Put it on the map again.")
        if self.shot_m is not None and not 0 < self.shot_m <= _FARTHEST_SHOT_M:
            raise MarkError(
                "Its shot is not between 0 and 1,000 m.",
                where=where,
                remedy="Give how far you shoot from it, or leave it empty.",
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class Property:
    """One piece of ground and all that a person said of it.

    Parameters
    ----------
    name : str
        What the person calls it.
    epsg : int
        Code of the UTM zone of the boundary's centroid (EPSG 326xx or 327xx).
    boundary : MultiPolygon
        What the person has permission to hunt [m].
    marks : tuple of Mark
        In the order drawn.
    settings : Settings
        Every number that the person may change.
    cover_table : CoverTable
        Costs by land-cover class.
    detectors_off : frozenset of str
        Names of the detectors that are switched off.
    picks : tuple of Pick
        The person's decisions on spots.
    stands : tuple of StandPick
        The person's decisions on stands, in the order made; no two share a key or a name.
    peak_breeding : str
        Local peak breeding date as ``MM-DD``; empty until the person sets it.
    season : SeasonChoices
        What the person chose for the season.
    time_zone : str
        The place's clock, as America/New_York; empty guesses it from the longitude.
    """

    name: str
    epsg: int
    boundary: MultiPolygon
    marks: tuple[Mark, ...] = ()
    settings: Settings = field(default_factory=Settings)
    cover_table: CoverTable = field(default_factory=lambda: shipped_table("nlcd"))
    detectors_off: frozenset[str] = frozenset()
    picks: tuple[Pick, ...] = ()
    stands: tuple[StandPick, ...] = ()
    peak_breeding: str = ""
    season: SeasonChoices = field(default_factory=SeasonChoices)
    time_zone: str = ""

    def __post_init__(self) -> None:
        if self.boundary.is_empty or not self.boundary.is_valid or self.boundary.area <= 0:
            raise MarkError(
                "The boundary is empty or crosses itself.",
                where=self.name,
                remedy="Draw it again as one or more plain outlines.",
            )
        keys = [stand.key for stand in self.stands]
        names = [stand.name for stand in self.stands if stand.name and stand.is_taken]
        twice = next((name for name in names if names.count(name) > 1), None)
        if twice is not None or len(set(keys)) < len(keys):
            raise MarkError(
                "Two stands have the same name.",
                where=twice or self.name,
                remedy="Give each stand a name of its own, or none.",
            )

    def of_kind(self, *kinds: MarkKind) -> Iterator[Mark]:
        """Yield the marks of these kinds, in the order drawn."""
        return (mark for mark in self.marks if mark.kind in kinds)

    def with_mark(self, mark: Mark) -> Property:
        """Return the property with a mark added, or replaced where its key is known."""
        if any(other.key == mark.key for other in self.marks):
            marks = tuple(mark if other.key == mark.key else other for other in self.marks)
        else:
            marks = (*self.marks, mark)
        return replace(self, marks=marks)

    def with_marks(self, marks: Iterable[Mark]) -> Property:
        """Return the property with marks added; those of the same kind and name are replaced.

        Marks without a name replace none, and marks that come together do not replace each other.
        """
        added = tuple(marks)
        known = {(mark.kind, mark.name) for mark in added if mark.name}
        kept = tuple(mark for mark in self.marks if (mark.kind, mark.name) not in known)
        return replace(self, marks=(*kept, *added))

    def without_mark(self, key: str) -> Property:
        """Return the property without the mark of this key."""
        return replace(self, marks=tuple(mark for mark in self.marks if mark.key != key))

    def with_stand(self, stand: StandPick) -> Property:
        """Return the property with a stand added, or replaced where its key is known.

        Raises
        ------
        MarkError
            If another stand has its name.
        """
        if any(other.key == stand.key for other in self.stands):
            stands = tuple(stand if other.key == stand.key else other for other in self.stands)
        else:
            stands = (*self.stands, stand)
        return replace(self, stands=stands)

    def without_stand(self, key: str) -> Property:
        """Return the property without the stand of this key."""
        return replace(self, stands=tuple(one for one in self.stands if one.key != key))
