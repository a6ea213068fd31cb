"""What the window says of stands and sits: short sentences, shares of 100, how sure."""

from __future__ import annotations

import math
from datetime import timedelta

import numpy as np

from funnelfinder.daylight import Half
from funnelfinder.defaults import StandSettings
from funnelfinder.scrapes import Cluster
from funnelfinder.stands import JudgedStand, Sit, Stand, WindTable, choose_set
from funnelfinder.sun import SunDay
from funnelfinder.units import UnitSystem, said_clock, said_length, said_share
from funnelfinder.wind import said_compass

from .controls.wind_dial import Petal
from .look.said import said_bearing
from .wind_set import MPH, Swing, Wind
from .workers.sit_tasks import SpotLight

#: From here up the words give no direction to a wind [m/s]; below it air is calm.
_CALM_M_S = 0.75
#: Fewer others alerted than this are not worth a word [share].
_FEW_OTHERS = 0.01


def said_speed(speed_m_s: float, *, is_metric: bool) -> str:
    """Return a speed of wind.

    Examples
    --------
    >>> said_speed(3.129, is_metric=False), said_speed(3.129, is_metric=True)
    ('7 mph', '11 km/h')
    """
    return f"{speed_m_s * 3.6:.0f} km/h" if is_metric else f"{speed_m_s / MPH:.0f} mph"


def is_calm(wind: Wind) -> bool:
    """Return whether a wind is too weak to have a direction."""
    return wind.speed_m_s < _CALM_M_S


def said_wind(wind: Wind, *, is_metric: bool) -> str:
    """Return the wind that is set: "NW at 7 mph"."""
    if is_calm(wind):
        return "calm"
    speed = said_speed(wind.speed_m_s, is_metric=is_metric)
    if wind.swing is Swing.ALL_OVER:
        return f"variable wind at {speed}"
    swings = ", swinging" if wind.swing is Swing.SWINGS else ""
    return f"{said_compass(wind.from_deg)} at {speed}{swings}"


def said_unsure(wind: Wind) -> str:
    """Return what a calm or variable wind is, in a sentence; empty for a wind with a direction."""
    if is_calm(wind):
        return (
            "Calm: no petal tells. Scent pools round the tree, or drains down the slope toward "
            "sunset and at night when the sky is clear."
        )
    if wind.swing is Swing.ALL_OVER:
        return "Variable: every direction is as likely, and no petal tells alone."
    return ""


def said_light(light: SpotLight, half: Half, day: SunDay) -> str:
    """Return how a spot's trips come in legal light, with the band and the middle trip's time."""
    low, high = 100 * light.light_low, 100 * light.light_high
    words = (
        f"<b>{said_share(light.light_share)} trips</b> come in legal light "
        f"({low:.0f} under heavy to {high:.0f} under light pressure)"
    )
    if math.isfinite(light.median_min):
        edge = day.sunset if half is Half.EVENING else day.sunrise
        words += f", the middle one at {said_clock(edge + timedelta(minutes=light.median_min))}"
    return f"{half.value.capitalize()}: {words}."


def said_legs(stand: Stand, units: UnitSystem) -> list[str]:
    """Return distance and bearings to each scrape, a line each."""
    return [
        f"Scrape {letter}: {said_length(leg.length_m, units)} at {said_bearing(leg.true_deg)} true,"
        f" {said_bearing(leg.magnetic_deg)} magnetic"
        for letter, leg in zip("ABC", stand.legs, strict=False)
    ]


def said_tree(stand: Stand, units: UnitSystem) -> str:
    """Return what the tree itself is like."""
    sun = " and ".join(half.value for half in stand.sun_in_eyes)
    eyes = f"Low sun in your eyes, {sun}" if sun else "No low sun in your eyes"
    words = (
        f"{eyes}. Cover behind you: {100 * stand.backdrop_share:.0f} of 100. "
        f"{said_share(stand.beside_share)} trips pass the tree itself."
    )
    if stand.out_of_shot:
        words += f" Beyond your shot of {said_length(stand.shot_m, units)}: {stand.out_of_shot}."
    return words


def said_camera(spot: Cluster) -> str:
    """Return where the camera of a spot looks."""
    return f"Camera: where the map shows it, looking {said_bearing(spot.camera_bearing_deg)} true."


