"""From drawn trips to scrape clusters with their cameras, and to what the rules left out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import shapely

from funnelfinder.catch import Catches, catches
from funnelfinder.defaults import ScrapeSettings
from funnelfinder.ground import Ground
from funnelfinder.kernels import FloatArray, IntArray
from funnelfinder.marks import Pick
from funnelfinder.pinch_points import PinchPoint
from funnelfinder.scrapes.camera import camera_place
from funnelfinder.scrapes.choose import choose_clusters
from funnelfinder.scrapes.cluster import Cluster, LeftOut
from funnelfinder.scrapes.describe import describe
from funnelfinder.scrapes.places import Places, broken_rule, judged, lattice
from funnelfinder.staging import spaced_peaks
from funnelfinder.trips import DrawnTrips

#: Most places worth trying; the rest catch too little (judgement).
_MOST_PLACES = 4000
#: Most places told that a rule left out, and the least share that makes one worth telling.
_MOST_LEFT_OUT = 8
_LEAST_LEFT_OUT = 0.05


def find_clusters(
    ground: Ground,
    drawn: DrawnTrips,
    pinch_points: Sequence[PinchPoint],
    settings: ScrapeSettings,
    *,
    picks: Sequence[Pick] = (),
    ways_in: Sequence[shapely.Point] = (),
) -> tuple[tuple[Cluster, ...], tuple[LeftOut, ...]]:
    """Return the scrape clusters, best first, and places that a rule left out.

    One half of the drawn trips chooses, the other reports, so that no share flatters itself.

    Parameters
    ----------
    ground : Ground
        Cover, boundary and marks.
    drawn : DrawnTrips
        Single trips.
    pinch_points : sequence of PinchPoint
        To tell what kind of place a cluster lies at.
    settings : ScrapeSettings
        Reach, spacing, rules and numbers.
    picks : sequence of Pick
        Clusters that the person put by hand, and places that the person turned down.
    ways_in : sequence of Point
        Where the person comes from [m].
    """
    places = lattice(ground, settings)
    chooser, teller = drawn.half(0), drawn.half(1)
    table = _best_places(_open_places(places, picks, settings), chooser, settings)
    by_hand = [pick for pick in picks if pick.is_by_hand and pick.is_taken]
    table, kept = _with_hand(table, by_hand, chooser, settings)
    chosen = choose_clusters(table, settings, kept=kept)
    clusters = _told(
        table,
        chosen,
        teller,
        ground=ground,
        pinch_points=pinch_points,
        settings=settings,
        ways_in=ways_in,
        by_hand=by_hand,
    )
    return clusters, _left_out(places, teller, settings)


def candidate_places(
    ground: Ground, drawn: DrawnTrips, settings: ScrapeSettings, picks: Sequence[Pick] = ()
) -> FloatArray:
    """Return the places that catch most of those that the rules and the person allow, (n, 2)."""
    open_places = _open_places(lattice(ground, settings), picks, settings)
    return _best_places(open_places, drawn, settings).points_m


def _open_places(places: Places, picks: Sequence[Pick], settings: ScrapeSettings) -> FloatArray:
    """Return the places that the rules and the person allow, (n, 2) [m]."""
    is_open = places.is_allowed & ~_turned_down(places, picks, settings)
    return np.asarray(places.points_m[is_open])


def _turned_down(places: Places, picks: Sequence[Pick], settings: ScrapeSettings) -> np.ndarray:
    """Return which places lie at a spot that the person turned down."""
    left = np.zeros(places.rows.size, dtype=bool)
    for pick in picks:
        if not pick.is_taken:
            far = np.hypot(*(places.points_m - [pick.x_m, pick.y_m]).T)
            left |= far < settings.clusters_apart_m / 2
    return left


def _best_places(points_m: FloatArray, drawn: DrawnTrips, settings: ScrapeSettings) -> Catches:
    """Return the catch table of the places that catch most."""
    table = catches(points_m, drawn, settings.reach_m)
    if points_m.shape[0] <= _MOST_PLACES:
        return table
    best = np.sort(np.argsort(-table.share_of_each(), kind="stable")[:_MOST_PLACES])
    return Catches(
        points_m=np.ascontiguousarray(points_m[best]),
        bits=np.ascontiguousarray(table.bits[best]),
        word_weight=table.word_weight,
    )


def _with_hand(
    table: Catches, by_hand: Sequence[Pick], drawn: DrawnTrips, settings: ScrapeSettings
) -> tuple[Catches, list[IntArray]]:
    """Return the table with the person's own clusters added, and which places they are."""
    if not by_hand:
        return table, []
    half = settings.spacing_low_m / 2
    own = np.array([[pick.x_m + side * half, pick.y_m] for pick in by_hand for side in (-1, 1)])
    extra = catches(own, drawn, settings.reach_m)
    n = table.points_m.shape[0]
    joined = Catches(
        points_m=np.concatenate([table.points_m, own]),
        bits=np.concatenate([table.bits, extra.bits]),
        word_weight=table.word_weight,
    )
    return joined, [np.array([n + 2 * k, n + 2 * k + 1]) for k in range(len(by_hand))]


