"""Points as KML 2.2, which globes and picture maps read.

The order of the elements is that of the schema (OGC 07-147r2); altitude is left to the ground.
"""

from __future__ import annotations

from typing import Final

from lxml import etree
from shapely.geometry import LinearRing, Polygon

from funnelfinder.files.points import CREATOR, PointsFile, said_number
from funnelfinder.files.xml import add, from_bytes, text_of, to_bytes
from funnelfinder.waypoints import Row, Waypoint, row_from_texts, row_of

KML: Final = "http://www.opengis.net/kml/2.2"
_SPACES: Final = {"k": KML}
_OWN_COLUMNS: Final = ("kind", "elevation_m", "why", "share", "squeeze", "steadiness", "cluster")
#: Ink at full strength, as alpha, blue, green, red.
_INK: Final = "ff1e2428"


def kml_bytes(content: PointsFile) -> bytes:
    """Return the points as placemarks, and the boundary in a folder, of a KML 2.2 document."""
    root = etree.Element(f"{{{KML}}}kml", nsmap={None: KML})
    document = add(root, "Document")
    add(document, "name", content.property_name)
    add(document, "description", "Points of a model; your own cameras are the check.")
    style = add(document, "Style", id="boundary")
    line = add(style, "LineStyle")
    add(line, "color", _INK)
    add(line, "width", "2")
    add(add(style, "PolyStyle"), "fill", "0")
    _add_data(document, {"creator": CREATOR})
    for point in content.points:
        _add_placemark(document, point)
    _add_boundary(document, content)
    return to_bytes(root)


def _add_data(parent: etree._Element, values: dict[str, str]) -> None:
    """Add named values, the empty ones left out."""
    data = add(parent, "ExtendedData")
    for name, text in values.items():
        if text:
            add(add(data, "Data", name=name), "value", text)


def _add_placemark(document: etree._Element, point: Waypoint) -> None:
    """Add one point, its elements in the order of the schema."""
    placemark = add(document, "Placemark")
    add(placemark, "name", point.name)
    add(placemark, "Snippet", point.comment, maxLines="1")
    add(placemark, "description", point.description)
    row = row_of(point)
    texts = {
        name: value if isinstance(value, str) else said_number(value)
        for name, value in ((name, row[name]) for name in _OWN_COLUMNS)
    }
    _add_data(placemark, texts | {"cluster": str(point.cluster)})
    place = f"{said_number(point.lon_deg)},{said_number(point.lat_deg)}"
    add(add(placemark, "Point"), "coordinates", place)


def _add_boundary(document: etree._Element, content: PointsFile) -> None:
    """Add the boundary as polygons in a folder of their own."""
    folder = add(document, "Folder")
    add(folder, "name", "boundary")
    placemark = add(folder, "Placemark")
    add(placemark, "name", "BOUNDARY")
    add(
        placemark,
        "description",
        "Drawn by hand, not a survey; posted signs on the ground outrank it.",
    )
    add(placemark, "styleUrl", "#boundary")
    parts = add(placemark, "MultiGeometry")
    for part in content.boundary.geoms:
        _add_polygon(parts, part)


def _add_polygon(parent: etree._Element, part: Polygon) -> None:
    """Add one polygon with its holes."""
    polygon = add(parent, "Polygon")
    _add_ring(add(polygon, "outerBoundaryIs"), part.exterior)
    for hole in part.interiors:
        _add_ring(add(polygon, "innerBoundaryIs"), hole)


def _add_ring(parent: etree._Element, ring: LinearRing) -> None:
    """Add a closed ring: no blank inside a coordinate, one between."""
    corners = " ".join(f"{said_number(lon)},{said_number(lat)}" for lon, lat in ring.coords)
    add(add(parent, "LinearRing"), "coordinates", corners)


def kml_rows(data: bytes) -> list[Row]:
    """Return the points of a KML document that `kml_bytes` wrote.

    Raises
    ------
    ValueError
        If it is no XML or a number in it cannot be read.
    """
    root = from_bytes(data)
    return [_row(placemark) for placemark in root.iterfind("k:Document/k:Placemark", _SPACES)]


def _row(placemark: etree._Element) -> Row:
    """Return the columns of one placemark."""
    lon, lat = text_of(placemark, "k:Point/k:coordinates", _SPACES).split(",")[:2]
    texts = {
        "name": text_of(placemark, "k:name", _SPACES),
        "description": text_of(placemark, "k:description", _SPACES),
        "lon": lon,
        "lat": lat,
    }
    for data in placemark.iterfind("k:ExtendedData/k:Data", _SPACES):
        texts[data.get("name", "")] = text_of(data, "k:value", _SPACES)
    return row_from_texts(texts)


def kml_owner(data: bytes) -> str | None:
    """Return whose points a KML document of ours holds; None if something else made it."""
    document = from_bytes(data).find("k:Document", _SPACES)
    if document is None:
        return None
    creator = text_of(document, "k:ExtendedData/k:Data[@name='creator']/k:value", _SPACES)
    return text_of(document, "k:name", _SPACES) if creator.startswith("funnelfinder") else None
