"""Where the ground squeezes trips: strands that are narrow for the trips they hold."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from funnelfinder.defaults import PinchSettings
from funnelfinder.features import Feature
from funnelfinder.kernels import FloatArray
from funnelfinder.pinch_points.point import PinchPoint
from funnelfinder.pinch_points.strands import Strands, bed_distance_m, even_widths_m, strands
from funnelfinder.trips import PairTrips

#: A feature of this kind lies along every field; it explains only what nothing else does.
_LAST_REASON = "field edge"
_MOST_REASONS = 3


@dataclass(frozen=True, kw_only=True)
class _Squeezed:
    """One tight place of one pair's trips."""

    pair: PairTrips
    x_m: float
    y_m: float
    squeeze: float
    width_m: float
    even_width_m: float
    share: float
    across_deg: float
    from_bed_m: float
    to_food_m: float

    @property
    def weight(self) -> float:
        """Share of all trips."""
        return self.share * self.pair.demand


def squeezes(found: Strands, even_progress: FloatArray, even_width_m: FloatArray) -> FloatArray:
    """Return share × (width on even ground at the same progress) / width, for each strand."""
    even = np.interp(found.progress, even_progress, even_width_m)
    return np.asarray(found.share * even / found.width_m)


def tight_places(pair: PairTrips, even: PairTrips, settings: PinchSettings) -> list[_Squeezed]:
    """Return where one pair's trips are squeezed most, each the tightest along its strand.

    Parameters
    ----------
    pair, even : PairTrips
        The trips, and those of the same bed and food on even ground.
    settings : PinchSettings
        What counts.
    """
    step_m, edge_share = settings.section_step_m, settings.strand_edge_share
    found = strands(pair, step_m=step_m, edge_share=edge_share)
    even_progress, even_width_m = even_widths_m(strands(even, step_m=step_m, edge_share=edge_share))
    squeeze = squeezes(found, even_progress, even_width_m)
    counts = (
        (squeeze >= settings.squeeze_min)
        & (found.share >= settings.share_min)
        & (found.progress >= settings.progress_low)
        & (found.progress <= settings.progress_high)
    )
    mean_m, _ = bed_distance_m(pair)
    return [
        _Squeezed(
            pair=pair,
            x_m=float(found.x_m[k]),
            y_m=float(found.y_m[k]),
            squeeze=float(squeeze[k]),
            width_m=float(found.width_m[k]),
            even_width_m=float(np.interp(found.progress[k], even_progress, even_width_m)),
            share=min(float(found.share[k]), 1.0),
            across_deg=float(found.across_deg[k]),
            from_bed_m=mean_m - float(found.level_m[k]),
            to_food_m=float(found.level_m[k]),
        )
        for k in _tightest(found, squeeze, np.flatnonzero(counts), settings.apart_m)
    ]


def _tightest(
    found: Strands, squeeze: FloatArray, counted: np.ndarray, apart_m: float
) -> list[int]:
    """Return the counted strands that are tightest within ``apart_m`` along their strand."""
    neighbours: dict[int, list[int]] = {}
    for a, b in found.links:
        neighbours.setdefault(int(a), []).append(int(b))
        neighbours.setdefault(int(b), []).append(int(a))
    chosen = []
    for k in counted:
        reach = _along(found, int(k), neighbours, apart_m)
        best = max(reach, key=lambda other: (squeeze[other], -other))
        if best == k:
            chosen.append(int(k))
    return chosen


def _along(
    found: Strands, start: int, neighbours: dict[int, list[int]], apart_m: float
) -> set[int]:
    """Return the strands that are joined to one without leaving a circle around it."""
    seen = {start}
    waiting = deque([start])
    while waiting:
        for other in neighbours.get(waiting.popleft(), []):
            far = np.hypot(found.x_m[other] - found.x_m[start], found.y_m[other] - found.y_m[start])
            if other not in seen and far <= apart_m:
                seen.add(other)
                waiting.append(other)
    return seen


