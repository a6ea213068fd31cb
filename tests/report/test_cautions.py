"""The cautions that stand under every result."""

from __future__ import annotations

import pytest

from funnelfinder.report import CAUTIONS


@pytest.mark.parametrize("words", ["legal", "!", "guarantee"])
def test_they_promise_nothing_and_do_not_shout(words):
    assert words not in " ".join(CAUTIONS).lower()


def test_each_is_whole_sentences():
    assert all(caution[0].isupper() and caution.endswith(".") for caution in CAUTIONS)


@pytest.mark.parametrize("words", ["lure", "bait"])
def test_neither_lure_nor_bait_is_proposed(words):
    sentences = [one for one in " ".join(CAUTIONS).split(". ") if words in one]
    assert sentences
    assert all("No " in one or "agency" in one for one in sentences)