def _told(
    table: Catches,
    chosen: Sequence[IntArray],
    teller: DrawnTrips,
    *,
    ground: Ground,
    pinch_points: Sequence[PinchPoint],
    settings: ScrapeSettings,
    ways_in: Sequence[shapely.Point],
    by_hand: Sequence[Pick],
) -> tuple[Cluster, ...]:
    """Return the chosen clusters with what the other half of the trips says of them."""
    clusters: list[Cluster] = []
    seen = np.zeros((0, 2))
    for number, members in enumerate(chosen):
        scrapes = table.points_m[members]
        report = catches(np.concatenate([seen, scrapes]), teller, settings.reach_m)
        every = np.arange(report.points_m.shape[0])
        own = every[seen.shape[0] :]
        share = report.share_of_union(own)
        gain = report.share_of_union(every) - report.share_of_union(every[: seen.shape[0]])
        best = scrapes[int(np.argmax(report.share_of_each()[own]))]
        camera, bearing = camera_place((float(best[0]), float(best[1])), ground, settings, ways_in)
        kind, name, why = describe(scrapes, ground, pinch_points, share, settings)
        pick = by_hand[number] if number < len(by_hand) else None
        clusters.append(
            Cluster(
                number=number + 1,
                kind=kind,
                scrapes_m=tuple((float(x), float(y)) for x, y in scrapes),
                camera_m=camera,
                camera_bearing_deg=bearing,
                share=share,
                gain=gain,
                why=why,
                name=pick.name if pick and pick.name else name,
                is_by_hand=pick is not None,
                trips=settings.trips_counted.words,
            )
        )
        seen = np.concatenate([seen, scrapes])
    return tuple(clusters)


def caught_share(clusters: Sequence[Cluster], drawn: DrawnTrips, reach_m: float) -> float:
    """Return the share of trips that pass within reach of any cluster's scrapes."""
    points = [scrape for cluster in clusters for scrape in cluster.scrapes_m]
    if not points:
        return 0.0
    table = catches(np.array(points), drawn.half(1), reach_m)
    return table.share_of_union(np.arange(len(points)))


def _left_out(places: Places, teller: DrawnTrips, settings: ScrapeSettings) -> tuple[LeftOut, ...]:
    """Return the places with most trips that a rule left out, one for each neighbourhood.

    Trips are thick beside every bed, so that only the outer half of the standoff is told.
    """
    close = settings.standoff_m / 2
    out = np.flatnonzero(~places.is_allowed & (places.to_bed_m >= close))
    if not out.size:
        return ()
    shares = catches(places.points_m[out], teller, settings.reach_m).share_of_each()
    found: list[LeftOut] = []
    for k in spaced_peaks(places.points_m[out], shares, settings.clusters_apart_m):
        if len(found) == _MOST_LEFT_OUT or shares[k] < _LEAST_LEFT_OUT:
            break
        miss = _told_miss(places, int(out[k]), float(shares[k]))
        found.append(replace(miss, trips=settings.trips_counted.words))
    return tuple(found)


def _told_miss(places: Places, number: int, share: float) -> LeftOut:
    """Return a place that a rule left out, in words."""
    rule = broken_rule(places, number)
    x_m, y_m = (float(value) for value in places.points_m[number])
    words = rule.words(x_m, y_m) if rule else ""
    return LeftOut(
        x_m=x_m,
        y_m=y_m,
        share=share,
        rule=rule.name if rule else "",
        words=f"{words[:1].upper()}{words[1:]}.",
    )


def cluster_by_hand(
    pick: Pick,
    number: int,
    *,
    ground: Ground,
    drawn: DrawnTrips,
    pinch_points: Sequence[PinchPoint],
    settings: ScrapeSettings,
    ways_in: Sequence[shapely.Point] = (),
) -> Cluster:
    """Return the cluster that a person put by hand, told by the half of the trips that reports.

    Its gain is its share: nothing was chosen before it.
    """
    table, kept = _with_hand(
        catches(np.zeros((0, 2)), drawn.half(1), settings.reach_m),
        [pick],
        drawn.half(1),
        settings,
    )
    cluster = _told(
        table,
        kept,
        drawn.half(1),
        ground=ground,
        pinch_points=pinch_points,
        settings=settings,
        ways_in=ways_in,
        by_hand=[pick],
    )[0]
    return replace(cluster, number=number)


def judge_place(
    x_m: float, y_m: float, ground: Ground, drawn: DrawnTrips, settings: ScrapeSettings
) -> tuple[float, str]:
    """Return the share of trips within reach of one place, and the rule it breaks in words.

    The words are empty where every rule allows a scrape.
    """
    points = np.array([[x_m, y_m]])
    share = float(catches(points, drawn, settings.reach_m).share_of_each()[0])
    rule = broken_rule(judged(points, ground, settings), 0)
    return share, rule.words(x_m, y_m) if rule else ""
