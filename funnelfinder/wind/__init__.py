"""Scent on the wind and on the drift of air along slopes."""

from funnelfinder.wind.air import Air, Sense, Sky, air_at, compass_deg, drift_sense, said_compass
from funnelfinder.wind.drift import Drift, drift_of
from funnelfinder.wind.scent import Walks, alerted_shares, scent_bits, threshold_s_m3, walks_of
from funnelfinder.wind.stability import Stability, net_radiation, stability_of

__all__ = [
    "Air",
    "Drift",
    "Sense",
    "Sky",
    "Stability",
    "Walks",
    "air_at",
    "alerted_shares",
    "compass_deg",
    "drift_of",
    "drift_sense",
    "net_radiation",
    "said_compass",
    "scent_bits",
    "stability_of",
    "threshold_s_m3",
    "walks_of",
]
