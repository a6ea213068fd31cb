"""The stands in force: those chosen, else the best trees found."""

from __future__ import annotations

from dataclasses import replace

from funnelfinder.stands import pick_by_hand, pick_of_stand, spot_of, stands_for
from tests.stands import ready


def in_force(*picks):
    _, findings, base = ready.found()
    return stands_for(base, findings.clusters, picks)


def clusters():
    return ready.found()[1].clusters


def test_without_decisions_the_best_trees_are_in_force():
    assert in_force() == ready.stands()


def test_what_is_taken_is_in_force_alone_at_its_spot_under_its_name():
    second = next(one for one in ready.stands() if one.name.endswith("B"))
    spot = next(one for one in clusters() if one.number == second.cluster)
    found = in_force(pick_of_stand(second, spot))
    mine = [one for one in found if one.cluster == spot.number]
    assert [one.name for one in mine] == [second.name]
    assert (mine[0].x_m, mine[0].y_m) == (second.x_m, second.y_m)
    assert mine[0].is_chosen
    assert not mine[0].is_by_hand
    others = [one for one in found if one.cluster != spot.number]
    assert others == [one for one in ready.stands() if one.cluster != spot.number]


def test_a_tree_that_is_left_out_is_gone_and_the_others_stay():
    first = ready.stands()[0]
    spot = next(one for one in clusters() if one.number == first.cluster)
    assert in_force(pick_of_stand(first, spot, is_taken=False)) == ready.stands()[1:]


def test_one_put_by_hand_stands_where_it_was_put_with_its_faults_note_and_shot():
    spot = clusters()[0]
    x, y = spot.scrapes_m[0]
    pick = pick_by_hand(x + 2.0, y, spot, name="Twin oak", shot_m=91.44, note="ask first")
    (found,) = [one for one in in_force(pick) if one.cluster == spot.number]
    assert (found.x_m, found.y_m, found.name) == (x + 2.0, y, "Twin oak")
    assert (found.note, found.shot_m, found.key) == ("ask first", 91.44, pick.key)
    assert found.is_by_hand
    assert any("from a scrape" in one for one in found.faults)


def test_names_are_unique_whatever_the_person_calls_a_stand():
    """A stand that took the name of another spot's tree moves that tree to the next letter."""
    spot = clusters()[-1]
    x, y = spot.camera_m
    taken = ready.stands()[0].name
    found = in_force(
        pick_by_hand(x, y, spot, name=taken), pick_by_hand(x + 9, y, spot), pick_by_hand(x, y, spot)
    )
    names = [one.name for one in found]
    assert len(set(names)) == len(names)
    assert taken in [one.name for one in found if one.cluster == spot.number]


def test_a_decision_follows_its_spot_to_another_number_and_rests_when_it_is_gone():
    _, findings, base = ready.found()
    spot = clusters()[0]
    pick = pick_by_hand(*spot.camera_m, spot, name="Twin oak")
    again = (replace(spot, number=9),)
    assert [one.name for one in stands_for(base, again, (pick,))] == ["Twin oak"]
    near_m = base.settings.redraws.same_place_m
    assert spot_of(pick, findings.clusters, near_m) is spot
    elsewhere = replace(pick, spot_x_m=pick.spot_x_m + 5000.0)
    assert spot_of(elsewhere, findings.clusters, near_m) is None
    assert stands_for(base, again, (elsewhere,)) == stands_for(base, again, ())
