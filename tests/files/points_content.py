"""What the tests of the point formats write: hand-made points with every corner case."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from funnelfinder.files.points import PointsFile
from funnelfinder.files.take_along import points_file
from funnelfinder.ground import Raster
from funnelfinder.waypoints import row_of
from tests import hand_made

SCHEMAS = Path(__file__).parents[2].parent / "shared" / "schemas"


def content() -> PointsFile:
    """Points with and without numbers, heights, and words that need escaping."""
    made = hand_made.findings()
    raster = Raster(
        grid=made.grid,
        values=np.full(made.grid.shape, 312.34, dtype=np.float32),
        source="even",
        source_cell_m=10,
    )
    file = points_file(
        replace(hand_made.place(), name='Brome & "Höllow" <north>'),
        hand_made.findings(
            clusters=(
                hand_made.cluster(why='The "Öak" & <fence>, 5 > 3; one\nline'),
                *made.clusters[1:],
            ),
        ),
        elevation=raster,
        with_ways_in=True,
    )
    no_height = replace(file.points[0], elevation_m=None)
    return replace(file, points=(no_height, *file.points[1:]))


def rows() -> list:
    """The same as columns."""
    return [row_of(point) for point in content().points]


def schema(name: str) -> Path:
    """A published XML Schema, or skip the test."""
    path = SCHEMAS / name
    if not path.exists():
        pytest.skip(f"the schema {name} is not beside the repository")
    return path
