"""The date and the end of the day that the window speaks of."""

from datetime import date

from funnelfinder.daylight import Half
from ui.hour import Hour


def test_it_tells_once_for_a_change_and_not_at_all_for_none(qapp) -> None:
    hour, told = Hour(), []
    hour.changed.connect(lambda: told.append(hour.words))
    hour.set(on=date(2026, 11, 3), half=Half.MORNING, is_in_light=True)
    hour.set(on=date(2026, 11, 3))
    assert told == ["morning, 3 November"]
    hour.set(is_in_light=False)
    assert len(told) == 2
    assert not hour.is_in_light
