"""Which bed-food pairs are really walked, by what cameras recorded."""

from funnelfinder.evidence.rates import (
    CameraCount,
    Rates,
    exact_interval,
    next_nights_without,
    pair_rates,
    rate_interval,
    share_interval,
)

__all__ = [
    "CameraCount",
    "Rates",
    "exact_interval",
    "next_nights_without",
    "pair_rates",
    "rate_interval",
    "share_interval",
]
