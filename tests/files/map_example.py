"""An invented property with findings made by hand, for pictures."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import shapely

from funnelfinder.analysis.findings import Findings
from funnelfinder.ground import Grids, travel_grid
from funnelfinder.marks import MarkKind, Property
from funnelfinder.pinch_points import PinchPoint
from funnelfinder.scrapes import Cluster, ClusterKind
from funnelfinder.staging import StagingSpot
from tests.scenes import EAST_0, NORTH_0, disc, line, mark, point, polygon, scene

WIDTH, DEPTH = 1500.0, 1300.0


def hills(x: np.ndarray, y: np.ndarray) -> np.ndarray:
    """Two ridges with spurs, a saddle between tops, and a valley in the south."""
    ridge = 70 * np.exp(-(((y - 1050 - 90 * np.sin(x / 260)) / 210) ** 2))
    tops = 1 + 0.28 * np.cos(x / 150.0)
    spurs = 16 * np.cos(x / 70.0 + 0.4 * np.sin(y / 120)) * np.exp(-(((y - 750) / 260) ** 2))
    valley = 24 * np.tanh((y - 300) / 200)
    rough = 1.2 * np.sin(x / 17 + y / 29) + 0.8 * np.cos(y / 13 - x / 41)
    return 260 + ridge * tops + spurs + valley + rough


def covers(x: np.ndarray, y: np.ndarray) -> np.ndarray:
    """Woods with two glades, pasture beyond the road in the south."""
    glade = np.hypot((x - 560) / 1.3, y - 560) < 70
    glade |= np.hypot(x - 900, (y - 640) / 1.5) < 55
    codes = np.where(glade, 71, 41)
    return np.where((y < 60) & (np.abs(x - 1000) < 330), 81, codes)


def example_marks() -> list:
    """Every kind of mark that a map shows."""
    creek = line(
        (-100, 330), (200, 318), (420, 296), (560, 230), (900, 214), (1200, 150), (1600, 90)
    )
    return [
        mark(MarkKind.BED, disc(330, 800, 62), "Willow point", who="buck"),
        mark(MarkKind.BED, disc(870, 1000, 55), "Alder knob", who="doe"),
        mark(
            MarkKind.BED,
            polygon((1250, 800), (1330, 860), (1400, 815), (1370, 745), (1280, 735)),
            "Bent thicket",
        ),
        mark(
            MarkKind.FOOD,
            polygon((-70, 270), (130, 275), (330, 240), (350, 150), (120, 140), (-60, 150)),
            "Upper hay",
            crop="hay",
        ),
        mark(
            MarkKind.FOOD,
            polygon(
                (620, 320),
                (760, 330),
                (880, 320),
                (890, 270),
                (1100, 260),
                (1190, 240),
                (1175, 150),
                (1080, 180),
                (640, 240),
            ),
            "Bean field",
            crop="soybeans",
        ),
        mark(
            MarkKind.FENCE,
            line((760, 690), (880, 590), (960, 500), (1000, 400), (1010, 290)),
            "Old fence",
        ),
        mark(MarkKind.GAP, point(918, 548), "Fence gap"),
        mark(MarkKind.CREEK, creek, "Brome creek", width_m=5.0),
        mark(MarkKind.CROSSING, point(420, 296), "The ford"),
        mark(MarkKind.CROSSING, point(900, 214), "Low bank"),
        mark(
            MarkKind.ROAD,
            line((-100, -40), (400, -20), (700, 20), (1100, -30), (1600, -20)),
            "Pump lane",
        ),
        mark(MarkKind.DITCH, line((1240, 420), (1330, 520), (1350, 620)), "Old ditch"),
        mark(MarkKind.WAY_IN, point(520, 4), "Pump lane gate"),
        mark(MarkKind.HOUSE, point(1330, 60), "House"),
        mark(
            MarkKind.KEEP_OFF,
            polygon((1240, 20), (1420, 28), (1410, 130), (1250, 120)),
            "Neighbour",
        ),
        mark(MarkKind.RUB, point(700, 830)),
        mark(MarkKind.SCRAPE, point(1120, 660)),
        mark(MarkKind.TRACKS, point(560, 420)),
        mark(MarkKind.TRAIL, line((330, 740), (380, 620), (420, 480), (430, 380))),
    ]


def _bands(grid: object) -> np.ndarray:
    """Passage in bands along lines from beds to food [share per m]."""
    rows, cols = np.indices(grid.shape)
    points = shapely.points(grid.points_m(rows, cols))
    passage = np.zeros(grid.n_cells)
    for share, wide, way in (
        (0.30, 55, line((330, 760), (400, 560), (440, 400), (420, 290), (250, 210))),
        (0.20, 60, line((330, 760), (480, 560), (640, 420), (700, 290))),
        (0.28, 38, line((870, 950), (860, 800), (940, 640), (918, 548), (900, 400), (860, 290))),
        (0.14, 50, line((870, 950), (700, 800), (600, 620), (640, 420), (700, 290))),
        (0.18, 45, line((1300, 750), (1200, 600), (1120, 420), (1060, 220))),
    ):
        away = shapely.distance(points, way)
        passage += share / (wide * np.sqrt(2 * np.pi)) * np.exp(-0.5 * (away / wide) ** 2)
    return passage.reshape(grid.shape).astype(np.float32)


def _cluster(number: int, kind: ClusterKind, name: str, places: list, share: float, **more: float):
    """One cluster at scene coordinates."""
    scrapes = tuple((EAST_0 + x, NORTH_0 + y) for x, y in places)
    return Cluster(
        number=number, kind=kind, name=name, scrapes_m=scrapes, camera_m=scrapes[0],
        camera_bearing_deg=0.0, share=share, gain=share, share_low=share - 0.05,
        share_high=share + 0.06, n_redraws=20, **{"steadiness": 0.8, **more},
    )  # fmt: skip


def _pinch(x: float, y: float) -> PinchPoint:
    """A pinch point at scene coordinates."""
    return PinchPoint(
        x_m=EAST_0 + x, y_m=NORTH_0 + y, squeeze=3.0, width_m=45.0, even_width_m=135.0, share=0.2,
        pairs=("Alder knob to Bean field",), from_bed_m=300.0, to_food_m=400.0, detour_share=0.1,
        across_deg=60.0,
    )  # fmt: skip


def example_findings(place: Property) -> Findings:
    """Findings as a run might make them."""
    grid = travel_grid(place)
    clusters = (
        _cluster(1, ClusterKind.PINCH, "The ford", [(440, 330), (455, 312)], 0.36),
        _cluster(2, ClusterKind.PINCH, "Fence gap", [(895, 575), (906, 560)], 0.19),
        _cluster(3, ClusterKind.FIELD_EDGE, "Bean corner, west", [(690, 350), (702, 336)], 0.18),
        _cluster(4, ClusterKind.PINCH, "East saddle", [(1190, 610), (1205, 626)], 0.16),
        _cluster(
            5, ClusterKind.STAGING, "Spur foot", [(560, 505), (580, 520), (572, 492)], 0.14,
            steadiness=0.4,
        ),
    )  # fmt: skip
    staging = StagingSpot(
        x_m=EAST_0 + 840, y_m=NORTH_0 + 390, share=0.1, food="Bean field", edge_m=40.0
    )
    return Findings(
        property_name=place.name,
        fingerprint="example",
        seed=1,
        n_redraws=20,
        grid=grid,
        passage=_bands(grid),
        pairs=(),
        routes=(),
        pinch_points=(_pinch(866, 860), _pinch(1150, 500), _pinch(898, 572)),
        staging_spots=(staging,),
        clusters=clusters,
        left_out=(),
        features=(),
        caught=0.71,
        drawn_m=(),
        dependences=(),
        notes=(),
        stages=(),
    )


def example(*, name: str = "Brome Hollow") -> tuple[Property, Grids, Findings]:
    """The property, its grids and its findings."""
    place, grids = scene(
        width=WIDTH, depth=DEPTH, cell_m=10.0, parts=2, height=hills, cover=covers,
        marks=example_marks(), settings={"surround": "300"},
    )  # fmt: skip
    corners = [(0, 90), (0, DEPTH), (700, DEPTH), (1180, DEPTH - 60), (1490, 1050), (1440, 420),
               (1390, 160), (900, -10), (300, 20)]  # fmt: skip
    boundary = shapely.Polygon([(EAST_0 + x, NORTH_0 + y) for x, y in corners])
    place = replace(place, name=name, boundary=shapely.MultiPolygon([boundary]))
    place = replace(place, boundary=shapely.MultiPolygon([boundary]))
    return place, grids, example_findings(place)