def said_smelt(share: float, words: str) -> str:
    """Return how many of those that come smell the hunter first."""
    return f"of these, {said_share(share)} smell you first on {words}"


def said_others(sit: Sit) -> str:
    """Return how many others smell the hunter, where that is worth a word."""
    if sit.others < _FEW_OTHERS:
        return ""
    return f" {said_share(sit.others)} others smell you too: no loss now, but they learn."


def said_sit(sit: Sit | None, wind: str) -> str:
    """Return in a line what a sit is worth."""
    if sit is None:
        return "Working out who comes and who smells you."
    rest = "" if sit.rest > 0.995 else f" Hunted lately: {100 * sit.rest:.0f} of 100 left."
    return (
        f"<b>{said_share(sit.passing.light_share)} trips</b> in legal light; "
        f"{said_smelt(sit.alerted_part, wind)}.{said_others(sit)}{rest}"
    )


def said_smell(sit: Sit | None, wind: str) -> str:
    """Return how many trips smell the hunter on the wind that is set, and what the air does."""
    if sit is None:
        return "Working out who smells you."
    drift = sit.air.words.partition(", ")[2]
    smelt = said_smelt(sit.alerted_part, wind)
    air = f" Air: {drift}." if drift else ""
    return f"{smelt[:1].upper()}{smelt[1:]}.{said_others(sit)}{air}"


def said_way(sit: Sit | None, *, has_gate: bool) -> str:
    """Return the way in, or why there is none."""
    if sit is None:
        return ""
    if sit.way is None:
        if not has_gate:
            return "Mark a way in (parking, gate) for the walk to it."
        return "No way leads there but over beds, cores, water or ground to keep off."
    return f"<b>In.</b> {sit.way.words}"


def said_way_out(sit: Sit | None) -> str:
    """Return the way out."""
    return f"<b>Out.</b> {sit.way_out.words}" if sit is not None and sit.way_out is not None else ""


def said_pointed(judged: JudgedStand, units: UnitSystem) -> tuple[str, bool]:
    """Return what rides on the pointer while a stand is placed, and whether a rule forbids it."""
    stand = judged.stand
    if stand.faults:
        first = stand.faults[0]
        return f"{first[:1].upper()}{first[1:].rstrip('.')}.", True
    near = said_length(min(leg.length_m for leg in stand.legs), units)
    return f"{near} to the nearest scrape, {said_share(stand.beside_share)} pass the tree.", False


def said_together(table: WindTable, settings: StandSettings) -> str:
    """Return which few stands together leave a huntable sit on the most winds, all winds alike."""
    n_stands = len(table.stands)
    huntable = table.is_huntable(settings).reshape(n_stands, -1)
    weight = np.full(huntable.shape[1], 1.0 / huntable.shape[1])
    worth = table.worth.reshape(n_stands, -1)
    chosen = choose_set(huntable, worth, weight, settings.n_stands)
    if not chosen.rows:
        return "No stand leaves a huntable sit on any wind."
    names = ", ".join(table.stands[row].name for row in chosen.rows)
    return (
        f"<b>Together:</b> {names}. They leave a huntable sit on {said_share(chosen.share)} winds, "
        "evenings and mornings, every wind counted alike."
    )


def said_shapes(settings: StandSettings) -> str:
    """Return what the shapes of the petals mean.

    Examples
    --------
    >>> said_shapes(StandSettings())
    'Solid: under 5 of 100 smell you first. Half-hatched: 5 to 20. Hollow with ×: over 20.'
    """
    few, many = 100 * settings.alerted_few_share, 100 * settings.alerted_many_share
    return (
        f"Solid: under {few:.0f} of 100 smell you first. Half-hatched: {few:.0f} to {many:.0f}. "
        f"Hollow with ×: over {many:.0f}."
    )


def petal_of(share: float, few: float, many: float) -> Petal:
    """Return the petal of a share alerted.

    Examples
    --------
    >>> petal_of(0.049, 0.05, 0.2), petal_of(0.2, 0.05, 0.2), petal_of(0.21, 0.05, 0.2)
    (<Petal.FEW: 'few'>, <Petal.SOME: 'some'>, <Petal.MANY: 'many'>)
    """
    if share < few:
        return Petal.FEW
    return Petal.SOME if share <= many else Petal.MANY
