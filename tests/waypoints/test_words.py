"""What is said of a point."""

from __future__ import annotations

import math

from funnelfinder.waypoints.words import cluster_words, pinch_words, said_steadiness
from tests import hand_made


def test_the_range_of_the_redraws_stands_beside_the_share():
    words = cluster_words(hand_made.cluster(), "Scrape 1 of 3", 2.3)
    assert "19 of 100 trips pass within reach of the cluster." in words
    assert "Over the redraws 13 to 24 of 100." in words


def test_a_share_that_the_reason_names_is_not_said_twice():
    why = "19 of 100 trips pass within 30 yards of its 3 scrapes."
    words = cluster_words(hand_made.cluster(why=why), "Scrape 1 of 3", None)
    assert words.count("19 of 100") == 1


def test_without_redraws_no_range_is_claimed():
    words = cluster_words(hand_made.cluster(share_low=math.nan), "Scrape 1 of 3", None)
    assert "redraws" not in words


def test_no_redraws_is_not_tested_even_with_a_number():
    assert said_steadiness(hand_made.cluster(n_redraws=0)) == "not tested"


def test_a_spot_put_there_by_hand_says_so():
    assert "by hand" in cluster_words(hand_made.cluster(is_by_hand=True), "Scrape 1 of 3", None)


def test_widths_are_said_in_yards():
    """40 m are 43.7 yards (1 yd = 0.9144 m)."""
    assert "a band 44 yards wide" in pinch_words(hand_made.pinch(), 2.3)
