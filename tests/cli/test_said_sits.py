"""The cautions stand under every output about stands."""

from __future__ import annotations

from funnelfinder.cli.said_sits import CAUTIONS


def test_cautions_name_what_hurts_and_who_decides() -> None:
    words = " ".join(CAUTIONS).lower()
    for needed in (
        "full-body harness, always attached",
        "on a line",
        "walk out with a light",
        "agency",
        "behind it",
        "tell someone",
    ):
        assert needed in words
