"""Ways in and out as GPX 1.1 tracks, with the stands as waypoints."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Final

import numpy as np
from lxml import etree

from funnelfinder.declination import lon_lat_deg
from funnelfinder.files.points import CREATOR
from funnelfinder.files.whole_file import write_whole
from funnelfinder.files.xml import add, to_bytes
from funnelfinder.stands import Stand, Way

_GPX: Final = "http://www.topografix.com/GPX/1/1"
_CAUTION: Final = (
    "Full-body harness always attached, haul line, tell someone where you are; walk out with a"
    " light. Local law decides on stands, hours and distances."
)


def write_ways(
    path: Path | str,
    stands: Sequence[Stand],
    ways: Mapping[str, Mapping[str, Way]],
    *,
    epsg: int,
    name: str,
) -> int:
    """Write stands as waypoints and their walks as tracks; return the number of tracks.

    Parameters
    ----------
    path : path
        The file.
    stands : sequence of Stand
        Where a person sits.
    ways : mapping of str to mapping of stand name to Way
        Walks by what they are, like IN-EVENING; a track is called that, a dash, and its stand.
        Tracks whose name begins with OUT run from the stand to the way in.
    epsg : int
        Code of the property's UTM zone.
    name : str
        What the property is called.

    Raises
    ------
    ExportError
        If it cannot be written.
    """
    root = etree.Element(
        f"{{{_GPX}}}gpx", attrib={"version": "1.1", "creator": CREATOR}, nsmap={None: _GPX}
    )
    metadata = add(root, "metadata")
    add(metadata, "name", name)
    add(metadata, "desc", f"Stands, ways in and out. {_CAUTION}")
    for stand in stands:
        lon, lat = lon_lat_deg(np.array([[stand.x_m, stand.y_m]]), epsg)[0]
        point = add(root, "wpt", lat=f"{lat:.7f}", lon=f"{lon:.7f}")
        add(point, "name", stand.name)
        near = "; ".join(stand.in_range) or "no house, road or boundary you marked"
        add(point, "desc", f"In range: {near}. {_CAUTION}")
    walks = [
        (f"{what}-{stand.name}", found[stand.name], -1 if what.startswith("OUT") else 1)
        for what, found in ways.items()
        for stand in stands
        if stand.name in found
    ]
    for title, way, turn in walks:
        track = add(root, "trk")
        add(track, "name", title)
        add(track, "desc", f"{way.words} {_CAUTION}")
        segment = add(track, "trkseg")
        for lon, lat in lon_lat_deg(way.points_m[::turn], epsg):
            add(segment, "trkpt", lat=f"{lat:.7f}", lon=f"{lon:.7f}")
    write_whole(Path(path), to_bytes(root))
    return len(walks)
