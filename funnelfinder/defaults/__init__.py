"""Every default number, with its unit, range and source.

Lengths are metres inside the program; what people read and type is in the unit that the setting
shows.
"""

from funnelfinder.defaults.about import About, shown_value
from funnelfinder.defaults.movement import CostSettings, GroundSettings, Pressure, TripSettings
from funnelfinder.defaults.season import SeasonSettings
from funnelfinder.defaults.sitting import DaylightSettings, StandSettings, WindSettings
from funnelfinder.defaults.spots import Counted, PinchSettings, RedrawSettings, ScrapeSettings
from funnelfinder.defaults.typed import Entry, Settings, entries, with_setting

__all__ = [
    "About",
    "CostSettings",
    "Counted",
    "DaylightSettings",
    "Entry",
    "GroundSettings",
    "PinchSettings",
    "Pressure",
    "RedrawSettings",
    "ScrapeSettings",
    "SeasonSettings",
    "Settings",
    "StandSettings",
    "TripSettings",
    "WindSettings",
    "entries",
    "shown_value",
    "with_setting",
]
