"""The points that a person takes along: scrapes, cameras, pinch points and staging spots.

Every format holds the same points with the same rounded numbers, so that what a receiver shows
can be compared with what the report says.
"""

from funnelfinder.waypoints.names import NAME_LENGTH
from funnelfinder.waypoints.points import (
    COMMENT_LENGTH,
    NEAR_PINCH_M,
    Waypoint,
    WaypointKind,
    waypoints,
    ways_in,
)
from funnelfinder.waypoints.rows import COLUMNS, NUMBERS, Row, row_from_texts, row_of
from funnelfinder.waypoints.words import (
    MODEL_WORDS,
    plain,
    said_range,
    said_steadiness,
    why_pinch,
    why_staging,
)

__all__ = [
    "COLUMNS",
    "COMMENT_LENGTH",
    "MODEL_WORDS",
    "NAME_LENGTH",
    "NEAR_PINCH_M",
    "NUMBERS",
    "Row",
    "Waypoint",
    "WaypointKind",
    "plain",
    "row_from_texts",
    "row_of",
    "said_range",
    "said_steadiness",
    "waypoints",
    "ways_in",
    "why_pinch",
    "why_staging",
]
