"""A run's results in plain words, wrapped for terminal and paper."""

from __future__ import annotations

import math
import re
import textwrap
from collections.abc import Iterable, Iterator
from typing import Final

from funnelfinder.analysis.findings import Findings, Pair
from funnelfinder.marks import MarkKind, Property
from funnelfinder.pinch_points import PinchPoint
from funnelfinder.report.cautions import CAUTIONS, LAST_HEADING
from funnelfinder.report.sign import sign_on_passage
from funnelfinder.scrapes import Cluster
from funnelfinder.units import said_area, said_length, said_share
from funnelfinder.waypoints import (
    Waypoint,
    WaypointKind,
    plain,
    said_range,
    said_steadiness,
    waypoints,
    why_pinch,
    why_staging,
)

COLUMNS_WIDE: Final = 88
OUT_OF_DATE: Final = "Out of date: something changed since these spots were found. Run it again."
#: Walking pace with pauses, and its range [m/min]: judgement below the sustained 25 m/min of
#: Nelson, Mech & Frame 2004, J. Mammal. 85:505.
PACE_M_MIN, SLOW_M_MIN, FAST_M_MIN = 12.0, 6.0, 25.0
#: Most places left out by a rule that are listed, those with the most trips first.
MOST_LEFT_OUT: Final = 8
#: Most things named that the shares hang on, the largest first.
MOST_DEPENDENCES: Final = 5
#: How a cluster's reason may begin, which its heading says already.
_SHARE_AGAIN: Final = re.compile(r"^\d+ of 100 trips (?:in legal light )?pass within [^.]*\. ?")


def report_text(place: Property, findings: Findings, *, is_current: bool = True) -> str:
    """Return what a run found, in plain words.

    Parameters
    ----------
    place : Property
        Whose findings they are.
    findings : Findings
        Results of a run.
    is_current : bool
        Whether nothing changed since; what is out of date says so first.

    Returns
    -------
    str
        Sections with their headings, wrapped at 88 columns, with a line end at the end.
    """
    points = waypoints(findings)
    title = f"{plain(place.name)}, {said_area(place.boundary.area)}"
    sections = (
        (title, (*([] if is_current else [OUT_OF_DATE]), *_run_lines(place, findings))),
        ("Scrape clusters, best first", _cluster_lines(place, findings, points)),
        ("Pinch points", _pinch_lines(findings, points)),
        ("Staging spots", _staging_lines(findings, points)),
        ("Left out by a rule", _left_out_lines(findings)),
        ("What the result depends on most", _dependence_lines(findings)),
        ("Notes", _note_lines(place, findings)),
        ("Where they are (WGS 84)", (_place_line(point) for point in points)),
        (LAST_HEADING, CAUTIONS),
    )
    blocks = [_block(heading, lines) for heading, lines in sections]
    return "\n\n".join(filter(None, blocks)) + "\n"


def _block(heading: str, lines: Iterable[str]) -> str:
    """Return a heading with its lines wrapped below, or nothing where there are none."""
    wrapped = [_wrapped(line) for line in lines]
    return "\n".join([heading, "-" * len(heading), *wrapped]) if wrapped else ""


def _wrapped(line: str) -> str:
    """Return a line wrapped; items of a list hang, and what is indented stays so."""
    text = line.lstrip(" ")
    indent = " " * (len(line) - len(text))
    item = re.match(r"- |\d+\. ", text)
    return textwrap.fill(
        text,
        COLUMNS_WIDE,
        initial_indent=indent,
        subsequent_indent=indent + " " * (item.end() if item else 0),
        break_long_words=False,
        break_on_hyphens=False,
    )


def _counted(count: int, word: str, words: str = "") -> str:
    """Return a count with its word, in the plural where it is not one."""
    return f"{count} {word if count == 1 else words or word + 's'}"


def _run_lines(place: Property, findings: Findings) -> Iterator[str]:
    """Yield what was run: marks, settings, pairs."""
    beds = _counted(sum(1 for _ in place.of_kind(MarkKind.BED)), "bed")
    foods = _counted(sum(1 for _ in place.of_kind(MarkKind.FOOD)), "food source")
    pairs = _counted(len(findings.pairs), "pair")
    settings = place.settings
    yield (
        f"Trips were run between {beds} and {foods}: {pairs}, on cells of"
        f" {findings.grid.cell_m:g} m. Every share below is a share of the same 100 trips."
    )
    yield (
        f"Wander {said_length(settings.trips.wander_m)}, pressure"
        f" {settings.cost.pressure.value}, reach {said_length(settings.scrapes.reach_m)},"
        f" cover table {place.cover_table.legend}, seed {findings.seed}."
    )
    if findings.n_redraws:
        yield (
            f"Everything was tried again {findings.n_redraws} times with other cost weights and"
            " wander; ranges and steadiness come from these."
        )
    else:
        yield (
            "Steadiness: not tested. Run again with --redraws 20 to see how much hangs on the"
            " cost weights."
        )
    for pair in findings.pairs:
        yield _pair_line(pair, findings)


def _pair_line(pair: Pair, findings: Findings) -> str:
    """Return one pair: its share, how far and how long trips walk, how many ways there are."""
    ways = [
        route.n_separate
        for route in findings.routes
        if (route.bed, route.food, route.rank) == (pair.bed, pair.food, 1)
    ]
    words = f"- {plain(pair.bed)} to {plain(pair.food)}: {said_share(pair.demand)} trips"
    if math.isfinite(pair.walked_m):
        usual, slow, fast = (pair.walked_m / pace for pace in (PACE_M_MIN, SLOW_M_MIN, FAST_M_MIN))
        words += (
            f", about {said_length(pair.walked_m)} walked, about {usual:.0f} minutes with pauses"
            f" ({fast:.0f} to {slow:.0f})"
        )
    return words + (f", {_counted(ways[0], 'separate way')}." if ways else ".")


