"""Names of public grids, against names that the agencies use."""

from pyproj import Transformer

from funnelfinder.tile_names import (
    albers_squares,
    arc_third_names,
    one_metre_squares,
    public_grids,
    surface_names,
    world_cover_names,
)

# A place in central Ohio: 40.10 N 83.20 W.
OHIO = (-83.20, 40.10, -83.19, 40.11)


def test_third_arc_second_files_are_named_by_their_north_west_corner() -> None:
    # USGS staged products: 13/TIFF/current/n41w084/USGS_13_n41w084.tif.
    assert arc_third_names(OHIO) == ("USGS_13_n41w084.tif",)


def test_a_place_over_two_degrees_needs_two_files() -> None:
    assert arc_third_names((-84.01, 40.10, -83.99, 40.11)) == (
        "USGS_13_n41w085.tif",
        "USGS_13_n41w084.tif",
    )


def test_one_metre_squares_are_counted_in_ten_kilometres_from_the_north_west() -> None:
    # USGS 1 m naming: x = easting / 10 km, y = northing / 10 km rounded up. Zone 18 x24y399 has
    # its north-west corner at 240 km E, 3990 km N.
    assert one_metre_squares((240_100, 3_980_100, 249_900, 3_989_900)) == ("x24y399",)


def test_seamless_squares_carry_albers_kilometres() -> None:
    # USGS S1M: n19e10/n1980e1070/S1M_n1980e1070_<date>.tif holds 1078393.1 E, 1970916.2 N.
    assert albers_squares((1_078_393, 1_970_916, 1_078_394, 1_970_917)) == ("n1980e1070",)
    assert albers_squares((-15_000, 1_970_916, -14_000, 1_970_917)) == ("n1980w20",)


def test_world_files_are_named_by_their_south_west_corner() -> None:
    # Copernicus and WorldCover buckets: W084 holds 83.2 W; WorldCover tiles are 3 degrees.
    assert surface_names(OHIO) == ("Copernicus_DSM_COG_10_N40_00_W084_00_DEM.tif",)
    assert world_cover_names(OHIO) == ("ESA_WorldCover_10m_2021_v200_N39W084_Map.tif",)
    assert world_cover_names((5.1, -0.5, 5.2, -0.4)) == (
        "ESA_WorldCover_10m_2021_v200_S03E003_Map.tif",
    )


def test_ground_in_the_states_gets_the_national_grids_and_other_ground_the_worlds() -> None:
    ohio = public_grids((312_000, 4_441_000, 313_000, 4_442_000), 32617, 800.0)
    assert [one.kind for one in ohio] == ["elevation", "elevation", "land cover", "land cover"]
    assert "USGS_1M_17_x31y445_…tif" in ohio[0].files
    x, y = Transformer.from_crs(4326, 32631, always_xy=True).transform(3.0, 46.0)
    france = public_grids((x, y, x + 1000, y + 1000), 32631, 800.0)
    assert [one.agency for one in france] == ["European Space Agency"] * 2
