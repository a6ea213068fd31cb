"""The five funnels that were built into the sample are found, each with the right reason."""

import csv
import json

import numpy as np
import pyproj
import pytest
import shapely

from funnelfinder.cost import cost_surface, even_surface
from funnelfinder.detectors.registry import find_features, load_detectors
from funnelfinder.files.grids_in import read_grids
from funnelfinder.ground import prepare_ground
from funnelfinder.marks import Mark, MarkKind, Property
from funnelfinder.pinch_points import find_pinch_points
from funnelfinder.travel_network import pair_costs
from funnelfinder.trips import demand, factor, kappa_per_m, pair_trips
from funnelfinder.units import YARD_M
from sample_rasters import sample_files

FILES = sample_files()
TO_MAP = pyproj.Transformer.from_crs(4326, 32617, always_xy=True)
#: A pinch point this near to what was built in is that funnel (judgement).
NEAR_M = 100.0 * YARD_M
#: How many pinch points the ground may show besides (judgement).
MOST_BESIDES = 8


def shapes(path):
    for one in json.loads(path.read_text(encoding="utf-8"))["features"]:
        shape = shapely.geometry.shape(one["geometry"])
        moved = shapely.transform(shape, lambda p: np.column_stack(TO_MAP.transform(*p.T)))
        yield moved, one["properties"]


def sample_property():
    ((outline, about),) = shapes(FILES.boundary)
    kept = ("name", "who", "crop", "height_m", "width_m")
    marks = tuple(
        Mark(
            kind=MarkKind(columns["kind"]),
            geometry=shape,
            key=columns["name"],
            **{column: columns[column] for column in kept if column in columns},
        )
        for shape, columns in shapes(FILES.marks)
    )
    return Property(
        name=about["name"], epsg=32617, boundary=shapely.MultiPolygon([outline]), marks=marks
    )


@pytest.fixture(scope="module")
def pinch_points():
    place = sample_property()
    settings = place.settings
    grids, _ = read_grids(
        place, elevation=[FILES.elevation], cover=[FILES.cover], legend=FILES.legend
    )
    ground = prepare_ground(place, grids)
    surface = cost_surface(ground, settings.cost)
    costs_m, _ = pair_costs(surface, ground.beds, ground.foods)
    shares, _ = demand(ground.beds, ground.foods, costs_m, settings.trips)
    kappa = kappa_per_m(settings.trips.wander_m)
    detectors, _ = load_detectors()
    features, notes = find_features(ground, place, detectors)
    assert not notes
    real, even = (
        pair_trips(factor(one, kappa), ground.beds, ground.foods, shares)
        for one in (surface, even_surface(surface))
    )
    return find_pinch_points(
        real,
        even,
        features,
        settings.pinch,
        reach_m=settings.scrapes.reach_m,
        detour_share=lambda pair, x_m, y_m: 0.0,
    )


def built_in():
    with FILES.built_in.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def is_found(pinch, funnel):
    x_m, y_m = TO_MAP.transform(float(funnel["lon_deg"]), float(funnel["lat_deg"]))
    far = np.hypot(pinch.x_m - x_m, pinch.y_m - y_m)
    return far <= NEAR_M and funnel["kind"] in pinch.kinds


@pytest.mark.parametrize("funnel", built_in(), ids=lambda row: row["name"])
def test_what_was_built_in_is_found_with_its_reason(funnel, pinch_points):
    assert any(is_found(pinch, funnel) for pinch in pinch_points)


def test_hardly_anything_else_is_found(pinch_points):
    besides = [p for p in pinch_points if not any(is_found(p, funnel) for funnel in built_in())]
    assert len(besides) <= MOST_BESIDES
