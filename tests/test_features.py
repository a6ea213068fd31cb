"""What a detector is and what it finds."""

from __future__ import annotations

import dataclasses

import pytest
import shapely

from funnelfinder.features import Detector, Feature


def test_features_and_detectors_cannot_be_changed():
    feature = Feature(kind="saddle", geometry=shapely.Point(0, 0), words="It dips.")
    assert feature.sizes == {}
    detector = Detector(
        name="one", words="Finds one.", source="judgement", find=lambda ground, place: [feature]
    )
    assert detector.find(None, None) == [feature]
    for one, name in ((feature, "kind"), (detector, "name")):
        with pytest.raises(dataclasses.FrozenInstanceError):
            setattr(one, name, "other")
