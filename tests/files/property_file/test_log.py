"""The log of a property comes back as it was entered."""

from __future__ import annotations

from datetime import date

from hypothesis import given, settings
from hypothesis import strategies as st

from funnelfinder.files.property_file import (
    add_visits,
    create,
    load_log,
    load_place,
    save_log,
    save_place,
)
from funnelfinder.season import Done, SeasonChoices, Visit
from tests import hand_made, scenes

visits = st.builds(
    Visit,
    on=st.dates(date(1990, 1, 1), date(2090, 1, 1)).map(date.isoformat),
    done=st.sampled_from(Done),
    x_m=st.floats(3e5, 5e5),
    y_m=st.floats(4e6, 5e6),
    spot=st.text(st.characters(codec="utf-8", exclude_characters="\0"), max_size=12),
    note=st.text(st.characters(codec="utf-8", exclude_characters="\0"), max_size=30),
)


@settings(max_examples=8, deadline=None)
@given(st.lists(visits, max_size=4), st.lists(visits, max_size=3))
def test_visits_are_kept_in_order(tmp_path_factory, first, second):
    path = tmp_path_factory.mktemp("log") / "hollow.gpkg"
    create(path, hand_made.place())
    assert load_log(path) == ()
    add_visits(path, first, epsg=scenes.EPSG)
    add_visits(path, second, epsg=scenes.EPSG)
    assert load_log(path) == (*first, *second)
    save_log(path, second, epsg=scenes.EPSG)
    assert load_log(path) == tuple(second)


def test_choices_for_the_season_and_the_work_table_are_kept(tmp_path):
    from dataclasses import replace

    from funnelfinder.season import Allowance, shipped_rules

    path = tmp_path / "hollow.gpkg"
    chosen = SeasonChoices(
        phase="seeking",
        opening="09-27",
        velvet="09-05",
        allowance=Allowance.CERTIFIED,
        may_enter_core=True,
        rules=shipped_rules()[2:7],
    )
    place = replace(hand_made.place(), season=chosen, peak_breeding="01-21")
    create(path, place)
    assert load_place(path).season == chosen
    save_place(path, hand_made.place())
    assert load_place(path).season == SeasonChoices()
