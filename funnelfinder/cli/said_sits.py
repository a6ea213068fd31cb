"""Stands and sits as the command line says them, with the cautions under every output."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from funnelfinder.cli.telling import tell

if TYPE_CHECKING:
    from collections.abc import Mapping

    from funnelfinder.daylight import Half
    from funnelfinder.kernels import FloatArray
    from funnelfinder.scrapes import Cluster
    from funnelfinder.stands import Sit, StandBase, Way, WindTable

#: What stands under every output of these verbs.
CAUTIONS: Final = (
    "Full-body harness, always attached, from the ground up and down to the ground again; haul"
    " bow or unloaded gun up on a line; tell someone where you sit and when you will be back;"
    " walk out with a light.",
    "A shot goes only where you are sure of the deer and of what lies behind it; what is named"
    " above as in range or in a line of fire is only what you marked.",
    "Stands, hours, light and distances are the state agency's to rule: read its digest.",
    "Scent follows a formula for open, flat ground; in woods and hollows trust your own puff of"
    " dust first. Leaving times, alert shares and resting are judgement until your cameras say"
    " otherwise.",
)


def said_cluster(base: StandBase, cluster: Cluster, half: Half) -> str:
    """Return how trips pass a cluster in legal light, as a band by pressure."""
    import math
    from datetime import timedelta

    import numpy as np

    from funnelfinder.daylight import Half as Halves
    from funnelfinder.defaults import Pressure
    from funnelfinder.stands.sits import passing_of
    from funnelfinder.units import said_clock, said_share

    within = base.walks.within(np.array(cluster.scrapes_m), base.settings.scrapes.reach_m)
    found = {
        pressure: passing_of(base, within, base.clock(half, pressure)) for pressure in Pressure
    }
    own = found[base.settings.cost.pressure]
    low, high = found[Pressure.HEAVY].light_share, found[Pressure.LIGHT].light_share
    words = (
        f"Cluster {cluster.number}: {said_share(own.share)} trips pass,"
        f" {said_share(own.light_share)} in legal light"
        f" ({100 * low:.0f} under heavy to {100 * high:.0f} under light pressure)"
    )
    if math.isfinite(own.median_min):
        edge = base.day.sunset if half is Halves.EVENING else base.day.sunrise
        words += f"; the middle one at {said_clock(edge + timedelta(minutes=own.median_min))}"
    return f"{words}."


def tell_stand(
    table: WindTable, row: int, base: StandBase, ways: Mapping[str, Mapping[str, Way]]
) -> None:
    """Print one stand with its wind table and its ways in and out."""
    from funnelfinder.daylight import Half
    from funnelfinder.stands import WINDS_DEG, said_alerted
    from funnelfinder.stands.spots import said_leg
    from funnelfinder.units import said_length, said_share
    from funnelfinder.wind import said_compass

    own, stand = base.settings.stands, table.stands[row]
    letters = zip("ABC", stand.legs, strict=False)
    legs = "; ".join(said_leg(f"C{stand.cluster}{letter}", one) for letter, one in letters)
    tell(f"{stand.name}: {legs}.{f' {stand.note}.' if stand.note else ''}")
    if stand.faults:
        tell(f"   It breaks a rule: {'; '.join(stand.faults)}.")
    if stand.out_of_shot:
        tell(f"   Beyond your shot of {said_length(stand.shot_m)}: {stand.out_of_shot}.")
    sun = " and ".join(half.value for half in stand.sun_in_eyes)
    tell(
        f"   {said_share(stand.beside_share)} trips pass the tree itself;"
        f" {100 * stand.backdrop_share:.0f} % cover behind it;"
        f" {f'low sun in the eyes ({sun})' if sun else 'no low sun in the eyes'}."
    )
    tell(f"   In range: {'; '.join(stand.in_range) or 'no house, road or boundary you marked'}.")
    for k, half in enumerate(Half):
        tell(
            f"   {half.value.capitalize()}: {said_share(float(table.caught[row, k]))} trips caught"
            " in legal light, whatever the wind. Of 100 of these, alerted first:"
        )
        cells = [
            f"{said_compass(deg)} {said_alerted(float(share), own)} {100 * share:.0f}"
            for deg, share in zip(WINDS_DEG, table.alerted_part[row, :, k], strict=True)
        ]
        for start in range(0, 16, 4):
            print("      " + "".join(f"{cell:<16}" for cell in cells[start : start + 4]).rstrip())
    for what, found in ways.items():
        side, half_word = what.lower().split("-")
        way = found.get(stand.name)
        words = way.words if way else "none leads there; mark a gate or parking as way-in."
        tell(f"   {side.capitalize()}, {half_word}: {words}")


def tell_set(table: WindTable, weight: FloatArray, base: StandBase, *, is_climate: bool) -> None:
    """Print the few stands that together leave a sit on most winds."""
    import numpy as np

    from funnelfinder.stands import choose_set

    own = base.settings.stands
    both = np.repeat(weight, 2) / 2
    huntable = table.is_huntable(own).reshape(len(table.stands), -1)
    chosen = choose_set(huntable, table.worth.reshape(len(table.stands), -1), both, own.n_stands)
    names = ", ".join(table.stands[row].name for row in chosen.rows)
    source = "weighted by your wind climate" if is_climate else "every wind counted alike"
    if not chosen.rows:
        tell("No stand leaves a huntable sit on any wind.")
        return
    tell(
        f"Best few: {names}. Of all winds, evening and morning, {100 * chosen.share:.0f} % leave a"
        f" huntable sit among them ({source})."
    )


def tell_light(base: StandBase) -> None:
    """Print sun times and legal light."""
    from funnelfinder.daylight import legal_light
    from funnelfinder.units import said_clock

    begin, end = legal_light(base.day, base.settings.daylight)
    tell(
        f"{base.day.on:%d %B %Y}: sunrise {said_clock(base.day.sunrise)}, sunset"
        f" {said_clock(base.day.sunset)} ({base.day.sunrise:%Z}); light as set"
        f" {said_clock(begin)} to {said_clock(end)}; local law decides."
    )


def tell_sit(number: int, sit: Sit, *, has_gate: bool) -> None:
    """Print one sit with its reasons."""
    tell(f"{number}. {sit.stand.name}: worth {100 * sit.worth:+.0f} of 100 trips.")
    for words in sit.why:
        tell(f"   {words}")
    if sit.way is None:
        tell("   No way in leads there." if has_gate else "   Mark a way in for the walk to it.")
    tell(f"   In range: {'; '.join(sit.stand.in_range) or 'nothing that you marked'}.")


def tell_cautions() -> None:
    """Print what stands under every result."""
    print()
    for words in CAUTIONS:
        tell(words)
