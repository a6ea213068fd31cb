"""What cameras say in words: figures with their ends, and nothing said that is not known."""

from __future__ import annotations

from datetime import datetime

import pytest

from funnelfinder.analysis.watching import (
    CameraPlace,
    NextPlace,
    PairWalked,
    SpotRanked,
    Watched,
)
from funnelfinder.daylight import Half
from funnelfinder.evidence import Deer, DeerVisit, Interval, PlaceVisits, SunTime
from funnelfinder.plan import GoingIn, StandWinds, spots_of
from funnelfinder.report import cameras_text
from funnelfinder.report.cameras import said_camera, said_going_in, said_spot, said_winds
from funnelfinder.season import Done, Visit
from tests import hand_made

MORNING = SunTime(half=Half.MORNING, minutes=21.2, is_light=True)
VISIT = DeerVisit(at=datetime(2026, 11, 7, 7, 2), deer=Deer.MATURE_BUCK, sun=MORNING)


def camera(*, n: int = 1, **more: object) -> CameraPlace:
    """A camera place with one visit in the light."""
    visits = PlaceVisits(
        name="Saddle",
        x_m=0.0,
        y_m=0.0,
        nights=21.0,
        last=datetime(2026, 11, 9),
        visits=(VISIT,) * n,
        rate=Interval(0.26, 0.11, 0.47),
        light=Interval(0.67, 0.16, 0.99),
    )
    given: dict[str, object] = {
        "visits": visits,
        "cluster": 1,
        "catch": 0.3,
        "expected": Interval(4.0, 0.0, 12.0),
        "is_counted": True,
    }
    return CameraPlace(**{**given, **more})


def test_a_camera_says_visits_nights_and_light_with_ends():
    said = said_camera(camera())
    assert "Saddle (cluster 1): 1 deer visit in 21 nights; 2.6 in 10 nights (1.1 to 4.7)." in said
    assert "1 of 1 in legal light; 67 of 100 visits (16 to 99)." in said
    assert "let expect 0 to 12" in said
    assert "does not fit" not in said
    assert "legal light" not in said_camera(camera(n=0))


def test_what_does_not_fit_is_said():
    assert "does not fit" in said_camera(camera(n=20))
    assert "No trip of the model passes" in said_camera(camera(is_counted=False))


@pytest.mark.parametrize(("before", "said"), [(1, False), (3, True)])
def test_a_spot_that_changed_its_place_says_so(before, said):
    spot = SpotRanked(
        number=4,
        name="Creek",
        before=Interval(0.1, 0.05, 0.3),
        after=Interval(0.2, 0.1, 0.3),
        rank_before=before,
        rank_after=1,
    )
    words = said_spot(spot)
    assert words.startswith("Number 1, cluster 4 Creek: 20 of 100 trips (10 to 30); before")
    assert ("then number" in words) == said


def going(**more: object) -> GoingIn:
    """What is known of the first hand-made cluster."""
    spot = spots_of(hand_made.place(), hand_made.findings())[0]
    given: dict[str, object] = {
        "spot": spot,
        "nights": 12.0,
        "last_read": None,
        "in_light": (VISIT,),
        "n_mature": 3,
        "told": (),
        "left_alone": False,
        "stands": (),
    }
    return GoingIn(**{**given, **more})


def test_when_to_go_in_is_facts():
    said = said_going_in(going(), 14)
    assert "a mature buck in legal light 1 time in 12 camera-nights in the last 14 days" in said
    assert "last 7 November 2026, 7:02 am, 21 minutes after sunrise" in said
    assert "2 more visits of one in the dark" in said
    assert "that says little" in said_going_in(going(in_light=(), n_mature=0), 14)
    assert "nothing is known" in said_going_in(going(nights=0.0), 14)
    assert "leave it alone" in said_going_in(going(left_alone=True), 14)
    written = Visit(on="2026-11-05", done=Done.SEEN, x_m=0.0, y_m=0.0, note="Wide ten.")
    assert "You wrote on 5 November 2026: Wide ten." in said_going_in(going(told=(written,)), 14)


def test_winds_are_said_the_shorter_way():
    every = ("N", "NNE", "NE", "ENE", "E", "ESE", "SE", "SSE", "S", "SSW", "SW", "WSW", "W")
    late = ("WNW", "NW", "NNW")

    def winds(good: tuple[str, ...]) -> str:
        (said,) = said_winds(
            [StandWinds(stand="S1A", half=Half.EVENING, winds=good, light_share=0.2)]
        )
        return said

    assert winds(every) == "S1A: evening on any wind but WNW, NW, NNW."
    assert winds(late) == "S1A: evening on wind from WNW, NW, NNW."
    assert winds(every + late) == "S1A: evening on any wind."
    assert winds(()) == "S1A: evening on no wind unnoticed."


def test_all_of_it_is_told_with_what_it_rests_on():
    watched = Watched(
        cameras=(camera(),),
        pairs=(
            PairWalked(
                bed="West bed",
                food="Acorns",
                model_share=0.6,
                share=Interval(0.35, 0.15, 0.6),
                rate=Interval(1.2, 0.4, 2.5),
            ),
        ),
        spots=(),
        next_places=(NextPlace(name="cluster 2", cluster=2, x_m=1.0, y_m=2.0, spread=0.6),),
        next_nights=14.0,
        spread_before=0.9,
        spread=0.8,
        notes=("A note.",),
    )
    text = cameras_text(watched, [going()], days=14)
    flat = " ".join(text.split())
    assert "West bed to Acorns: 60 of 100 trips in the model, 35 of 100 trips (15 to 60)" in flat
    assert "1.2 trips a night (0.4 to 2.5)" in flat
    assert "Cluster 2, 1 E 2 N: 14 nights would bring it to about 0.60" in flat
    for word in ("O'Brien", "Kolowski", "agency", "95 chances of 100", "A note."):
        assert word in flat
    assert max(map(len, text.splitlines())) <= 88