def find_pinch_points(
    pairs: Sequence[PairTrips],
    even_pairs: Sequence[PairTrips],
    features: Sequence[Feature],
    settings: PinchSettings,
    *,
    reach_m: float,
    detour_share: Callable[[PairTrips, float, float], float],
) -> tuple[PinchPoint, ...]:
    """Return the pinch points of all pairs, those with the most trips first.

    Parameters
    ----------
    pairs, even_pairs : sequences of PairTrips
        The trips, and the same on even ground, in the same order.
    features : sequence of Feature
        What can explain a pinch point.
    settings : PinchSettings
        What counts.
    reach_m : float
        Tight places of different pairs within twice this distance of each other are one [m].
    detour_share : callable
        Called with (pair, x_m, y_m): how much longer the least-cost trip becomes if a disc of
        reach is shut there.
    """
    tight = [
        place
        for pair, even in zip(pairs, even_pairs, strict=True)
        for place in tight_places(pair, even, settings)
    ]
    groups = _groups(tight, reach_m)
    points = [_merged(group, features, settings, detour_share) for group in groups]
    return tuple(sorted(points, key=lambda point: (-point.share, point.x_m, point.y_m)))


def _groups(tight: list[_Squeezed], reach_m: float) -> list[list[_Squeezed]]:
    """Return tight places grouped about those with most trips.

    Two places within twice the reach are one: a scrape between them reaches both.
    """
    groups: list[list[_Squeezed]] = []
    for place in sorted(tight, key=lambda one: -one.weight):
        far = [
            (np.hypot(group[0].x_m - place.x_m, group[0].y_m - place.y_m), number)
            for number, group in enumerate(groups)
        ]
        if far and min(far)[0] <= 2.0 * reach_m:
            groups[min(far)[1]].append(place)
        else:
            groups.append([place])
    return groups


def _merged(
    group: list[_Squeezed],
    features: Sequence[Feature],
    settings: PinchSettings,
    detour_share: Callable[[PairTrips, float, float], float],
) -> PinchPoint:
    """Return one pinch point for the tight places of several pairs."""
    weights = np.array([place.weight for place in group])
    weights = weights / weights.sum()
    main = max(group, key=lambda place: place.weight)

    def mean(name: str) -> float:
        return float((weights * [getattr(place, name) for place in group]).sum())

    x_m, y_m = mean("x_m"), mean("y_m")
    explaining = _reasons(x_m, y_m, features, settings.explained_within_m)
    return PinchPoint(
        x_m=x_m,
        y_m=y_m,
        squeeze=mean("squeeze"),
        width_m=mean("width_m"),
        even_width_m=mean("even_width_m"),
        share=min(sum(_best_by_pair(group).values()), 1.0),
        pairs=tuple(dict.fromkeys(place.pair.label for place in group)),
        from_bed_m=mean("from_bed_m"),
        to_food_m=mean("to_food_m"),
        detour_share=detour_share(main.pair, x_m, y_m),
        across_deg=main.across_deg,
        kinds=tuple(feature.kind for feature in explaining),
        reasons=tuple(feature.words for feature in explaining),
    )


def _best_by_pair(group: list[_Squeezed]) -> dict[str, float]:
    """Return each pair's largest share of all trips in a group; a pair counts once."""
    best: dict[str, float] = {}
    for place in group:
        best[place.pair.label] = max(best.get(place.pair.label, 0.0), place.weight)
    return best


def _reasons(x_m: float, y_m: float, features: Sequence[Feature], within_m: float) -> list[Feature]:
    """Return the features that explain a place, nearest first, one of each kind."""
    here = shapely.Point(x_m, y_m)
    near = sorted(
        (
            (feature.kind == _LAST_REASON, feature.geometry.distance(here), number)
            for number, feature in enumerate(features)
        )
    )
    chosen: dict[str, Feature] = {}
    for _, far, number in near:
        if far <= within_m:
            chosen.setdefault(features[number].kind, features[number])
    if len(chosen) > 1:
        chosen.pop(_LAST_REASON, None)
    return list(chosen.values())[:_MOST_REASONS]
