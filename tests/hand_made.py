"""Findings made by hand, to test what is said and written without a run. All invented."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import shapely

from funnelfinder.analysis.findings import Dependence, Findings, Pair, Stage
from funnelfinder.features import Feature
from funnelfinder.grid import Grid
from funnelfinder.marks import MarkKind, Property
from funnelfinder.pinch_points import PinchPoint
from funnelfinder.scrapes import Cluster, ClusterKind, LeftOut
from funnelfinder.staging import StagingSpot
from funnelfinder.travel_network import Route
from tests import scenes

EAST, NORTH = scenes.EAST_0, scenes.NORTH_0


def place() -> Property:
    """A property of two parts, one with a hole, a bed, a field and a gate."""
    outline = shapely.box(EAST, NORTH, EAST + 800, NORTH + 600)
    hole = shapely.box(EAST + 700, NORTH + 500, EAST + 750, NORTH + 550)
    beyond = shapely.box(EAST + 900, NORTH, EAST + 1000, NORTH + 100)
    made, _ = scenes.scene(marks=scenes.pair_marks())
    gate = scenes.mark(MarkKind.WAY_IN, scenes.point(10, 20), "North gate", note="Chain, no lock.")
    return replace(
        scenes.with_marks(made, gate),
        name="Brome Hollow",
        boundary=shapely.MultiPolygon([outline - hole, beyond]),
    )


def cluster(number: int = 1, **more: object) -> Cluster:
    """A tested pinch cluster of three scrapes."""
    x, y = EAST + 300 + 150 * (number - 1), NORTH + 300
    given: dict[str, object] = {
        "number": number,
        "kind": ClusterKind.PINCH,
        "scrapes_m": ((x, y), (x + 20.123456, y + 5.0), (x + 8.0, y + 21.0)),
        "camera_m": (x, y - 4.0),
        "camera_bearing_deg": 359.7,
        "share": 0.186,
        "gain": 0.186,
        "share_low": 0.13,
        "share_high": 0.24,
        "steadiness": 0.9,
        "n_redraws": 20,
        "why": "The ridge dips 61 feet here, between two tops.",
        "name": "East saddle",
    }
    return Cluster(**{**given, **more})


def pinch(**more: object) -> PinchPoint:
    """A pinch point at the first cluster, with its reason."""
    given: dict[str, object] = {
        "x_m": EAST + 310,
        "y_m": NORTH + 305,
        "squeeze": 2.34567,
        "width_m": 40.0,
        "even_width_m": 94.0,
        "share": 0.24,
        "pairs": ("West bed to Acorns",),
        "from_bed_m": 210.0,
        "to_food_m": 190.0,
        "detour_share": 0.12,
        "across_deg": 5.0,
        "kinds": ("saddle",),
        "reasons": ("The ridge dips 61 feet here, between two tops.",),
    }
    return PinchPoint(**{**given, **more})


def findings(**more: object) -> Findings:
    """Findings with one of everything, tested and untested, explained and not."""
    grid = Grid(
        epsg=scenes.EPSG, west_m=EAST - 100, north_m=NORTH + 700, cell_m=10, n_rows=80, n_cols=100
    )
    untested = cluster(
        2,
        kind=ClusterKind.FIELD_EDGE,
        name="",
        why="Trips step out here.",
        share=0.08,
        gain=0.05,
        share_low=math.nan,
        share_high=math.nan,
        steadiness=math.nan,
        n_redraws=0,
    )
    line = np.array([[EAST + 200, NORTH + 300], [EAST + 600, NORTH + 300]], dtype=np.float64)
    given: dict[str, object] = {
        "property_name": "Brome Hollow",
        "fingerprint": "0" * 64,
        "seed": 1,
        "n_redraws": 20,
        "grid": grid,
        "passage": np.zeros(grid.shape, dtype=np.float32),
        "pairs": (
            Pair(
                bed="West bed",
                food="Acorns",
                demand=1.0,
                length_m=410.0,
                cost_m=430.0,
                walked_m=480.0,
            ),
        ),
        "routes": (
            Route(
                bed="West bed",
                food="Acorns",
                rank=1,
                points_m=line,
                length_m=410.0,
                cost_m=430.0,
                n_separate=2,
            ),
        ),
        "pinch_points": (
            pinch(),
            pinch(
                x_m=EAST + 500.0,
                kinds=(),
                reasons=(),
                squeeze=1.6,
                share=0.11,
                detour_share=math.inf,
            ),
        ),
        "staging_spots": (
            StagingSpot(x_m=EAST + 520.0, y_m=NORTH + 310.0, share=0.31, food="Acorns", edge_m=36),
        ),
        "clusters": (cluster(), untested),
        "left_out": (
            LeftOut(
                x_m=EAST + 250,
                y_m=NORTH + 300,
                share=0.2,
                rule="standoff",
                words="Ridge top: 84 yards from West bed, standoff is 100 yards.",
            ),
        ),
        "features": (
            Feature(kind="saddle", geometry=shapely.Point(EAST + 310, NORTH + 305), words="Dips."),
        ),
        "caught": 0.22,
        "drawn_m": (line,),
        "dependences": (
            Dependence(what="fence", swing=0.07, words="A dearer fence moves 7 of 100 trips."),
        ),
        "notes": ("3 % of the elevation is missing, in the north-east.",),
        "stages": (Stage(name="trips", seconds=1.2, is_skipped=False),),
    }
    return Findings(**{**given, **more})
