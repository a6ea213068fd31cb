"""Land-cover legends: what each class costs to cross, and what kind of cover it is.

A `CoverTable` is the editable form: one row for each class code. The shipped tables are for the
National Land Cover Database and ESA WorldCover v200; the cost weights are judgement, not measured
on whitetails (Zeller, McGarigal & Whiteley 2012, Landscape Ecol. 27:777, on why that matters).
"""

from __future__ import annotations

import csv
import io
import math
from dataclasses import dataclass, replace
from functools import cached_property
from importlib.resources import files
from typing import Final

import numpy as np

from funnelfinder.errors import SettingError
from funnelfinder.kernels import AnyArray, BoolArray, FloatArray

LEGENDS: Final = ("nlcd", "worldcover")
_COLUMNS: Final = (
    "code",
    "name",
    "resistance",
    "low",
    "high",
    "open",
    "woody",
    "water",
    "built",
    "hole",
    "source",
)
_HIGHEST_CODE: Final = 255


@dataclass(frozen=True, slots=True, kw_only=True)
class CoverClass:
    """One class of a legend.

    ``resistance`` is the cost of a metre relative to the best cover, drawn between ``low`` and
    ``high`` in redraws. ``is_open`` ground exposes deer, ``is_woody`` cover hides them and holds
    branches, ``is_water`` is removed where it is wide, ``is_built`` keeps deer away, ``is_hole``
    means that nothing is known.
    """

    code: int
    name: str
    resistance: float
    low: float
    high: float
    is_open: bool = False
    is_woody: bool = False
    is_water: bool = False
    is_built: bool = False
    is_hole: bool = False
    source: str = "the user's table"

    def __post_init__(self) -> None:
        where = f"class {self.code} of the cover table"
        if not 0 <= self.code <= _HIGHEST_CODE:
            raise SettingError("The code is not between 0 and 255.", where=where)
        if not 1.0 <= self.low <= self.resistance <= self.high < math.inf:
            raise SettingError(
                f"Its costs {self.low}, {self.resistance}, {self.high} are not in order from 1 on.",
                where=where,
                remedy="Give low, resistance and high so that 1 <= low <= resistance <= high.",
            )


@dataclass(frozen=True, kw_only=True)
class CoverTable:
    """A whole legend; ``legend`` names where its codes come from."""

    legend: str
    classes: tuple[CoverClass, ...]

    def __post_init__(self) -> None:
        codes = [one.code for one in self.classes]
        if len(set(codes)) != len(codes):
            raise SettingError("A class code stands twice.", where="cover table")

    @cached_property
    def by_code(self) -> dict[int, CoverClass]:
        """The classes by their code."""
        return {one.code: one for one in self.classes}

    def resistance(self, codes: AnyArray) -> FloatArray:
        """Return the cost per metre of each code, NaN where the legend does not know it."""
        table = np.full(_HIGHEST_CODE + 1, np.nan)
        for one in self.classes:
            table[one.code] = one.resistance
        return np.asarray(table[np.asarray(codes, dtype=np.uint8)])

    def is_kind(self, codes: AnyArray, kind: str) -> BoolArray:
        """Return where the codes are open, woody, water, built, hole or known."""
        table = np.zeros(_HIGHEST_CODE + 1, dtype=bool)
        for one in self.classes:
            table[one.code] = kind == "known" or bool(getattr(one, f"is_{kind}"))
        return np.asarray(table[np.asarray(codes, dtype=np.uint8)])

    @property
    def crop_code(self) -> int:
        """The class that a marked crop field is repainted with: the dearest open class in use."""
        preferred = {"nlcd": 82, "worldcover": 40}.get(self.legend)
        if preferred in self.by_code:
            return int(preferred or 0)
        opens = [one.code for one in self.classes if one.is_open]
        return opens[-1] if opens else self.classes[0].code

    @property
    def hole_code(self) -> int:
        """The class that stands for cells without land cover."""
        return next((one.code for one in self.classes if one.is_hole), 0)

    def with_resistances(self, by_code: dict[int, float]) -> CoverTable:
        """Return the table with other costs; ranges widen where a cost leaves them."""
        return replace(
            self,
            classes=tuple(
                _recosted(one, by_code[one.code]) if one.code in by_code else one
                for one in self.classes
            ),
        )


def _recosted(one: CoverClass, resistance: float) -> CoverClass:
    """Return the class at another cost, its range widened to hold it."""
    return replace(
        one,
        resistance=resistance,
        low=min(one.low, resistance),
        high=max(one.high, resistance),
    )


def shipped_table(legend: str) -> CoverTable:
    """Return the shipped table of ``legend`` (`LEGENDS`).

    Raises
    ------
    SettingError
        If there is none of that name.

    Examples
    --------
    >>> shipped_table("nlcd").by_code[41].name
    'deciduous forest'
    """
    if legend not in LEGENDS:
        raise SettingError(
            "No land-cover legend of that name is shipped.",
            where=legend,
            remedy="Use nlcd, worldcover or a table of your own as a CSV file.",
        )
    text = files("funnelfinder.data").joinpath(f"{legend}.csv").read_text(encoding="utf-8")
    return table_from_csv(text, legend=legend, where=f"{legend}.csv")


def table_from_csv(text: str, *, legend: str, where: str) -> CoverTable:
    """Return the cover table that a CSV text holds.

    Parameters
    ----------
    text : str
        Columns code, name, resistance, low, high, open, woody, water, built, hole, source; only
        code and resistance are needed.
    legend : str
        Name of the legend.
    where : str
        What to call the text in an error.

    Raises
    ------
    SettingError
        If a column is missing or a row cannot be read.
    """
    reader = csv.DictReader(io.StringIO(text))
    missing = {"code", "resistance"} - set(reader.fieldnames or ())
    if missing:
        raise SettingError(
            f"The cover table lacks the column {min(missing)!r}.",
            where=where,
            remedy="Its columns are: " + ", ".join(_COLUMNS) + ".",
        )
    classes = tuple(_class_from_row(row, f"{where} line {reader.line_num}") for row in reader)
    if not classes:
        raise SettingError("The cover table has no rows.", where=where)
    return CoverTable(legend=legend, classes=classes)


def _class_from_row(row: dict[str, str], where: str) -> CoverClass:
    """Return one class of a CSV row."""
    try:
        resistance = float(row["resistance"])
        return CoverClass(
            code=int(row["code"]),
            name=row.get("name") or f"class {row['code']}",
            resistance=resistance,
            low=float(row.get("low") or max(1.0, resistance / 1.5)),
            high=float(row.get("high") or resistance * 1.5),
            source=row.get("source") or "the user's table",
            **{f"is_{kind}": _is_yes(row.get(kind)) for kind in _COLUMNS[5:10]},
        )
    except (TypeError, ValueError) as error:
        if isinstance(error, SettingError):
            raise
        raise SettingError(
            "A row of the cover table holds something that is not a number.",
            where=where,
            remedy="Give whole codes and costs from 1 on.",
        ) from error


def _is_yes(word: str | None) -> bool:
    """Return whether a cell of the table says yes."""
    return (word or "").strip().lower() in {"1", "yes", "true", "x"}


def table_to_csv(table: CoverTable) -> str:
    """Return the table as CSV text that `table_from_csv` reads back equal."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(_COLUMNS)
    for one in table.classes:
        kinds = [int(getattr(one, f"is_{kind}")) for kind in _COLUMNS[5:10]]
        writer.writerow([one.code, one.name, one.resistance, one.low, one.high, *kinds, one.source])
    return out.getvalue()
