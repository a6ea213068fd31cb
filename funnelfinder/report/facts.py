"""A run's results as plain data, for ``show --json``."""

from __future__ import annotations

import math
from typing import Any

from funnelfinder import __version__
from funnelfinder.analysis.findings import Findings, Pair
from funnelfinder.defaults import entries, shown_value
from funnelfinder.ground import Raster
from funnelfinder.marks import Property
from funnelfinder.pinch_points import PinchPoint
from funnelfinder.report.cautions import CAUTIONS
from funnelfinder.scrapes import Cluster, LeftOut
from funnelfinder.units import acres
from funnelfinder.waypoints import row_of, waypoints


def findings_json(
    place: Property,
    findings: Findings,
    *,
    elevation: Raster | None = None,
    is_current: bool = True,
) -> dict[str, Any]:
    """Return everything that a run found as data that JSON can hold.

    Parameters
    ----------
    place : Property
        Whose findings they are.
    findings : Findings
        Results of a run.
    elevation : Raster, optional
        Where the heights of the points are read.
    is_current : bool
        Whether nothing changed since the run.

    Returns
    -------
    dict
        ``points`` holds exactly the points that are exported. What is not known or not tested
        is None; lengths are metres, shares 0 to 1.
    """
    return {
        "made_by": f"funnelfinder {__version__}",
        "property": {
            "name": place.name,
            "epsg": place.epsg,
            "acres": round(acres(place.boundary.area), 1),
        },
        "is_current": is_current,
        "fingerprint": findings.fingerprint,
        "seed": findings.seed,
        "n_redraws": findings.n_redraws,
        "caught": _number(findings.caught),
        "points": [row_of(point) for point in waypoints(findings, elevation=elevation)],
        "pairs": [_pair(pair) for pair in findings.pairs],
        "routes": [
            {
                "bed": route.bed,
                "food": route.food,
                "rank": route.rank,
                "length_m": _number(route.length_m, 1),
                "cost_m": _number(route.cost_m, 1),
                "n_separate": route.n_separate,
            }
            for route in findings.routes
        ],
        "clusters": [_cluster(cluster) for cluster in findings.clusters],
        "pinch_points": [_pinch(pinch) for pinch in findings.pinch_points],
        "staging_spots": [
            {"food": spot.food, "share": _number(spot.share), "edge_m": _number(spot.edge_m, 1)}
            for spot in findings.staging_spots
        ],
        "left_out": [_left_out(one) for one in findings.left_out],
        "dependences": [
            {"what": one.what, "swing": _number(one.swing), "words": one.words}
            for one in findings.dependences
        ],
        "settings": {
            entry.name: shown_value(entry.value, entry.about) for entry in entries(place.settings)
        },
        "notes": list(findings.notes),
        "cautions": list(CAUTIONS),
    }


def _number(value: float, decimals: int = 4) -> float | None:
    """Return a number that JSON can hold, None where there is none."""
    return round(float(value), decimals) if math.isfinite(value) else None


def _pair(pair: Pair) -> dict[str, Any]:
    """Return a pair of bed and food as data."""
    return {
        "bed": pair.bed,
        "food": pair.food,
        "demand": _number(pair.demand),
        "length_m": _number(pair.length_m, 1),
        "cost_m": _number(pair.cost_m, 1),
        "walked_m": _number(pair.walked_m, 1),
    }


def _cluster(cluster: Cluster) -> dict[str, Any]:
    """Return a cluster as data."""
    return {
        "number": cluster.number,
        "name": cluster.name,
        "kind": cluster.kind.value,
        "share": _number(cluster.share),
        "gain": _number(cluster.gain),
        "share_low": _number(cluster.share_low),
        "share_high": _number(cluster.share_high),
        "steadiness": _number(cluster.steadiness),
        "n_redraws": cluster.n_redraws,
        "n_scrapes": len(cluster.scrapes_m),
        "camera_bearing_deg": _number(cluster.camera_bearing_deg, 1),
        "is_by_hand": cluster.is_by_hand,
        "why": cluster.why,
    }


def _pinch(pinch: PinchPoint) -> dict[str, Any]:
    """Return a pinch point as data; a detour that does not exist is None."""
    return {
        "kinds": list(pinch.kinds),
        "reasons": list(pinch.reasons),
        "squeeze": _number(pinch.squeeze, 3),
        "width_m": _number(pinch.width_m, 1),
        "even_width_m": _number(pinch.even_width_m, 1),
        "share": _number(pinch.share),
        "pairs": list(pinch.pairs),
        "from_bed_m": _number(pinch.from_bed_m, 1),
        "to_food_m": _number(pinch.to_food_m, 1),
        "detour_share": _number(pinch.detour_share),
        "has_other_way": math.isfinite(pinch.detour_share),
        "across_deg": _number(pinch.across_deg, 1),
    }


def _left_out(one: LeftOut) -> dict[str, Any]:
    """Return a place that a rule left out as data."""
    return {"rule": one.rule, "words": one.words, "share": _number(one.share)}
