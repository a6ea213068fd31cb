"""Phases against published chronologies, and the tables that are shipped."""

from __future__ import annotations

from datetime import date, timedelta
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from funnelfinder.defaults import SeasonSettings
from funnelfinder.errors import SettingError
from funnelfinder.season import (
    BRANCH_CM,
    BRANCH_SEEN_CM,
    SPOT_KINDS,
    Action,
    Phase,
    day_in,
    food_factor,
    peak_for,
    phase_on,
    phase_words,
    published_peak,
    published_peaks,
    rules_from_csv,
    rules_to_csv,
    shipped_rules,
    spans,
    words_for,
)

USUAL = SeasonSettings()
days = st.dates(date(1999, 1, 1), date(2050, 12, 31))
peaks = st.dates(date(2000, 1, 1), date(2000, 12, 31)).map(lambda day: f"{day:%m-%d}")


@pytest.mark.parametrize(
    ("day", "phase"),
    [
        # Penn State deer study, dates read in its text: pre-rut 1-15 October, early rut
        # 15-31 October, rut 1-15 November, half bred by mid-November.
        ("2026-10-08", Phase.PRE_RUT),
        ("2026-10-28", Phase.SEEKING),
        ("2026-11-10", Phase.PEAK_BREEDING),
        # Common practice, no source.
        ("2026-08-31", Phase.LATE_SUMMER),
        ("2026-09-20", Phase.EARLY_SEASON),
        ("2026-11-30", Phase.LATE),
        ("2027-01-05", Phase.LATE),
    ],
)
def test_phases_of_a_mid_november_peak(day, phase):
    assert phase_on(date.fromisoformat(day), "11-15", USUAL) is phase


def test_scraping_peaks_inside_the_seeking_phase():
    # Miller & Marchinton 1999, Can. Field-Nat. 113:519: 2 to 3 weeks before peak breeding.
    peak = date(2026, 11, 15)
    for weeks in (2, 3):
        assert phase_on(peak - timedelta(weeks=weeks), "11-15", USUAL) is Phase.SEEKING


@given(days, peaks)
def test_every_day_lies_in_the_span_of_its_phase(day, peak):
    phase = phase_on(day, peak, USUAL)
    found = [one for one in spans(peak_for(day, peak), USUAL) if one.first <= day <= one.last]
    assert [one.phase for one in found] == [phase]


@given(peaks, st.integers(2000, 2048))
def test_phases_follow_each_other_without_a_gap(peak, year):
    season = spans(day_in(year, peak), USUAL)
    assert [one.phase for one in season] == list(Phase)
    for one, after in pairwise(season):
        assert after.first - one.last == timedelta(days=1)


@given(st.integers(2000, 2048))
def test_a_january_peak_shifts_the_season_as_a_whole(year):
    north, south = spans(day_in(year, "11-15"), USUAL), spans(day_in(year + 1, "01-21"), USUAL)
    shift = day_in(year + 1, "01-21") - day_in(year, "11-15")
    assert all(b.first - a.first == shift for a, b in zip(north, south, strict=True))


def test_a_leap_day_peak_is_the_last_of_february_in_other_years():
    assert day_in(2028, "02-29") == date(2028, 2, 29)
    assert day_in(2027, "02-29") == date(2027, 2, 28)


def test_velvet_sets_the_early_season_where_it_fits():
    season = spans(date(2026, 11, 15), USUAL, velvet="09-06")
    assert season[1].first == date(2026, 9, 6)
    odd = spans(date(2026, 11, 15), USUAL, velvet="11-01")
    assert odd == spans(date(2026, 11, 15), USUAL)


@pytest.mark.parametrize("text", ["", "13-01", "02-30", "Nov 15", "11-15-2026", "٢-٠١"])
def test_what_is_no_day_is_told(text):
    with pytest.raises(SettingError, match="no day"):
        day_in(2026, text)


@pytest.mark.parametrize(
    ("words", "peak"),
    [
        ("Mississippi", "01-01"),  # Dye et al. 2012, Wildl. Soc. Bull.: mean 1 January
        ("Alabama, Stimpson", "02-11"),  # Lueth 1967, SEAFWA
        ("south carolina, savannah river", "11-13"),  # Novak et al. 1991
        ("Ohio", "11-13"),  # from memory
        ("Georgia, Clinch", "10-23"),  # Stickles et al. 2015: week of 20-26 October
    ],
)
def test_published_dates(words, peak):
    assert published_peak(words).peak == peak


