"""Measures of the ground against handbook values, a reference library's output and real ground."""

from pathlib import Path

import matplotlib
import numpy as np
import pytest
import rasterio

from funnelfinder.detectors import saddle
from funnelfinder.terrain import (
    SurfaceForm,
    aspect_deg,
    fitted_quadratics,
    geomorphons,
    gradient,
    passes,
    position_index_m,
    slope_deg,
    surface_forms,
)
from tests import scenes

LIDAR = Path(__file__).parents[3] / "shared" / "real" / "lidar_1m"
needs_lidar = pytest.mark.skipif(
    not LIDAR.exists(), reason="the lidar reference (shared/real/lidar_1m) is not here"
)

# Horn, "Hill shading and the reflectance map", Proc. IEEE 69, 14-47, 1981; the windows and the
# way of working are those of Burrough & McDonnell, "Principles of Geographical Information
# Systems", 1998, chapter 8. Values by hand: p = ((c+2f+i) - (a+2d+g)) / 8s and so on.
WINDOWS = [
    ([[104] * 3, [102] * 3, [100] * 3], 10.0, (0.0, 0.2), 11.309932, 180.0),
    ([[50, 40, 30]] * 3, 10.0, (-1.0, 0.0), 45.0, 90.0),
    ([[100, 101, 102], [99, 100, 101], [98, 99, 100]], 10.0, (0.1, 0.1), 8.049467, 225.0),
    ([[10, 12, 15], [9, 11, 14], [8, 9, 13]], 5.0, (0.5, 0.25), 29.205932, 243.434949),
]


@pytest.mark.parametrize(("window", "cell_m", "rise", "slope", "bearing"), WINDOWS)
def test_horn_on_textbook_windows(window, cell_m, rise, slope, bearing):
    z = np.array(window, dtype=float)
    got = gradient(z, cell_m)
    assert (got[0][1, 1], got[1][1, 1]) == pytest.approx(rise, abs=1e-12)
    assert slope_deg(z, cell_m)[1, 1] == pytest.approx(slope, abs=5e-7)
    assert aspect_deg(z, cell_m)[1, 1] == pytest.approx(bearing, abs=5e-7)


def lidar(name: str) -> np.ndarray:
    """A grid of the landscape evolution data of B. Harmon, with its reference outputs."""
    with rasterio.open(LIDAR / f"{name}.tif") as source:
        return source.read(1)


@needs_lidar
def test_slope_and_aspect_equal_the_reference_library_on_lidar():
    z = lidar("elevation_2016")
    inner = np.s_[1:-1, 1:-1]
    slope = slope_deg(z, 1.0)[inner]
    expected = lidar("ref_slope").astype(float)[inner]
    assert np.abs(slope - expected).max() <= 1e-4
    # The reference turns counter-clockwise from east and is 0 where it is level.
    ours = (90.0 - aspect_deg(z, 1.0)[inner]) % 360.0
    theirs = lidar("ref_aspect").astype(float)[inner]
    is_sloping = expected > 0
    apart = np.abs((ours - theirs + 180.0) % 360.0 - 180.0)[is_sloping]
    assert np.isfinite(apart).mean() == 1.0
    assert apart.max() <= 1e-4


@needs_lidar
def test_geomorphons_equal_the_reference_library_on_lidar():
    forms = geomorphons(lidar("elevation_2016"), 1.0, search_m=64.0, flat_deg=1.0)
    inner = np.s_[64:-64, 64:-64]
    agreeing = (forms == lidar("ref_geomorphon_s64_f1"))[inner].mean()
    assert agreeing >= 0.999


# Wood, "The geomorphological characterisation of digital elevation models", PhD thesis,
# University of Leicester, 1996, table 5.1: the six forms of z = ±a x² ± b y².
@pytest.mark.parametrize(
    ("a", "b", "form"),
    [
        (1, 1, SurfaceForm.PIT),
        (-1, -1, SurfaceForm.PEAK),
        (1, -1, SurfaceForm.PASS),
        (-1, 1, SurfaceForm.PASS),
        (1, 0, SurfaceForm.CHANNEL),
        (0, 1, SurfaceForm.CHANNEL),
        (-1, 0, SurfaceForm.RIDGE),
        (0, -1, SurfaceForm.RIDGE),
        (0, 0, SurfaceForm.PLANE),
    ],
)
@pytest.mark.parametrize("turn_deg", [0, 30, 45])
def test_quadratics_have_the_forms_of_wood(a, b, form, turn_deg):
    steps = np.arange(-60.0, 61.0, 5.0)
    x, y = np.meshgrid(steps, -steps)
    turn = np.radians(turn_deg)
    u, v = np.cos(turn) * x + np.sin(turn) * y, np.cos(turn) * y - np.sin(turn) * x
    z = 250.0 + 1e-3 * (a * u**2 + b * v**2)
    got = surface_forms(fitted_quadratics(z, 5.0, 25.0), level_deg=2.0, straight_per_m=1e-4)
    assert got[12, 12] == form


