"""The points of a run, placed on the globe."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from enum import Enum
from typing import Final

import numpy as np
from pyproj import Transformer

from funnelfinder.analysis.findings import Findings
from funnelfinder.ground import Raster
from funnelfinder.kernels import FloatArray
from funnelfinder.marks import MarkKind, Property
from funnelfinder.pinch_points import PinchPoint
from funnelfinder.scrapes import Cluster, ClusterKind
from funnelfinder.staging import StagingSpot
from funnelfinder.units import YARD_M, said_length, said_share
from funnelfinder.waypoints.names import short_name, unique_names
from funnelfinder.waypoints.words import (
    cluster_words,
    pinch_words,
    plain,
    said_steadiness,
    staging_words,
    why_pinch,
    why_staging,
)

#: Longest comment; receivers show about as much (common practice, no source).
COMMENT_LENGTH: Final = 50
#: Decimals that are written: 1e-7 degree is about 1 cm on the ground.
DEGREE_DECIMALS: Final = 7
METRE_DECIMALS: Final = 2
HEIGHT_DECIMALS: Final = 1
SHARE_DECIMALS: Final = 4
SQUEEZE_DECIMALS: Final = 3
#: A pinch cluster carries the squeeze of the nearest pinch point this near to a scrape (judgement).
NEAR_PINCH_M: Final = 60 * YARD_M
WGS84_EPSG: Final = 4326
#: What clusters are called that nothing names.
_NO_NAMES: Final = frozenset({"on the way", "pinch point"})


class WaypointKind(Enum):
    """What a point is; the value is the word in the column ``kind``."""

    SCRAPE = "scrape"
    CAMERA = "camera"
    PINCH = "pinch"
    STAGING = "staging"
    WAY_IN = "way-in"


@dataclass(frozen=True, slots=True, kw_only=True)
class Waypoint:
    """One point for a receiver, a map or a table.

    Parameters
    ----------
    name : str
        At most `NAME_LENGTH` of A-Z, 0-9 and hyphen; unique, and sorts in order of worth.
    kind : WaypointKind
        What it is.
    x_m, y_m : float
        Easting and northing in the property's UTM zone [m].
    lon_deg, lat_deg : float
        Longitude and latitude [deg, WGS 84], rounded to `DEGREE_DECIMALS`.
    why : str
        Why it is there, in plain sentences; may be empty.
    description, comment : str
        Everything in words; and the gist, at most `COMMENT_LENGTH` long.
    elevation_m : float, optional
        Height of the ground [m].
    share : float, optional
        Share of all trips that pass within reach (of its cluster, for scrapes and cameras).
    squeeze : float, optional
        How many times narrower trips run than on even ground.
    steadiness : float, optional
        Share of redraws in which it stayed chosen; None is "not tested".
    cluster : int
        Number of its cluster; 0 where it belongs to none.
    """

    name: str
    kind: WaypointKind
    x_m: float
    y_m: float
    lon_deg: float
    lat_deg: float
    why: str
    description: str
    comment: str
    elevation_m: float | None = None
    share: float | None = None
    squeeze: float | None = None
    steadiness: float | None = None
    cluster: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class _Draft:
    """A point before it has its final name and its place on the globe."""

    kind: WaypointKind
    name: str
    place_m: tuple[float, float]
    why: str
    words: str
    gist: str
    share: float = math.nan
    squeeze: float | None = None
    steadiness: float = math.nan
    cluster: int = 0


def waypoints(findings: Findings, *, elevation: Raster | None = None) -> tuple[Waypoint, ...]:
    """Return the points of a run: cluster by cluster, then pinch points, then staging spots.

    Parameters
    ----------
    findings : Findings
        Results of a run.
    elevation : Raster, optional
        Where the heights are read; without it the points have none.

    Returns
    -------
    tuple of Waypoint
        Every scrape and camera of each chosen cluster, every pinch point, every staging spot.
    """
    drafts = [
        *_cluster_drafts(findings),
        *_pinch_drafts(findings.pinch_points),
        *_staging_drafts(findings.staging_spots),
    ]
    return _placed(drafts, epsg=findings.grid.epsg, elevation=elevation)


def ways_in(place: Property, *, elevation: Raster | None = None) -> tuple[Waypoint, ...]:
    """Return the way-in marks of a property as points; they hold no result of the model."""
    drafts = []
    for number, mark in enumerate(place.of_kind(MarkKind.WAY_IN), start=1):
        spot = mark.geometry.representative_point()
        words = ". ".join(filter(None, ("Way in", mark.name, mark.note)))
        drafts.append(
            _Draft(
                kind=WaypointKind.WAY_IN,
                name=short_name(f"W{number:02d}", "GATE", own=mark.name),
                place_m=(spot.x, spot.y),
                why=mark.note,
                words=words,
                gist=words,
            )
        )
    return _placed(drafts, epsg=place.epsg, elevation=elevation)


def _cluster_drafts(findings: Findings) -> Iterator[_Draft]:
    """Yield the scrapes and the camera of every cluster."""
    width = len(str(max((cluster.number for cluster in findings.clusters), default=1)))
    for cluster in findings.clusters:
        stem = f"C{cluster.number:0{width}d}"
        squeeze = _squeeze_near(cluster, findings.pinch_points)
        yield from _scrape_drafts(cluster, stem, squeeze)
        bearing = round(cluster.camera_bearing_deg) % 360
        what = f"Camera, looking {bearing} degrees from true north"
        yield _Draft(
            kind=WaypointKind.CAMERA,
            name=f"{stem}-CAM",
            place_m=cluster.camera_m,
            why=cluster.why,
            words=cluster_words(cluster, what, squeeze),
            gist=f"Camera, looks {bearing} deg true, cluster {cluster.number}",
            share=cluster.share,
            squeeze=squeeze,
            steadiness=cluster.steadiness,
            cluster=cluster.number,
        )


def _scrape_drafts(cluster: Cluster, stem: str, squeeze: float | None) -> Iterator[_Draft]:
    """Yield the scrapes of a cluster, lettered from A."""
    steady = said_steadiness(cluster)
    for index, place_m in enumerate(cluster.scrapes_m):
        yield _Draft(
            kind=WaypointKind.SCRAPE,
            name=short_name(
                stem + chr(ord("A") + index % 26),
                _kind_word(cluster.kind),
                telling=cluster.name or cluster.why,
                own=_own_name(cluster),
            ),
            place_m=place_m,
            why=cluster.why,
            words=cluster_words(
                cluster, f"Scrape {index + 1} of {len(cluster.scrapes_m)}", squeeze
            ),
            gist=f"Scrape, {said_share(cluster.share)} {cluster.trips}, {steady}",
            share=cluster.share,
            squeeze=squeeze,
            steadiness=cluster.steadiness,
            cluster=cluster.number,
        )


def _own_name(cluster: Cluster) -> str:
    """Return what a cluster is called, empty where that says no more than its kind."""
    return "" if cluster.name.lower() in _NO_NAMES else cluster.name


def _kind_word(kind: ClusterKind) -> str:
    """Return a kind of cluster in one word: the last of its own, or STAGE."""
    return "STAGE" if kind is ClusterKind.STAGING else kind.value.split()[-1].upper()


def _squeeze_near(cluster: Cluster, pinch_points: tuple[PinchPoint, ...]) -> float | None:
    """Return the squeeze of the pinch point that a pinch cluster sits on, if one is near."""
    if cluster.kind is not ClusterKind.PINCH:
        return None
    near = [
        (math.dist((pinch.x_m, pinch.y_m), scrape), pinch.squeeze)
        for pinch in pinch_points
        for scrape in cluster.scrapes_m
    ]
    distance_m, squeeze = min(near, default=(math.inf, math.nan))
    return squeeze if distance_m <= NEAR_PINCH_M else None


def _pinch_drafts(pinch_points: tuple[PinchPoint, ...]) -> Iterator[_Draft]:
    """Yield the pinch points, in the order of the findings."""
    width = max(2, len(str(len(pinch_points))))
    for number, pinch in enumerate(pinch_points, start=1):
        yield _Draft(
            kind=WaypointKind.PINCH,
            name=short_name(f"P{number:0{width}d}", "PINCH", telling="".join(pinch.kinds[:1])),
            place_m=(pinch.x_m, pinch.y_m),
            why=why_pinch(pinch),
            words=pinch_words(pinch, pinch.squeeze),
            gist=f"Pinch, {said_share(pinch.share)} trips, squeeze {pinch.squeeze:.1f}",
            share=pinch.share,
            squeeze=pinch.squeeze,
        )


def _staging_drafts(spots: tuple[StagingSpot, ...]) -> Iterator[_Draft]:
    """Yield the staging spots, in the order of the findings."""
    width = max(2, len(str(len(spots))))
    for number, spot in enumerate(spots, start=1):
        yield _Draft(
            kind=WaypointKind.STAGING,
            name=short_name(f"S{number:0{width}d}", "STAGE"),
            place_m=(spot.x_m, spot.y_m),
            why=why_staging(spot),
            words=staging_words(spot),
            gist=f"Staging, {said_share(spot.share)} {spot.trips}, {said_length(spot.edge_m)} in",
            share=spot.share,
        )


def _placed(drafts: list[_Draft], *, epsg: int, elevation: Raster | None) -> tuple[Waypoint, ...]:
    """Return the points with unique names, on the globe and with their heights."""
    if not drafts:
        return ()
    points = np.array([draft.place_m for draft in drafts], dtype=np.float64)
    points = points.round(METRE_DECIMALS)
    globe = Transformer.from_crs(epsg, WGS84_EPSG, always_xy=True)
    lons, lats = globe.transform(points[:, 0], points[:, 1])
    heights = _heights_m(points, elevation)
    names = unique_names(draft.name for draft in drafts)
    placed = zip(drafts, names, points, lons, lats, heights, strict=True)
    return tuple(
        Waypoint(
            name=name,
            kind=draft.kind,
            x_m=float(point[0]),
            y_m=float(point[1]),
            lon_deg=round(float(lon), DEGREE_DECIMALS),
            lat_deg=round(float(lat), DEGREE_DECIMALS),
            elevation_m=_known(height, HEIGHT_DECIMALS),
            why=plain(draft.why),
            description=plain(draft.words),
            comment=plain(draft.gist)[:COMMENT_LENGTH].rstrip(),
            share=_known(draft.share, SHARE_DECIMALS),
            squeeze=_known(draft.squeeze, SQUEEZE_DECIMALS),
            steadiness=_known(draft.steadiness, SHARE_DECIMALS),
            cluster=draft.cluster,
        )
        for draft, name, point, lon, lat, height in placed
    )


def _heights_m(points_m: FloatArray, elevation: Raster | None) -> FloatArray:
    """Return the height of the cell each point lies in, NaN off the grid or without one [m]."""
    heights = np.full(len(points_m), np.nan)
    if elevation is None:
        return heights
    west, south, east, north = elevation.grid.bounds_m
    x_m, y_m = points_m.T
    is_on = (x_m >= west) & (x_m < east) & (y_m > south) & (y_m <= north)
    rows, cols = elevation.grid.nearest_cells(points_m[is_on])
    heights[is_on] = elevation.values[rows, cols]
    return heights


def _known(value: float | None, decimals: int) -> float | None:
    """Return a number rounded, or None where nothing is known."""
    if value is None or not math.isfinite(value):
        return None
    return round(float(value), decimals) + 0.0
