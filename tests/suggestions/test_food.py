"""Likely food: fields by what was planted, else by the land cover, named by its legend."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import shapely

from funnelfinder.ground import Raster, prepare_ground
from funnelfinder.land_cover import shipped_table
from funnelfinder.marks import MarkKind
from funnelfinder.season import Phase, food_factor
from funnelfinder.suggestions import likely_food
from funnelfinder.suggestions.food import LEAST_FIELD_M2, crop_table
from tests import scenes


def ground_with(codes, legend="nlcd"):
    """Woods with the codes that a function of scene coordinates gives."""
    place, grids = scenes.scene(cover=codes)
    place = replace(place, cover_table=shipped_table(legend))
    return prepare_ground(place, grids)


def planted(codes):
    """Crop codes on the scene's travel grid."""
    _, grids = scenes.scene(cover=codes)
    return replace(grids.cover, source="Crops 2024")


def field_in_the_east(code, woods=41):
    """Woods, and 200 × 300 m of a code in the east."""

    def codes(x, y):
        return np.where((x > 500) & (x < 700) & (y > 100) & (y < 400), code, woods)

    return codes


def test_a_crop_field_of_the_land_cover_is_outlined_to_its_size():
    (found,) = likely_food(ground_with(field_in_the_east(82)))
    assert found.kind is MarkKind.FOOD
    assert found.name == "Crop field, east"
    assert found.crop == ""
    assert found.geometry.area == pytest.approx(200 * 300, rel=0.02)
    assert found.geometry.centroid.distance(scenes.point(600, 250)) < 10
    assert "15 acres of cultivated crops by the land cover" in found.why


@pytest.mark.parametrize(
    ("legend", "code", "woods", "name", "crop"),
    [
        ("nlcd", 81, 41, "Hay or pasture, east", "hay"),
        ("worldcover", 40, 10, "Crop field, east", ""),
        # WorldCover has no class for pasture: hay falls in grassland or cropland.
        ("worldcover", 30, 10, "Grass or hay, east", "hay"),
    ],
)
def test_names_suit_the_legend(legend, code, woods, name, crop):
    (found,) = likely_food(ground_with(field_in_the_east(code, woods), legend))
    assert (found.name, found.crop) == (name, crop)
    assert shipped_table(legend).by_code[code].name in found.why


def test_woods_are_no_fields():
    assert likely_food(ground_with(lambda x, y: np.full(x.shape, 41))) == ()


def test_what_was_planted_has_its_name_and_source():
    ground = ground_with(field_in_the_east(82))
    # 1 corn, 36 alfalfa, 176 grass or pasture; 141 deciduous forest (CDL legend).
    crops = planted(lambda x, y: np.where(x > 500, 1, np.where(y < 150, 36, 141)))
    found = likely_food(ground, crops)
    assert {(one.name, one.crop) for one in found} == {
        ("Corn, east", "standing corn"),
        ("Alfalfa, south-west", "clover"),
    }
    assert all("Crops 2024" in one.why for one in found)


def test_the_largest_comes_first_and_names_differ():
    def codes(x, y):
        north = (x > 500) & (y > 400)
        south = (x > 500) & (y > 50) & (y < 250)
        return np.where(north | south, 82, 41)

    found = likely_food(ground_with(codes))
    assert len({one.name for one in found}) == len(found) == 2
    assert found[0].geometry.area > found[1].geometry.area


def test_specks_are_left_out():
    def codes(x, y):
        return np.where((x > 500) & (x < 550) & (y > 200) & (y < 250), 82, 41)

    assert LEAST_FIELD_M2 > 50 * 50
    assert likely_food(ground_with(codes)) == ()


def test_crop_codes_are_those_of_the_published_legend():
    # USDA NASS CDL legend.
    table = crop_table()
    published = {1: "corn", 5: "soybeans", 24: "winter wheat", 36: "alfalfa", 28: "oats"}
    assert {code: table[code].name for code in published} == published
    assert not {111, 121, 141, 190} & set(table)


@pytest.mark.parametrize("name", ["standing corn", "green beans", "late grain", "clover", "hay"])
def test_common_crops_pull_by_phase(name):
    """Our words for crops are those that the season's table knows."""
    assert name in {one.crop for one in crop_table().values()}
    assert len({food_factor(name, phase) for phase in Phase}) > 1


def test_holes_in_the_crops_are_no_food():
    crops = planted(lambda x, y: np.zeros(x.shape))
    assert isinstance(crops, Raster)
    assert likely_food(ground_with(field_in_the_east(82)), crops) == ()


def test_outlines_are_sound():
    rng = np.random.default_rng(7)

    def codes(x, y):
        return np.where(rng.random(x.shape) < 0.6, 82, 41)

    for one in likely_food(ground_with(codes)):
        assert isinstance(one.geometry, shapely.Polygon)
        assert one.geometry.is_valid
