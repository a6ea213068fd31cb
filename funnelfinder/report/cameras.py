"""What cameras say, in plain words: visits, pairs, spots, the next camera, and when to go in."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Iterator, Sequence
from typing import Final

from funnelfinder.analysis.watching import (
    CameraPlace,
    NextPlace,
    PairWalked,
    SpotRanked,
    Watched,
)
from funnelfinder.daylight import Half
from funnelfinder.evidence import DeerVisit, Interval
from funnelfinder.plan import GoingIn, StandWinds
from funnelfinder.season import said_day
from funnelfinder.stands import WINDS_DEG
from funnelfinder.units import said_clock, said_share
from funnelfinder.wind import said_compass

_COLUMNS_WIDE: Final = 88
#: Places for the next camera that are told, the best first.
_MOST_NEXT: Final = 5
_RATE_NIGHTS: Final = 10.0
BRACKETS: Final = (
    "In brackets: between these the figure lies with 95 chances of 100, if the model is right."
)
WHAT_IT_RESTS_ON: Final = (
    "Visits are records at least 30 minutes apart (O'Brien et al. 2003, Anim. Conserv. 6:131).",
    "Two cameras 100 m apart may differ much on the same ground (Kolowski et al. 2021, Ecosphere "
    "12), so one camera says little, and an empty one less; the brackets reckon with that.",
    "Shares are of all trips, day and night, since cameras see both.",
    "A camera tells of its own place. Which trips pass it is the model's word, not the camera's.",
    "Some states limit cameras, on public land above all: check with the agency.",
)


def said_interval(one: Interval, of_what: str = "trips") -> str:
    """Return a share with its ends.

    Examples
    --------
    >>> said_interval(Interval(0.186, 0.134, 0.24))
    '19 of 100 trips (13 to 24)'
    """
    ends = f"({100 * one.low:.0f} to {100 * one.high:.0f})"
    return f"{said_share(one.mean)} {of_what} {ends}"


def said_camera(one: CameraPlace) -> str:
    """Return what one camera place recorded, and what the model makes of it."""
    at, n_visits = one.visits, len(one.visits.visits)
    where = f" (cluster {one.cluster})" if one.cluster else ""
    rate = Interval(*(_RATE_NIGHTS * value for value in at.rate))
    words = [
        f"{at.name}{where}: {_counted(n_visits, 'deer visit')} in {at.nights:.0f} nights; "
        f"{rate.mean:.1f} in {_RATE_NIGHTS:.0f} nights ({rate.low:.1f} to {rate.high:.1f})."
    ]
    if n_visits:
        words.append(
            f"{at.n_light} of {n_visits} in legal light; {said_interval(at.light, 'visits')}."
        )
    if not one.is_counted:
        words.append("No trip of the model passes there, so the pairs leave it out.")
    else:
        low, high = one.expected.low, one.expected.high
        words.append(f"The pairs below let expect {low:.0f} to {high:.0f}.")
        if not low <= n_visits <= high:
            words.append("That does not fit: look whether a bed, a food or a fence is missing.")
    return " ".join(words)


def said_pair(one: PairWalked) -> str:
    """Return how much a pair is walked, in the model and after the cameras."""
    rate = one.rate
    return (
        f"{one.bed} to {one.food}: {said_share(one.model_share)} trips in the model,"
        f" {said_interval(one.share)} after the cameras; {rate.mean:.1f} trips a night"
        f" ({rate.low:.1f} to {rate.high:.1f})."
    )


def said_spot(one: SpotRanked) -> str:
    """Return where a cluster stands among the clusters after the cameras, and before."""
    name = f"cluster {one.number} {one.name}".strip()
    moved = "" if one.rank_before == one.rank_after else f", then number {one.rank_before}"
    return (
        f"Number {one.rank_after}, {name}: {said_interval(one.after)};"
        f" before the cameras {said_interval(one.before)}{moved}."
    )


def said_next(one: NextPlace, watched: Watched) -> str:
    """Return what a camera at a place would bring."""
    return (
        f"{one.name[:1].upper()}{one.name[1:]}, {one.x_m:.0f} E {one.y_m:.0f} N:"
        f" {watched.next_nights:.0f} nights would bring it to about {one.spread:.2f}."
    )


def said_visit(one: DeerVisit) -> str:
    """Return when a visit was, by clock and sun.

    Examples
    --------
    >>> from datetime import datetime
    >>> from funnelfinder.evidence import Deer, SunTime
    >>> sun = SunTime(half=Half.EVENING, minutes=-12.4, is_light=True)
    >>> said_visit(DeerVisit(at=datetime(2026, 11, 7, 17, 2), deer=Deer.BUCK, sun=sun))
    '7 November 2026, 5:02 pm, 12 minutes before sunset'
    """
    edge = "sunrise" if one.sun.half is Half.MORNING else "sunset"
    side = "before" if one.sun.minutes < 0 else "after"
    minutes = _counted(abs(round(one.sun.minutes)), "minute")
    return f"{said_day(one.at.date())}, {said_clock(one.at)}, {minutes} {side} {edge}"


def said_going_in(one: GoingIn, days: int) -> str:
    """Return what is known of a cluster lately."""
    words = [f"Cluster {one.spot.label}:", *_seen_words(one, days)]
    words += [f"You wrote on {said_day(visit.day)}: {visit.note or 'seen'}." for visit in one.told]
    if one.left_alone:
        words.append("The work table says to leave it alone now.")
    if one.stands:
        light = max(stand.light_share for stand in one.stands)
        words.append(f"Up to {said_share(light)} trips of the model pass in legal light.")
    words += said_winds(one.stands)
    return " ".join(words)


def _seen_words(one: GoingIn, days: int) -> Iterator[str]:
    """Yield what cameras saw of mature bucks at a cluster."""
    if not one.nights:
        yield f"no camera in the last {days} days, so nothing is known."
        return
    nights = f"{_counted(round(one.nights), 'camera-night')} in the last {days} days"
    if one.in_light:
        yield (
            f"a mature buck in legal light {_counted(len(one.in_light), 'time')} in {nights};"
            f" last {said_visit(one.in_light[0])}."
        )
    else:
        yield f"no mature buck in legal light in {nights}; that says little."
    in_dark = one.n_mature - len(one.in_light)
    if in_dark:
        yield f"{_counted(in_dark, 'more visit')} of one in the dark."


def said_winds(stands: Sequence[StandWinds]) -> list[str]:
    """Return one sentence for each stand: on which winds it may be sat, by half of the day."""
    found: dict[str, list[str]] = {}
    for one in stands:
        found.setdefault(one.stand, []).append(f"{one.half.value} {wind_words(one.winds)}")
    return [f"{stand}: {'; '.join(halves)}." for stand, halves in found.items()]


def wind_words(winds: Sequence[str]) -> str:
    """Return winds as the shorter of two lists: those that are good, or those that are not.

    Examples
    --------
    >>> wind_words(["N", "W"])
    'on wind from N, W'
    """
    every = [said_compass(deg) for deg in WINDS_DEG]
    bad = [one for one in every if one not in winds]
    if not bad:
        return "on any wind"
    if not winds:
        return "on no wind unnoticed"
    if len(bad) < len(winds):
        return f"on any wind but {', '.join(bad)}"
    return f"on wind from {', '.join(winds)}"


def cameras_text(watched: Watched, going_in: Sequence[GoingIn], *, days: int) -> str:
    """Return all that cameras say, wrapped at 88 columns.

    Parameters
    ----------
    watched : Watched
        Visits, pairs, spots, the next camera.
    going_in : sequence of GoingIn
        What is known of each cluster lately.
    days : int
        How far back "lately" reaches.
    """
    now = (
        f"The rates of all pairs are known to {watched.spread:.2f} trips a night (root of the sum"
        f" of their variances), before the cameras {watched.spread_before:.2f}."
    )
    nexts = [said_next(one, watched) for one in watched.next_places[:_MOST_NEXT]]
    blocks = [
        _block("What the cameras recorded", map(said_camera, watched.cameras)),
        _block("Which pairs are walked", map(said_pair, watched.pairs)),
        _block("Spots, by the cameras", map(said_spot, watched.spots)),
        _block("Where the next camera tells most", [now, *nexts]),
        _block("When to go in", (said_going_in(one, days) for one in going_in)),
        _block("How sure", (BRACKETS, *WHAT_IT_RESTS_ON)),
        _block("Notes", watched.notes),
    ]
    return "\n\n".join(filter(None, blocks)) + "\n"


def _block(heading: str, lines: Iterable[str]) -> str:
    """Return a heading with its lines, or nothing where there are none."""
    wrapped = [
        textwrap.fill(f"- {line}", _COLUMNS_WIDE, subsequent_indent="  ", break_long_words=False)
        for line in lines
    ]
    return "\n".join([heading, "-" * len(heading), *wrapped]) if wrapped else ""


def _counted(count: int, word: str) -> str:
    """Return a count with its word, one or several."""
    return f"{count} {word}" + ("" if count == 1 else "s")
