"""Where trips gather in cover before they step out to feed."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class StagingSpot:
    """A place in cover near a food source.

    ``share`` is the share of all trips that pass within reach; ``edge_m`` the distance to the
    edge of ``food`` [m].
    """

    x_m: float
    y_m: float
    share: float
    food: str
    edge_m: float
