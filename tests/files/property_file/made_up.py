"""Made-up findings, and what it means that two things are the same."""

from __future__ import annotations

import math
from dataclasses import fields, is_dataclass
from typing import Any

import numpy as np
import shapely

from funnelfinder.analysis.findings import Dependence, Findings, Pair, Stage
from funnelfinder.features import Feature
from funnelfinder.grid import Grid
from funnelfinder.pinch_points import PinchPoint
from funnelfinder.scrapes import Cluster, ClusterKind, LeftOut
from funnelfinder.staging import StagingSpot
from funnelfinder.travel_network import Route
from tests.scenes import EAST_0, NORTH_0


def is_same(one: Any, other: Any) -> bool:
    """Whether two values are the same field by field, NaN like NaN."""
    if type(one) is not type(other):
        return False
    if isinstance(one, np.ndarray):
        kinds = one.dtype == other.dtype
        return kinds and np.array_equal(one, other, equal_nan=one.dtype.kind == "f")
    if is_dataclass(one):
        names = [field.name for field in fields(one)]
        return all(is_same(getattr(one, name), getattr(other, name)) for name in names)
    if isinstance(one, dict):
        return is_same(tuple(sorted(one.items())), tuple(sorted(other.items())))
    if isinstance(one, tuple):
        return len(one) == len(other) and all(map(is_same, one, other))
    return bool(one == other) or (isinstance(one, float) and math.isnan(one) and math.isnan(other))


def at(x: float, y: float) -> tuple[float, float]:
    """A point of the map at scene coordinates [m]."""
    return EAST_0 + x, NORTH_0 + y


def findings_on(grid: Grid, *, seed: int = 7, notes: tuple[str, ...] = ("One note.",)) -> Findings:
    """Findings with one or more of everything, holes and odd values included."""
    rng = np.random.default_rng(seed)
    passage = rng.random(grid.shape, dtype=np.float32)
    passage[0, :] = np.nan
    x, y = at(100.1, 200.3)
    clusters = (
        Cluster(
            number=1,
            kind=ClusterKind.PINCH,
            scrapes_m=(at(10, 20), at(12.5, 21), at(1 / 3, 22)),
            camera_m=at(15, 25),
            camera_bearing_deg=123.4,
            share=0.31,
            gain=0.31,
            share_low=0.2,
            share_high=0.4,
            steadiness=0.85,
            n_redraws=20,
            why='A saddle 12 feet deep; "tight" – 40 yards.',
            name="Oak saddle",
        ),
        Cluster(
            number=2,
            kind=ClusterKind.FIELD_EDGE,
            scrapes_m=(at(50, 60), at(52, 61)),
            camera_m=at(55, 65),
            camera_bearing_deg=0.0,
            share=0.1,
            gain=0.05,
            is_by_hand=True,
        ),
    )
    return Findings(
        property_name="Scene",
        fingerprint="a" * 64,
        seed=seed,
        n_redraws=20,
        grid=grid,
        passage=passage,
        pairs=(
            Pair(
                bed="Bed", food="Oats", demand=1.0, length_m=400.0, cost_m=450.0, walked_m=math.nan
            ),
        ),
        routes=(
            Route(
                bed="Bed",
                food="Oats",
                rank=1,
                points_m=rng.random((40, 2)) + at(0, 0),
                length_m=400.0,
                cost_m=450.0,
                n_separate=2,
            ),
        ),
        pinch_points=(
            PinchPoint(
                x_m=x,
                y_m=y,
                squeeze=2.5,
                width_m=30.0,
                even_width_m=75.0,
                share=0.4,
                pairs=("Bed to Oats", "Bed to Corn"),
                from_bed_m=100.0,
                to_food_m=200.0,
                detour_share=math.inf,
                across_deg=90.0,
                kinds=("saddle",),
                reasons=("A saddle 12 feet deep.",),
            ),
            PinchPoint(
                x_m=x + 1,
                y_m=y,
                squeeze=2.0,
                width_m=30.0,
                even_width_m=60.0,
                share=0.1,
                pairs=(),
                from_bed_m=math.nan,
                to_food_m=200.0,
                detour_share=0.12,
                across_deg=0.0,
            ),
        ),
        staging_spots=(StagingSpot(x_m=x, y_m=y, share=0.2, food="Oats", edge_m=40.0),),
        clusters=clusters,
        left_out=(LeftOut(x_m=x, y_m=y, share=0.3, rule="standoff", words="10 yards too near."),),
        features=(
            Feature(
                kind="saddle",
                geometry=shapely.Point(x, y),
                words="A saddle.",
                sizes={"depth_m": 3.6, "width_m": math.nan},
            ),
            Feature(kind="neck", geometry=shapely.box(x, y, x + 9, y + 5), words="A neck."),
            Feature(
                kind="draw", geometry=shapely.LineString([at(0, 0), at(5, 9)]), words="A draw."
            ),
        ),
        caught=0.36,
        drawn_m=(rng.random((25, 2)) + at(0, 0), np.array([at(1, 1)]), np.empty((0, 2))),
        dependences=(Dependence(what="cost of timber", swing=0.1, words="A tenth."),),
        notes=notes,
        stages=(Stage(name="passage", seconds=0.25, is_skipped=False),),
    )
