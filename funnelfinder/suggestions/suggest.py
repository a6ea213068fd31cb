"""All suggestions of a property, without what is marked already."""

from __future__ import annotations

from funnelfinder.ground import Grids, Raster, prepare_ground
from funnelfinder.marks import Property
from funnelfinder.suggestions.beds import likely_beds
from funnelfinder.suggestions.food import likely_food
from funnelfinder.suggestions.suggestion import Suggestion


def suggestions(
    place: Property, grids: Grids, crops: Raster | None = None
) -> tuple[Suggestion, ...]:
    """Return likely food, then likely beds, that touch no mark of the same kind.

    They are only offered: nothing is computed from them until a person takes one.

    Parameters
    ----------
    place : Property
        Boundary and marks.
    grids : Grids
        Elevation and land cover.
    crops : Raster, optional
        Codes of the national crop cover.
    """
    ground = prepare_ground(place, grids)
    found = (*likely_food(ground, crops), *likely_beds(ground))
    return tuple(one for one in found if not _is_marked(one, place))


def _is_marked(one: Suggestion, place: Property) -> bool:
    """Return whether a mark of the same kind lies there already."""
    return any(one.geometry.intersects(mark.geometry) for mark in place.of_kind(one.kind))