@pytest.mark.parametrize(("words", "told"), [("Atlantis", "shipped"), ("Georgia", "one area")])
def test_a_place_without_one_date_is_told(words, told):
    with pytest.raises(SettingError, match=told):
        published_peak(words)


def test_every_published_date_has_a_source_and_lies_in_its_range():
    for one in published_peaks():
        assert one.source
        assert one.sure in ("read in the abstract", "second hand", "from memory")
        if one.first:
            year = 2025
            first, last = day_in(year, one.first), day_in(year, one.last)
            assert first <= day_in(year, one.peak) <= last, one.label


def test_most_published_breeding_lies_in_seeking_peak_or_late():
    # Pennsylvania Game Commission: 90 of 100 adults bred from 27 October to 10 December.
    for day in (date(2026, 10, 27), date(2026, 12, 10)):
        phase = phase_on(day, published_peak("Pennsylvania").peak, USUAL)
        assert phase in (Phase.SEEKING, Phase.PEAK_BREEDING, Phase.LATE)


def test_every_phase_says_what_deer_do_and_what_matters_at_each_kind_of_spot():
    for phase in Phase:
        for at in ("deer", *SPOT_KINDS):
            said = words_for(phase, at)
            assert said.words.endswith(".")
            assert said.source
    assert len(phase_words()) == len(Phase) * (1 + len(SPOT_KINDS))


def test_food_follows_the_phase():
    # Common practice, no source: acorns in the fall, beans while green, corn and grain late.
    assert food_factor("acorns", Phase.PRE_RUT) > food_factor("acorns", Phase.LATE)
    assert food_factor("Soybeans", Phase.LATE_SUMMER) > food_factor("soybeans", Phase.PRE_RUT)
    assert food_factor("standing corn", Phase.LATE) > food_factor("corn", Phase.EARLY_SEASON)
    assert food_factor("winter wheat", Phase.LATE) > food_factor("wheat", Phase.LATE_SUMMER)


def test_the_work_table_survives_being_written_and_read():
    assert rules_from_csv(rules_to_csv(shipped_rules())) == shipped_rules()


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ("every_days", "often", "missing"),
        ("freshen", "polish", "cannot be used"),
        ("-31,-22", "-22,-31", "not in order"),
        ("11:00-14:00", "14:00-11:00", "hours"),
        ("more scrapes in cover", "more scrapes at edges", "two of one name"),
    ],
)
def test_a_spoilt_work_table_is_told(old, new, told):
    with pytest.raises(SettingError, match=told):
        rules_from_csv(rules_to_csv(shipped_rules()).replace(old, new))


def test_the_work_table_keeps_to_the_trade():
    """Common practice, no source, for a peak on 15 November."""
    peak = date(2026, 11, 15)

    def rows(action: Action, **more):
        return [
            one
            for one in shipped_rules()
            if one.action is action and all(getattr(one, k).value == v for k, v in more.items())
        ]

    def first(rule):
        return peak + timedelta(days=rule.from_day)

    (opening,) = rows(Action.OPEN)
    assert abs((first(opening) - date(2026, 8, 31)).days) <= 10
    assert opening.every_days == 0
    assert opening.scent.value == "none"
    assert all(abs((first(one) - date(2026, 10, 1)).days) <= 7 for one in rows(Action.ADD))
    assert all(one.scent.value == "forehead gland" for one in rows(Action.ADD))
    (buck,) = rows(Action.FRESHEN, scent="mature buck")
    assert abs((first(buck) - date(2026, 10, 15)).days) <= 7
    assert buck.amount == "sparing"
    heat = rows(Action.FRESHEN, scent="doe in heat")
    assert abs((min(map(first, heat)) - date(2026, 10, 20)).days) <= 7
    assert min(one.from_day for one in heat) >= USUAL.seeking_day
    assert all(one.at == ("field edge",) and one.every_days >= 7 for one in heat)
    (full,) = [one for one in heat if one.amount == "full"]
    assert (full.from_day, full.to_day) == (USUAL.peak_breeding_day, USUAL.late_day - 1)
    (leave,) = rows(Action.LEAVE)
    assert leave.at == ("staging",)
    assert first(leave) <= date(2026, 10, 20)
    (move,) = rows(Action.MOVE_CAMERA)
    assert set(move.at) == {"pinch", "travel"}


def test_a_licking_branch_hangs_where_branches_were_measured():
    # Kile & Marchinton 1977, Am. Midl. Nat. 97:257: 76 to 178 cm.
    assert tuple(BRANCH_SEEN_CM) == (76, 178)
    assert BRANCH_SEEN_CM[0] < BRANCH_CM[0] < BRANCH_CM[1] < BRANCH_SEEN_CM[1]
