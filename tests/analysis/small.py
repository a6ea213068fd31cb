"""A small property that makes a whole run in a second or two."""

from __future__ import annotations

import numpy as np

from funnelfinder.ground import Grids
from funnelfinder.marks import MarkKind, Property
from tests import scenes


def hills(x: np.ndarray, y: np.ndarray) -> np.ndarray:
    """A ridge across the way with one dip, on rolling ground."""
    across = np.exp(-(((x - 450.0) / 60.0) ** 2))
    dip = 1.0 - 0.8 * np.exp(-(((y - 330.0) / 60.0) ** 2))
    return 300.0 + 40.0 * across * dip + 3.0 * np.sin(x / 70.0) * np.cos(y / 90.0)


def field(x: np.ndarray, y: np.ndarray) -> np.ndarray:
    """Woods with a crop field in the east."""
    return np.where((x > 640) & (x < 780) & (y > 200) & (y < 460), 82, 41)


def small_property(**settings: str) -> tuple[Property, Grids]:
    """A bed in the west, beans in the east, a fence with a gap, a gate."""
    return scenes.scene(
        width=900,
        depth=650,
        cell_m=10.0,
        height=hills,
        cover=field,
        settings={"n-drawn": "1000", **settings},
        marks=[
            scenes.mark(MarkKind.BED, scenes.disc(150, 330), "West bed", who="buck"),
            scenes.mark(MarkKind.BED, scenes.disc(200, 120), "South bed", who="doe"),
            scenes.mark(
                MarkKind.FOOD,
                scenes.polygon((650, 210), (770, 210), (770, 450), (650, 450)),
                "Bean field",
                crop="beans",
            ),
            scenes.mark(MarkKind.FENCE, scenes.line((560, 20), (560, 620)), "Fence"),
            scenes.mark(MarkKind.GAP, scenes.point(560, 360), "Fence gap"),
            scenes.mark(MarkKind.WAY_IN, scenes.point(860, 600), "Gate"),
        ],
    )
