"""What a detector is and what it finds: features of terrain and cover, with measured sizes."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from shapely.geometry.base import BaseGeometry

from funnelfinder.ground import Ground
from funnelfinder.marks import Property


@dataclass(frozen=True, slots=True, kw_only=True)
class Feature:
    """One feature of terrain or cover.

    Parameters
    ----------
    kind : str
        The trade's word: ``saddle``, ``bench``, ``point``, ``draw``, ``ditch head``,
        ``inside corner``, ``neck``, ``gap``, ``crossing``, ``field edge``.
    geometry : shapely geometry
        Where it is [m, UTM zone of the property]: a point, line or polygon.
    sizes : mapping of str to float
        Measured sizes, unit at the end of each name (``depth_m``, ``width_m``).
    words : str
        One plain sentence with the measured sizes, in units that people read.
    """

    kind: str
    geometry: BaseGeometry
    words: str
    sizes: Mapping[str, float] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Detector:
    """A way to find one kind of feature; registered in the group ``funnelfinder.detectors``.

    Parameters
    ----------
    name : str
        Short, unique, in the trade's words.
    words : str
        One sentence on what it looks for.
    source : str
        Where the definition comes from.
    find : callable
        Called with (ground, place); returns the features. It must not change either.
    """

    name: str
    words: str
    source: str
    find: Callable[[Ground, Property], list[Feature]]
