"""Likely food: fields by what was planted, or by the land cover where no crops are known."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator
from dataclasses import dataclass
from importlib.resources import files
from typing import Final

import numpy as np
from scipy import ndimage
from shapely.geometry import Polygon

from funnelfinder.grid import Grid
from funnelfinder.ground import Ground, Raster
from funnelfinder.kernels import AnyArray, BoolArray
from funnelfinder.marks import MarkKind
from funnelfinder.suggestions.suggestion import Suggestion, distinct, largest_outline, side_of
from funnelfinder.units import ACRE_M2, said_area

#: Smaller fields are as likely an error of the map (4 to 5 of its cells; judgement).
LEAST_FIELD_M2: Final = 1.0 * ACRE_M2
_MOST_FIELDS: Final = 20
#: Classes of land cover that are fields, by legend: name and our word for the crop.
_FIELDS: Final = {
    "nlcd": {82: ("Crop field", ""), 81: ("Hay or pasture", "hay")},
    "worldcover": {40: ("Crop field", ""), 30: ("Grass or hay", "hay")},
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Crop:
    """A class of the crop cover: what it is called, and our word for it as food or nothing."""

    code: int
    name: str
    crop: str


def crop_table() -> dict[int, Crop]:
    """Return the classes of the national crop cover by code."""
    text = files("funnelfinder.data").joinpath("crops.csv").read_text(encoding="utf-8")
    rows = csv.DictReader(io.StringIO(text))
    return {
        int(row["code"]): Crop(code=int(row["code"]), name=row["name"], crop=row["crop"])
        for row in rows
    }


def likely_food(ground: Ground, crops: Raster | None = None) -> tuple[Suggestion, ...]:
    """Return fields that may feed deer, the largest first.

    Parameters
    ----------
    ground : Ground
        Of the property; its land cover is used where there is no crop cover.
    crops : Raster, optional
        Codes of the national crop cover on any grid.
    """
    found = list(_planted(crops) if crops is not None else _fields(ground))
    found.sort(key=lambda one: -one.geometry.area)
    return tuple(distinct(found[:_MOST_FIELDS]))


def _planted(crops: Raster) -> Iterator[Suggestion]:
    """Yield fields of crops that deer eat."""
    for code, crop in crop_table().items():
        if crop.crop:
            for outline in _pieces(crops.values == code, crops.grid):
                yield Suggestion(
                    kind=MarkKind.FOOD,
                    geometry=outline,
                    name=f"{crop.name.capitalize()}, {side_of(outline, crops.grid)}",
                    why=f"{said_area(outline.area)} of {crop.name} by {crops.source}; what grows"
                    " there now is for you to say.",
                    crop=crop.crop,
                )


def _fields(ground: Ground) -> Iterator[Suggestion]:
    """Yield fields of the land cover."""
    table = ground.cover_table
    for code, (name, crop) in _FIELDS.get(table.legend, {}).items():
        for outline in _pieces(_is_class(ground.cover, code), ground.grid):
            yield Suggestion(
                kind=MarkKind.FOOD,
                geometry=outline,
                name=f"{name}, {side_of(outline, ground.grid)}",
                why=f"{said_area(outline.area)} of {table.by_code[code].name} by the land cover;"
                " what grows there is for you to say.",
                crop=crop,
            )


def _is_class(cover: AnyArray, code: int) -> BoolArray:
    """Return where the cover has a code."""
    return np.asarray(cover == code)


def _pieces(mask: BoolArray, grid: Grid) -> Iterator[Polygon]:
    """Yield the outlines of the pieces that are large enough."""
    labels, n = ndimage.label(mask)
    sizes = np.bincount(labels.ravel(), minlength=n + 1) * grid.cell_m**2
    for label in np.flatnonzero(sizes[1:] >= LEAST_FIELD_M2) + 1:
        outline = largest_outline(labels == label, grid)
        if outline is not None and outline.area >= LEAST_FIELD_M2 / 2:
            yield outline
