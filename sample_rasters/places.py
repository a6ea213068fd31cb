"""Fields, thickets, roads and marks of the invented property.

Corners are given on the plan and bent with it; the boundary is straight on the map.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from .plan import Place

#: What the place and its people are called; none of them exists.
PROPERTY_NAME: Final = "Tansy Fork"

#: Corners of the boundary [m east and north of the grids' corner], counter-clockwise.
BOUNDARY: Final[tuple[Place, ...]] = (
    (818, 1170),
    (1335, 1065),
    (1388, 872),
    (2225, 864),
    (2530, 925),
    (2545, 1420),
    (2470, 2010),
    (2340, 2588),
    (1300, 2580),
    (1120, 2395),
    (836, 2235),
)


@dataclass(frozen=True, kw_only=True)
class Field:
    """A field, clearing or thicket on the plan: its corners, NLCD class and ragged edge [m]."""

    code: int
    corners: tuple[Place, ...]
    ragged_m: float = 4.0


BEANS: Final[tuple[Place, ...]] = (
    (1585, 1165),
    (1760, 1125),
    (1930, 1115),
    (1935, 1375),
    (1800, 1385),
    (1795, 1310),
    (1640, 1320),
)
HAY: Final[tuple[Place, ...]] = (
    (1190, 2090),
    (1440, 2070),
    (1655, 2070),
    (1698, 2150),
    (1655, 2210),
    (1560, 2235),
    (1400, 2330),
    (1210, 2320),
)
PASTURE: Final[tuple[Place, ...]] = (
    (1775, 2120),
    (2030, 2095),
    (2260, 2115),
    (2270, 2290),
    (2000, 2310),
    (1770, 2305),
)
OAKS: Final[tuple[Place, ...]] = (
    (1405, 1600),
    (1480, 1585),
    (1510, 1640),
    (1495, 1690),
    (1430, 1700),
    (1400, 1655),
)
LAUREL: Final[tuple[Place, ...]] = (
    (1600, 2475),
    (1680, 2465),
    (1715, 2515),
    (1680, 2560),
    (1610, 2550),
    (1585, 2515),
)
POINT_BED: Final[tuple[Place, ...]] = (
    (845, 1640),
    (890, 1630),
    (915, 1660),
    (905, 1700),
    (865, 1705),
    (840, 1680),
)
ELDER: Final[tuple[Place, ...]] = (
    (2040, 2440),
    (2110, 2425),
    (2150, 2460),
    (2120, 2505),
    (2050, 2505),
)
SUMAC: Final[tuple[Place, ...]] = (
    (2150, 820),
    (2220, 805),
    (2255, 850),
    (2225, 890),
    (2160, 885),
    (2140, 855),
)

CLEARINGS: Final[tuple[Field, ...]] = (
    Field(code=52, corners=LAUREL, ragged_m=10),
    Field(code=52, corners=POINT_BED, ragged_m=10),
    Field(code=52, corners=SUMAC, ragged_m=10),
    Field(code=52, corners=ELDER, ragged_m=10),
    Field(code=82, corners=BEANS, ragged_m=0),
    Field(code=81, corners=HAY),
    Field(code=81, corners=PASTURE),
)

#: Ground beyond the property, so that the country does not end at the boundary.
NEIGHBOURS: Final[tuple[Field, ...]] = (
    Field(
        code=81,
        corners=((2680, 1000), (2950, 945), (3150, 930), (3180, 985), (2900, 1035), (2700, 1075)),
    ),
    Field(
        code=81,
        corners=((-100, 1545), (250, 1455), (380, 1435), (400, 1470), (250, 1510), (-100, 1590)),
    ),
    Field(
        code=82,
        corners=((420, 1425), (560, 1428), (670, 1445), (660, 1490), (540, 1475), (430, 1465)),
    ),
    Field(
        code=81,
        corners=(
            (2640, 2450),
            (2950, 2480),
            (3200, 2450),
            (3400, 2420),
            (3400, 2455),
            (3000, 2520),
            (2660, 2500),
        ),
    ),
    Field(
        code=81,
        corners=(
            (2700, 2360),
            (2960, 2395),
            (3250, 2370),
            (3230, 2330),
            (2960, 2340),
            (2720, 2300),
        ),
    ),
    Field(
        code=81,
        corners=((2250, 460), (2480, 450), (2720, 450), (2740, 390), (2480, 370), (2260, 400)),
    ),
    Field(
        code=71, corners=((560, 630), (760, 590), (960, 580), (950, 520), (740, 530), (560, 570))
    ),
    Field(
        code=81,
        corners=((420, 2880), (720, 2930), (1000, 2950), (1000, 3010), (700, 3010), (430, 2970)),
    ),
    Field(
        code=71,
        corners=(
            (1850, 2930),
            (2050, 2910),
            (2200, 2920),
            (2190, 2990),
            (2020, 3000),
            (1870, 2990),
        ),
    ),
    Field(
        code=81,
        corners=(
            (3000, 1960),
            (3250, 2000),
            (3500, 2040),
            (3500, 2100),
            (3240, 2080),
            (3010, 2040),
        ),
    ),
    Field(
        code=52,
        corners=((-100, 2180), (160, 2170), (240, 2300), (200, 2420), (20, 2430), (-100, 2380)),
    ),
    Field(
        code=52,
        corners=((2780, 1650), (2920, 1640), (2960, 1760), (2880, 1830), (2790, 1780)),
        ragged_m=14,
    ),
    Field(
        code=52,
        corners=((1180, 960), (1270, 930), (1310, 1010), (1260, 1070), (1190, 1050)),
        ragged_m=14,
    ),
    Field(
        code=52,
        corners=((600, 2200), (720, 2180), (770, 2280), (700, 2360), (610, 2320)),
        ragged_m=14,
    ),
)

ROAD: Final[tuple[Place, ...]] = (
    (3900, 960),
    (3400, 1005),
    (3100, 968),
    (2950, 985),
    (2800, 1035),
    (2680, 1095),
    (2555, 1125),
    (2370, 1128),
)
LANE: Final[tuple[Place, ...]] = ((2370, 1128), (2250, 1120), (2090, 1150), (1950, 1175))
BRANCH_ROAD: Final[tuple[Place, ...]] = (
    (3900, 2440),
    (3400, 2465),
    (3000, 2530),
    (2800, 2510),
    (2640, 2472),
    (2500, 2432),
)
HOUSES: Final[dict[str, Place]] = {"Aldous place": (2735, 1100), "Branch house": (2660, 2505)}
YARD: Final[tuple[Place, ...]] = ((2690, 1112), (2780, 1070), (2800, 1135), (2710, 1165))

PASTURE_FENCE: Final[tuple[Place, ...]] = (*PASTURE, PASTURE[0])
PASTURE_GAP: Final[Place] = (2150, 2105)
#: It follows the woods' side of the hay.
HAY_FENCE: Final[tuple[Place, ...]] = (
    (1500, 2060),
    (1655, 2070),
    (1698, 2150),
    (1655, 2210),
    (1560, 2235),
)
HAY_GAP: Final[Place] = (1570, 2065)
#: On the map: it follows the eastern boundary.
LINE_FENCE: Final[tuple[Place, ...]] = ((2544, 1440), (2500, 1785), (2474, 1985))
LINE_GAP: Final[Place] = (2512, 1690)
FORD: Final[Place] = (1985, 1060)
WAYS_IN: Final[dict[str, Place]] = {"Road gate": (2368, 1128), "Branch gate": (2502, 2430)}
SIGN: Final[tuple[tuple[str, str, Place], ...]] = (
    ("rub", "Rub on a cedar", (1738, 1918)),
    ("rub", "Rub line, bench", (1210, 1690)),
    ("scrape", "Old scrape", (1950, 1395)),
    ("tracks", "Tracks at the ford", (1990, 1100)),
)
TRAIL: Final[tuple[Place, ...]] = (
    (1700, 2330),
    (1722, 2220),
    (1742, 2080),
    (1728, 1936),
    (1722, 1830),
)


@dataclass(frozen=True, kw_only=True)
class BuiltIn:
    """A funnel that was built into the ground, written down before any trip was computed."""

    name: str
    kind: str
    place: Place
    why: str


BUILT_IN: Final[tuple[BuiltIn, ...]] = (
    BuiltIn(
        name="Gap in the ridge",
        kind="saddle",
        place=(1722, 1929),
        why="the low place of the main ridge, between Laurel pocket and the Bean field",
    ),
    BuiltIn(
        name="Oak bench",
        kind="bench",
        place=(1180, 1703),
        why="a level strip on the steep side above the creek, between West point and White oaks",
    ),
    BuiltIn(
        name="Pasture corner",
        kind="inside corner",
        place=(1770, 2305),
        why="the north-west corner of the pasture, between Elder bottom and the wooded draw",
    ),
    BuiltIn(
        name="Wooded draw",
        kind="neck",
        place=(1736, 2150),
        why="woods between hay and pasture, between Laurel pocket and the gap in the ridge",
    ),
    BuiltIn(
        name="Stone ford",
        kind="crossing",
        place=FORD,
        why="the one easy crossing of the creek, between Sumac bank and the Bean field",
    ),
)
