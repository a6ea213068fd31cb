"""Hashes change with everything that matters, and with nothing else."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import shapely

from funnelfinder.analysis.fingerprints import fingerprint
from funnelfinder.defaults import with_setting
from tests.analysis.small import small_property


def test_equal_properties_made_twice_have_one_hash() -> None:
    assert fingerprint(*small_property()) == fingerprint(*small_property())


def test_each_change_changes_the_hash() -> None:
    place, grids = small_property()
    bed = place.marks[0]
    moved = replace(bed, geometry=shapely.affinity.translate(bed.geometry, 0.01, 0.0))
    others = [
        replace(place, name="Other"),
        place.with_mark(moved),
        place.with_mark(replace(bed, weight=2.0)),
        place.without_mark(bed.key),
        replace(place, settings=with_setting(place.settings, "wander", "99")),
        replace(place, cover_table=place.cover_table.with_resistances({41: 1.1})),
        replace(place, detectors_off=frozenset({"saddle"})),
    ]
    hashes = {fingerprint(one, grids) for one in (place, *others)}
    assert len(hashes) == len(others) + 1


def test_kinds_of_values_are_kept_apart() -> None:
    hashes = {
        fingerprint(one)
        for one in (1, "1", 1.0, (1,), [1], np.array([1]), np.array([1.0]), None, {"1": 1})
    }
    assert len(hashes) == 9
