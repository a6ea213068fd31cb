"""What `show` prints."""

from __future__ import annotations

import math

import pytest

from funnelfinder.report import CAUTIONS, report_text
from tests import hand_made


@pytest.fixture(scope="module")
def text() -> str:
    return report_text(hand_made.place(), hand_made.findings())


def flat(text: str) -> str:
    """The text without its line breaks."""
    return " ".join(text.split())


def test_no_line_is_wider_than_88_columns(text):
    assert max(map(len, text.splitlines())) <= 88
    assert text.endswith("\n")


@pytest.mark.parametrize(
    "words",
    [
        "Brome Hollow, 120 acres",
        "1 bed and 1 food source: 1 pair",
        "Wander 100 yards, pressure moderate, reach 30 yards, cover table nlcd, seed 1.",
        "West bed to Acorns: 100 of 100 trips, about 525 yards walked",
        "2 separate ways",
        "22 of 100 trips pass within 30 yards of these 2.",
        "1. East saddle (pinch): 19 of 100 trips.",
        "13 to 24 of 100 when the cost weights are varied; stayed in 18 of 20 tries.",
        "The ridge dips 61 feet here, between two tops.",
        "Scrapes C1A-SADDLE, C1B-SADDLE, C1C-SADDLE; camera C1-CAM",
        "2. Field edge: 8 of 100 trips, 5 of them new.",
        "How sure: not tested.",
        "P01-SADDLE: squeeze 2.3, 44 yards wide instead of 103 yards; 24 of 100 trips.",
        "the best trip would cost 12 % more",
        "no feature that we know explains it",
        "there would be no other way",
        "S01-STAGE: 31 of 100 trips. In cover 39 yards from the edge of Acorns",
        "84 yards from West bed, standoff is 100 yards",
        "A dearer fence moves 7 of 100 trips.",
        "3 % of the elevation is missing, in the north-east.",
    ],
)
def test_it_says_what_was_found_and_how_sure(text, words):
    assert words in flat(text)


def test_minutes_come_from_the_walked_length(text):
    """480 m at 12 m/min are 40 minutes; 6 and 25 m/min (judgement) make 80 and 19."""
    assert "about 40 minutes with pauses (19 to 80)" in flat(text)


@pytest.mark.parametrize(
    "word", ["permission", "survey", "harness", "agency", "urine", "own cameras", "judgement"]
)
def test_every_report_ends_with_the_cautions(text, word):
    assert word in flat(text).split("Before you go")[1]
    assert len(CAUTIONS) == 5


def test_nothing_is_called_legal(text):
    assert "legal" not in text.lower()


def test_untested_results_say_so_and_how_to_test_them():
    text = flat(report_text(hand_made.place(), hand_made.findings(n_redraws=0)))
    assert "Steadiness: not tested. Run again with --redraws 20" in text


def test_what_is_out_of_date_says_so_first(text):
    old = report_text(hand_made.place(), hand_made.findings(), is_current=False)
    assert old.splitlines()[2].startswith("Out of date:")
    assert "Out of date" not in text


def test_the_share_of_a_cluster_is_said_once():
    why = "19 of 100 trips pass within 30 yards of its 3 scrapes. The ridge dips here."
    found = hand_made.findings(clusters=(hand_made.cluster(why=why),))
    text = flat(report_text(hand_made.place(), found))
    assert "tries. The ridge dips here. Scrapes" in text


def test_no_cluster_points_to_what_was_left_out():
    text = report_text(hand_made.place(), hand_made.findings(clusters=(), pinch_points=()))
    assert "No place passed the rules" in text
    assert "nothing on this ground squeezes trips" in text


def test_a_long_list_of_places_left_out_is_cut_to_the_busiest():
    (one,) = hand_made.findings().left_out
    many = tuple(
        type(one)(x_m=0.0, y_m=0.0, share=index / 100, rule="standoff", words=f"Place {index}.")
        for index in range(20)
    )
    text = report_text(hand_made.place(), hand_made.findings(left_out=many))
    assert "Place 19." in text
    assert "Place 11." not in text
    assert "And 12 more with fewer trips." in text


def test_a_pair_without_drawn_trips_claims_no_minutes():
    (pair,) = hand_made.findings().pairs
    bare = type(pair)(bed="A", food="B", demand=1.0, length_m=1.0, cost_m=1.0, walked_m=math.nan)
    text = flat(report_text(hand_made.place(), hand_made.findings(pairs=(bare,), routes=())))
    assert "A to B: 100 of 100 trips." in text
