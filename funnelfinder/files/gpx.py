"""Points as GPX 1.1, which handheld receivers read.

The order of the elements is that of the schema (TopoGrafix, GPX 1.1). ``sym`` is left out: its
words differ from receiver to receiver, and an unknown one hides the point on some. What GPX has
no element for stands in a namespace of our own.
"""

from __future__ import annotations

from typing import Final

import shapely
from lxml import etree

from funnelfinder.files.points import CREATOR, PointsFile, said_number
from funnelfinder.files.xml import add, from_bytes, text_of, to_bytes
from funnelfinder.waypoints import Row, Waypoint, row_from_texts, row_of

GPX: Final = "http://www.topografix.com/GPX/1/1"
OWN: Final = "urn:x-funnelfinder:points:1"
_SPACES: Final = {"g": GPX, "f": OWN}
_OWN_COLUMNS: Final = ("why", "share", "squeeze", "steadiness", "cluster")


def gpx_bytes(content: PointsFile) -> bytes:
    """Return the points as waypoints, and the boundary as one track, of a GPX 1.1 document."""
    root = etree.Element(
        f"{{{GPX}}}gpx",
        attrib={"version": "1.1", "creator": CREATOR},
        nsmap={None: GPX, "funnelfinder": OWN},
    )
    _add_metadata(root, content)
    for point in content.points:
        _add_waypoint(root, point)
    _add_boundary(root, content)
    return to_bytes(root)


def _add_metadata(root: etree._Element, content: PointsFile) -> None:
    """Add the property's name and what the file is; the bounds of everything in it."""
    metadata = add(root, "metadata")
    add(metadata, "name", content.property_name)
    add(metadata, "desc", "Scrape clusters, cameras, pinch points and staging spots of a model.")
    spots = [shapely.Point(point.lon_deg, point.lat_deg) for point in content.points]
    west, south, east, north = shapely.union_all([content.boundary.envelope, *spots]).bounds
    edges = {"minlat": south, "minlon": west, "maxlat": north, "maxlon": east}
    add(metadata, "bounds", **{name: said_number(value) for name, value in edges.items()})


def _add_waypoint(root: etree._Element, point: Waypoint) -> None:
    """Add one waypoint, its elements in the order of the schema."""
    waypoint = add(root, "wpt", lat=said_number(point.lat_deg), lon=said_number(point.lon_deg))
    if point.elevation_m is not None:
        add(waypoint, "ele", said_number(point.elevation_m))
    add(waypoint, "name", point.name)
    add(waypoint, "cmt", point.comment)
    add(waypoint, "desc", point.description)
    add(waypoint, "type", point.kind.value)
    extensions = add(waypoint, "extensions")
    row = row_of(point)
    for column in _OWN_COLUMNS:
        value = row[column]
        text = value if isinstance(value, str) else said_number(value)
        if column == "cluster":
            text = str(point.cluster)
        if text:
            etree.SubElement(extensions, f"{{{OWN}}}{column}").text = text


def _add_boundary(root: etree._Element, content: PointsFile) -> None:
    """Add the boundary as a track, one segment a ring."""
    track = add(root, "trk")
    add(track, "name", "BOUNDARY")
    add(track, "desc", "Drawn by hand, not a survey; posted signs on the ground outrank it.")
    for part in content.boundary.geoms:
        for ring in (part.exterior, *part.interiors):
            segment = add(track, "trkseg")
            for lon, lat in ring.coords:
                add(segment, "trkpt", lat=said_number(lat), lon=said_number(lon))


def gpx_rows(data: bytes) -> list[Row]:
    """Return the points of a GPX document that `gpx_bytes` wrote.

    Raises
    ------
    ValueError
        If it is no XML or a number in it cannot be read.
    """
    root = from_bytes(data)
    return [_row(waypoint) for waypoint in root.iterfind("g:wpt", _SPACES)]


def _row(waypoint: etree._Element) -> Row:
    """Return the columns of one waypoint."""
    texts = {
        "name": text_of(waypoint, "g:name", _SPACES),
        "kind": text_of(waypoint, "g:type", _SPACES),
        "lon": waypoint.get("lon", ""),
        "lat": waypoint.get("lat", ""),
        "elevation_m": text_of(waypoint, "g:ele", _SPACES),
        "description": text_of(waypoint, "g:desc", _SPACES),
    }
    for column in _OWN_COLUMNS:
        texts[column] = text_of(waypoint, f"g:extensions/f:{column}", _SPACES)
    return row_from_texts(texts)


def gpx_owner(data: bytes) -> str | None:
    """Return whose points a GPX document of ours holds; None if something else made it."""
    root = from_bytes(data)
    if not root.get("creator", "").startswith("funnelfinder"):
        return None
    return text_of(root, "g:metadata/g:name", _SPACES)
