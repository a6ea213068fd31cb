"""What a scrape cluster is, and what a place is that a rule left out."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import Enum


class ClusterKind(Enum):
    """Where a cluster lies; at a travel place trips run thick though nothing squeezes them."""

    FIELD_EDGE = "field edge"
    STAGING = "staging"
    PINCH = "pinch"
    TRAVEL = "travel"


@dataclass(frozen=True, slots=True, kw_only=True)
class Cluster:
    """Two or three scrapes with their camera.

    Parameters
    ----------
    number : int
        1 is the best; the order in which they were chosen.
    kind : ClusterKind
        Field edge, staging, pinch or travel.
    scrapes_m : tuple of (x_m, y_m)
        Where the scrapes lie.
    camera_m : (x_m, y_m)
        Where the camera hangs.
    camera_bearing_deg : float
        Where it looks [deg clockwise from true north].
    share : float
        Share of all trips that pass within reach of any of its scrapes.
    gain : float
        Share of trips that it adds to the clusters before it.
    share_low, share_high : float
        Range of the share over the redraws; NaN if not tested.
    steadiness : float
        Share of redraws in which it stayed chosen; NaN if not tested.
    n_redraws : int
        Number of redraws behind the range.
    why : str
        Plain sentences with measured sizes.
    name : str
        Short, in the trade's words or the person's own.
    is_by_hand : bool
        Whether a person put it there.
    trips : str
        What its shares count: trips, or trips in legal light.
    """

    number: int
    kind: ClusterKind
    scrapes_m: tuple[tuple[float, float], ...]
    camera_m: tuple[float, float]
    camera_bearing_deg: float
    share: float
    gain: float
    share_low: float = math.nan
    share_high: float = math.nan
    steadiness: float = math.nan
    n_redraws: int = 0
    why: str = ""
    name: str = ""
    is_by_hand: bool = False
    trips: str = "trips"


@dataclass(frozen=True, slots=True, kw_only=True)
class LeftOut:
    """A place that a rule left out, with its share of trips, the rule, and by how much it missed.

    ``words`` is a whole sentence: which rule, and the miss; ``trips`` what the share counts.
    """

    x_m: float
    y_m: float
    share: float
    rule: str
    words: str
    trips: str = "trips"