def _cluster_lines(
    place: Property, findings: Findings, points: tuple[Waypoint, ...]
) -> Iterator[str]:
    """Yield the clusters in the order chosen."""
    if not findings.clusters:
        yield "No place passed the rules; see what was left out below."
        return
    reach = said_length(place.settings.scrapes.reach_m)
    count = len(findings.clusters)
    yield (
        f"{said_share(findings.caught)} {findings.trips} pass within {reach} of"
        f" {'this one' if count == 1 else f'these {count}'}. They are chosen together, so that"
        " each catches trips that the others miss."
    )
    for cluster in findings.clusters:
        yield from _one_cluster(cluster, points)


def _one_cluster(cluster: Cluster, points: tuple[Waypoint, ...]) -> Iterator[str]:
    """Yield one cluster: share, range, steadiness, reason, points."""
    name = plain(cluster.name)
    title = f"{name} ({cluster.kind.value})" if name else cluster.kind.value.capitalize()
    spread = said_range(cluster)
    new = f", {100 * cluster.gain:.0f} of them new" if cluster.number > 1 else ""
    by_hand = " Put there by hand." if cluster.is_by_hand else ""
    yield f"{cluster.number}. {title}: {said_share(cluster.share)} {cluster.trips}{new}.{by_hand}"
    steady = said_steadiness(cluster)
    yield (
        "   How sure: "
        + (f"{spread} when the cost weights are varied; " if spread else "")
        + (f"{steady}." if steady == "not tested" else f"{steady} tries.")
    )
    why = _SHARE_AGAIN.sub("", plain(cluster.why))
    if why:
        yield f"   {why}"
    own = [point for point in points if point.cluster == cluster.number]
    scrapes = ", ".join(point.name for point in own if point.kind is WaypointKind.SCRAPE)
    cameras = ", ".join(point.name for point in own if point.kind is WaypointKind.CAMERA)
    bearing = round(cluster.camera_bearing_deg) % 360
    yield f"   Scrapes {scrapes}; camera {cameras}, looking {bearing} degrees from true north."


def _pinch_lines(findings: Findings, points: tuple[Waypoint, ...]) -> Iterator[str]:
    """Yield the pinch points with what was measured."""
    if not findings.pinch_points:
        yield "None: nothing on this ground squeezes trips enough to count."
    names = [point.name for point in points if point.kind is WaypointKind.PINCH]
    for name, pinch in zip(names, findings.pinch_points, strict=True):
        yield (
            f"{name}: squeeze {pinch.squeeze:.1f}, {said_length(pinch.width_m)} wide instead of"
            f" {said_length(pinch.even_width_m)}; {said_share(pinch.share)} trips."
        )
        yield f"   {plain(why_pinch(pinch))}"
        yield (
            f"   {said_length(pinch.from_bed_m)} from the nearest bed,"
            f" {said_length(pinch.to_food_m)} to food. {_said_detour(pinch)}"
        )


def _said_detour(pinch: PinchPoint) -> str:
    """Return what shutting a pinch point would do to the least-cost trip."""
    if not math.isfinite(pinch.detour_share):
        return "Were it shut, there would be no other way."
    if pinch.detour_share < 0.005:
        return "Were it shut, another way is as good."
    return f"Were it shut, the best trip would cost {100 * pinch.detour_share:.0f} % more."


def _staging_lines(findings: Findings, points: tuple[Waypoint, ...]) -> Iterator[str]:
    """Yield the staging spots."""
    if not findings.staging_spots:
        yield "None: no cover near the food sources gathers trips."
    names = [point.name for point in points if point.kind is WaypointKind.STAGING]
    for name, spot in zip(names, findings.staging_spots, strict=True):
        yield f"{name}: {said_share(spot.share)} {spot.trips}. {plain(why_staging(spot))}"


def _left_out_lines(findings: Findings) -> Iterator[str]:
    """Yield the busiest places that a rule left out."""
    busiest = sorted(findings.left_out, key=lambda one: -one.share)
    for one in busiest[:MOST_LEFT_OUT]:
        yield f"- {plain(one.words)} {said_share(one.share)} {one.trips} pass there."
    rest = len(busiest) - MOST_LEFT_OUT
    if rest > 0:
        yield f"- And {_counted(rest, 'more with fewer trips', 'more with fewer trips')}."


def _dependence_lines(findings: Findings) -> Iterator[str]:
    """Yield what moves the shares, the largest first."""
    for one in findings.dependences[:MOST_DEPENDENCES]:
        yield f"- {plain(one.words)}"


def _note_lines(place: Property, findings: Findings) -> Iterator[str]:
    """Yield facts short of failure, and how marked sign agrees."""
    for note in findings.notes:
        yield f"- {plain(note)}"
    sign = sign_on_passage(place, findings)
    if sign is not None:
        count, share = sign
        yield (
            f"- {_counted(count, 'sign')} marked inside the boundary: {said_share(share)} on the"
            " fifth of the ground with the most passage (strewn evenly it would be 20). Sign"
            " does not move the model; it is a check."
        )


def _place_line(point: Waypoint) -> str:
    """Return where a point is, north first as hunters read it."""
    north, east = "N" if point.lat_deg >= 0 else "S", "E" if point.lon_deg >= 0 else "W"
    return (
        f"{point.name:<10}  {north} {abs(point.lat_deg):9.6f}  {east} {abs(point.lon_deg):10.6f}"
        f"  {point.kind.value}"
    )
