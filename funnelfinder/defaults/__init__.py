"""Every default number, with its unit, range and source.

Lengths are metres inside the program; what people read and type is in the unit that the setting
shows.
"""

from funnelfinder.defaults.about import About, shown_value
from funnelfinder.defaults.movement import CostSettings, GroundSettings, Pressure, TripSettings
from funnelfinder.defaults.spots import PinchSettings, RedrawSettings, ScrapeSettings
from funnelfinder.defaults.typed import Entry, Settings, entries, with_setting

__all__ = [
    "About",
    "CostSettings",
    "Entry",
    "GroundSettings",
    "PinchSettings",
    "Pressure",
    "RedrawSettings",
    "ScrapeSettings",
    "Settings",
    "TripSettings",
    "entries",
    "shown_value",
    "with_setting",
]
