"""The wind table of each cluster as rows for its page."""

from __future__ import annotations

import numpy as np

from funnelfinder.daylight import Half
from funnelfinder.defaults import StandSettings
from funnelfinder.files.field_sheet.make import WindRow
from funnelfinder.report import wind_words
from funnelfinder.stands import WINDS_DEG, WindTable
from funnelfinder.stands.spots import said_leg
from funnelfinder.units import said_share
from funnelfinder.wind import said_compass


def wind_rows(table: WindTable, settings: StandSettings) -> dict[int, list[WindRow]]:
    """Return the rows of each cluster: every stand, where it is, and its winds by half of the day.

    Parameters
    ----------
    table : WindTable
        What stands are worth on 16 winds.
    settings : StandSettings
        Which sits alert too many.
    """
    huntable = table.is_huntable(settings)
    found: dict[int, list[WindRow]] = {}
    for row, stand in enumerate(table.stands):
        legs = "; ".join(
            said_leg(f"scrape {letter}", one)
            for letter, one in zip("ABC", stand.legs, strict=False)
        )
        rows = found.setdefault(stand.cluster, [])
        rows.append(
            WindRow(wind_from=f"{stand.name}, {stand.x_m:.0f} E {stand.y_m:.0f} N", words=legs)
        )
        for number, half in enumerate(Half):
            good = np.flatnonzero(huntable[row, :, number])
            winds = wind_words([said_compass(WINDS_DEG[one]) for one in good])
            caught = said_share(float(table.caught[row, number]))
            words = f"{caught} trips in legal light; sit {winds}."
            rows.append(WindRow(wind_from=f"{stand.name}, {half.value}", words=words))
    return found