# Peucker & Douglas, Computer Graphics and Image Processing 4, 375-387, 1975 (from memory): about
# a pass the ring of neighbours changes between higher and lower at least four times.
def test_a_quadratic_pass_changes_sign_four_times_about_it_and_is_where_hills_join():
    steps = np.arange(-60.0, 61.0, 5.0)
    x, y = np.meshgrid(steps, -steps)
    z = 1e-3 * (x**2 - y**2)
    (found,) = passes(z, least_depth_m=1.0)
    assert (found.row, found.col) == (12, 12)
    ring = z[[11, 11, 11, 12, 13, 13, 13, 12], [11, 12, 13, 13, 13, 12, 11, 11]] - z[12, 12]
    signs = np.sign(np.round(ring, 9))
    signs = signs[signs != 0]
    assert (signs != np.roll(signs, 1)).sum() >= 4


# Weiss, "Topographic position and landforms analysis", poster, 2001; De Reu et al.,
# Geomorphology 186, 39-49, 2013: the index of a plane is 0 at any tilt and at both scales.
@pytest.mark.parametrize(("inner_m", "outer_m"), [(25.0, 30.0), (140.0, 150.0)])
@pytest.mark.parametrize(("east", "north"), [(0.0, 0.0), (0.5, 0.0), (-0.3, 1.2)])
def test_slope_position_is_nought_on_planes(inner_m, outer_m, east, north):
    steps = np.arange(-200.0, 201.0, 5.0)
    x, y = np.meshgrid(steps, -steps)
    index = position_index_m(400.0 + east * x + north * y, 5.0, inner_m=inner_m, outer_m=outer_m)
    assert np.isfinite(index[40, 40])
    assert np.nanmax(np.abs(index)) < 1e-9


def tennessee() -> np.ndarray:
    """Elevation about Jacksboro, Tennessee (USGS, in matplotlib's sample data), on 20 m cells."""
    folder = Path(matplotlib.get_data_path()) / "sample_data"
    z = np.load(folder / "jacksboro_fault_dem.npz")["elevation"].astype(float)
    # 3 arc-seconds at 36.6 north are about 92 m by 74 m; 4.6 and 3.7 cells of 20 m.
    rows = np.arange(100.0, 200.0, 20.0 / 92.0)
    cols = np.arange(100.0, 200.0, 20.0 / 74.0)
    along = np.array([np.interp(cols, np.arange(z.shape[1]), line) for line in z])
    return np.array([np.interp(rows, np.arange(z.shape[0]), line) for line in along.T]).T


def test_saddles_of_tennessee_lie_on_crests_and_are_as_deep_as_they_say():
    z = tennessee()
    z = z[: z.shape[0] // 2 * 2, : z.shape[1] // 2 * 2]
    found = passes(z, least_depth_m=10.0, least_cells=10)
    assert 5 <= len(found) <= 60
    fit = fitted_quadratics(z, 20.0, 60.0)
    least = -(fit.a + fit.b) - np.hypot(fit.a - fit.b, fit.c)
    most = -(fit.a + fit.b) + np.hypot(fit.a - fit.b, fit.c)
    inner = [one for one in found if 5 < one.row < z.shape[0] - 5 and 5 < one.col < z.shape[1] - 5]
    # At a true pass the ground bends up one way and down the other.
    bends = [most[one.row, one.col] > 0 > least[one.row, one.col] for one in inner]
    assert np.mean(bends) > 0.9
    for one in inner:
        assert z[one.low_top] - z[one.row, one.col] == pytest.approx(one.depth_m)
        assert z[one.high_top] >= z[one.low_top]


def test_tennessee_has_few_saddles_and_each_is_a_dip_between_tops():
    z = tennessee()

    def height(x, y):
        rows = np.clip((700.0 - y) / 20.0, 0, z.shape[0] - 1).astype(int)
        cols = np.clip((x + 100.0) / 20.0, 0, z.shape[1] - 1).astype(int)
        return z[rows, cols]

    place, grids = scenes.scene(height=height, width=5000.0, depth=500.0, cell_m=20.0)
    found = saddle.find(scenes.ground_of(place, grids), place)
    # Ridge country: a handful on 5 km by 0.7 km, not one on every rise.
    assert 1 <= len(found) <= 15
    assert min(one.sizes["depth_m"] for one in found) >= saddle.LEAST_DEPTH_M
