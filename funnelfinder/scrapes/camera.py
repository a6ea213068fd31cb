"""Where the camera of a cluster hangs, and where it looks."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import shapely

from funnelfinder.defaults import ScrapeSettings
from funnelfinder.ground import Ground

#: Bearings are tried in steps of this [deg].
_STEP_DEG = 15.0


def camera_place(
    scrape_m: tuple[float, float],
    ground: Ground,
    settings: ScrapeSettings,
    ways_in: Sequence[shapely.Point] = (),
) -> tuple[tuple[float, float], float]:
    """Return where the camera of a scrape hangs and its bearing [deg from true north].

    It hangs south of the scrape and looks within a set angle of north, so that the sun does not
    blind it, clear of the line from the nearest way in, and on kept ground of the property where
    there is any (common practice, no source).
    """
    n_steps = int(settings.camera_turn_deg // _STEP_DEG)
    turns = sorted(np.arange(-n_steps, n_steps + 1) * _STEP_DEG, key=abs)
    options = [
        (_camera_at(scrape_m, float(turn), settings.camera_m), float(turn)) for turn in turns
    ]
    best = min(options, key=lambda one: _blame(one[0], one[1], scrape_m, ground, ways_in))
    return best[0], best[1] % 360.0


def _camera_at(
    scrape_m: tuple[float, float], bearing_deg: float, away_m: float
) -> tuple[float, float]:
    """Return the point from which a scrape is seen along a bearing."""
    angle = math.radians(bearing_deg)
    return scrape_m[0] - away_m * math.sin(angle), scrape_m[1] - away_m * math.cos(angle)


def _blame(
    camera_m: tuple[float, float],
    turn_deg: float,
    scrape_m: tuple[float, float],
    ground: Ground,
    ways_in: Sequence[shapely.Point],
) -> tuple[bool, bool, float]:
    """Return what speaks against a camera there; smaller is better."""
    here = shapely.Point(camera_m)
    rows, cols = ground.grid.nearest_cells(np.array([camera_m]))
    is_off = not ground.boundary.contains(here) or bool(ground.is_removed[rows[0], cols[0]])
    is_in_way = False
    if ways_in:
        scrape = shapely.Point(scrape_m)
        gate = min(ways_in, key=scrape.distance)
        way = shapely.LineString([gate, scrape])
        is_in_way = way.distance(here) < scrape.distance(here) / 2
    return is_off, is_in_way, abs(turn_deg)
