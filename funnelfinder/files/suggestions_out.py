"""Suggestions as a file that can be changed and read back as marks."""

from __future__ import annotations

import json
from collections.abc import Sequence
from pathlib import Path
from typing import Any, Final

import shapely
from shapely.geometry import mapping

from funnelfinder.files.map_systems import in_degrees
from funnelfinder.files.whole_file import write_whole
from funnelfinder.suggestions import Suggestion

#: Decimals of degrees: about 1 cm.
_DECIMALS: Final = 7


def write_suggestions(path: Path, found: Sequence[Suggestion], *, epsg: int) -> None:
    """Write suggestions as GeoJSON, whole or not at all.

    Parameters
    ----------
    path : Path
        Where to.
    found : sequence of Suggestion
        Outlines in the UTM zone ``epsg``.

    Raises
    ------
    ExportError
        If the file cannot be written.
    """
    features = [_feature(one, epsg) for one in found]
    text = json.dumps({"type": "FeatureCollection", "features": features}, indent=1)
    write_whole(path, f"{text}\n".encode())


def _feature(one: Suggestion, epsg: int) -> dict[str, Any]:
    """Return one suggestion with the columns that marks have."""
    outline = shapely.transform(
        in_degrees(one.geometry, epsg), lambda points: points.round(_DECIMALS)
    )
    return {
        "type": "Feature",
        "properties": {
            "kind": one.kind.value,
            "name": one.name,
            "crop": one.crop,
            "note": one.why,
        },
        "geometry": mapping(shapely.orient_polygons(outline)),
    }
