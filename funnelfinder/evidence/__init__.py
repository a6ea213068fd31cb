"""Which bed-food pairs are really walked, by what cameras recorded."""

from funnelfinder.evidence.next_camera import NEXT_NIGHTS, spread_after, spread_of
from funnelfinder.evidence.ranking import (
    expected_visits,
    prior_nights,
    prior_rates,
    ranks,
    spot_shares,
)
from funnelfinder.evidence.rates import (
    SITE_SHAPE,
    CameraCount,
    Rates,
    exact_interval,
    next_nights_without,
    pair_rates,
    rate_interval,
    share_interval,
)
from funnelfinder.evidence.records import CameraLog, CameraStay, Deer, Sighting, read_time
from funnelfinder.evidence.visits import (
    APART_MIN,
    DeerVisit,
    Interval,
    PlaceVisits,
    SunClock,
    SunTime,
    places_of,
    visits_of,
)

__all__ = [
    "APART_MIN",
    "NEXT_NIGHTS",
    "SITE_SHAPE",
    "CameraCount",
    "CameraLog",
    "CameraStay",
    "Deer",
    "DeerVisit",
    "Interval",
    "PlaceVisits",
    "Rates",
    "Sighting",
    "SunClock",
    "SunTime",
    "exact_interval",
    "expected_visits",
    "next_nights_without",
    "pair_rates",
    "places_of",
    "prior_nights",
    "prior_rates",
    "ranks",
    "rate_interval",
    "read_time",
    "share_interval",
    "spot_shares",
    "spread_after",
    "spread_of",
    "visits_of",
]
