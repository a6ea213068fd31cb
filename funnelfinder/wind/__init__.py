"""Scent on the wind and on the drift of air along slopes."""

from funnelfinder.wind.air import Air, Sense, Sky, air_at, compass_deg, drift_sense, said_compass
from funnelfinder.wind.drift import Drift, drift_of, drift_speed_m_s
from funnelfinder.wind.scent import Walks, scent_bits, scented_parts, threshold_s_m3, walks_of
from funnelfinder.wind.stability import Stability, net_radiation, stability_of

__all__ = [
    "Air",
    "Drift",
    "Sense",
    "Sky",
    "Stability",
    "Walks",
    "air_at",
    "compass_deg",
    "drift_of",
    "drift_sense",
    "drift_speed_m_s",
    "net_radiation",
    "said_compass",
    "scent_bits",
    "scented_parts",
    "stability_of",
    "threshold_s_m3",
    "walks_of",
]
