"""The wind table as rows: every stand with its winds, and none where none lets one sit."""

from __future__ import annotations

import numpy as np

from funnelfinder.daylight import Half
from funnelfinder.declination import Leg
from funnelfinder.defaults import StandSettings
from funnelfinder.files.field_sheet.winds import wind_rows
from funnelfinder.stands import Stand, WindTable


def stand(name: str, cluster: int) -> Stand:
    """A stand 20 yards south of its scrape."""
    return Stand(
        name=name,
        cluster=cluster,
        x_m=400_100.0,
        y_m=4_300_100.0,
        scrapes_m=((400_100.0, 4_300_118.0),),
        legs=(Leg(length_m=18.288, true_deg=0.0, magnetic_deg=8.0),),
        beside_share=0.0,
        backdrop_share=1.0,
        sun_in_eyes=(),
        in_range=(),
        shot_m=36.576,
    )


def test_each_stand_has_its_place_and_its_winds():
    alerted = np.full((2, 16, 2), 0.9)
    # North and west spoil nothing at the first stand, by either half of the day.
    alerted[0, [0, 12], :] = 0.0
    table = WindTable(
        stands=(stand("S1A", 1), stand("S2A", 2)),
        caught=np.array([[0.3, 0.2], [0.1, 0.1]]),
        alerted=alerted,
    )
    rows = wind_rows(table, StandSettings())
    assert set(rows) == {1, 2}
    place, *halves = rows[1]
    assert place.wind_from == "S1A, 400100 E 4300100 N"
    assert "20 yards" in place.words
    assert [row.wind_from for row in halves] == [f"S1A, {half.value}" for half in Half]
    assert halves[0].words == "30 of 100 trips in legal light; sit on wind from N, W."
    assert all("sit on no wind unnoticed" in row.words for row in rows[2][1:])
