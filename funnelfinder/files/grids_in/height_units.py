"""In which unit a file's heights are: stated by the file, told by the person, never guessed."""

from __future__ import annotations

from typing import Final

from pyproj import CRS

from funnelfinder.errors import GridError
from funnelfinder.files.map_systems import map_unit_m, vertical_unit_m
from funnelfinder.units import FOOT_M, US_SURVEY_FOOT_M

#: What a person may say, in metres.
HEIGHT_UNITS_M: Final[dict[str, float]] = {"m": 1.0, "ft": FOOT_M, "us-ft": US_SURVEY_FOOT_M}

_TAGS_M: Final[dict[str, float]] = {
    **dict.fromkeys(("m", "metre", "metres", "meter", "meters"), 1.0),
    **dict.fromkeys(("ft", "foot", "feet", "international foot", "international feet"), FOOT_M),
    **dict.fromkeys(
        ("us-ft", "ftus", "us survey foot", "us survey feet", "us_survey_foot", "foot_us"),
        US_SURVEY_FOOT_M,
    ),
    **dict.fromkeys(("cm", "centimetre", "centimeter"), 0.01),
    **dict.fromkeys(("dm", "decimetre", "decimeter"), 0.1),
}
#: Two feet differ by 2 millionths; metres and feet by a factor of three.
_SAME: Final = 1e-4


def height_unit_m(
    crs: CRS, band_unit: str | None, told: str | None, name: str
) -> tuple[float, tuple[str, ...]]:
    """Return the unit of a file's heights [m], with notes.

    Parameters
    ----------
    crs : CRS
        The file's whole coordinate reference system, its vertical part included.
    band_unit : str or None
        The unit that the band is tagged with.
    told : str or None
        What the person said: a key of `HEIGHT_UNITS_M`; it overrules the file.
    name : str
        The file's name, for notes and errors.

    Raises
    ------
    GridError
        If the map is in feet and nobody says what the heights are in, if the file contradicts
        itself, or if the person's word is unknown.
    """
    stated = _stated_m(crs, band_unit, told, name)
    if told is not None:
        unit = _told_m(told)
        if stated is not None and abs(unit / stated - 1) > _SAME:
            said, taken = _word(stated), _word(unit)
            return unit, (f"{name}: it says {said} for its heights; {taken} were taken, as told.",)
        return unit, ()
    if stated is not None:
        return stated, ()
    map_unit = map_unit_m(crs)
    if map_unit is not None and abs(map_unit - 1.0) > _SAME:
        raise GridError(
            "Its map is in feet, and it does not say whether its heights are feet or metres.",
            where=name,
            remedy="Pass the height unit: m, ft or us-ft.",
        )
    return 1.0, (f"{name}: the unit of heights is not stated; metres were taken.",)


def _stated_m(crs: CRS, band_unit: str | None, told: str | None, name: str) -> float | None:
    """Return the unit that the file states, by its vertical system or its band."""
    by_crs = vertical_unit_m(crs)
    by_band = _TAGS_M.get((band_unit or "").strip().lower())
    if by_crs is not None and by_band is not None and abs(by_crs / by_band - 1) > _SAME:
        if told is None:
            raise GridError(
                f"Its vertical system says {_word(by_crs)}, its band {_word(by_band)}.",
                where=name,
                remedy="Pass the height unit: m, ft or us-ft.",
            )
        return None
    return by_crs if by_crs is not None else by_band


def _told_m(told: str) -> float:
    """Return the unit that a person means [m]."""
    word = told.strip().lower()
    unit = HEIGHT_UNITS_M.get(word, _TAGS_M.get(word))
    if unit is None:
        raise GridError(
            f"{told!r} is no unit of heights.", remedy="Say m, ft or us-ft (US survey feet)."
        )
    return unit


def _word(unit_m: float) -> str:
    """Return a unit as people say it."""
    for word, known in (("metres", 1.0), ("feet", FOOT_M), ("centimetres", 0.01)):
        if abs(unit_m / known - 1) <= _SAME:
            return word
    return f"units of {unit_m:g} m"
