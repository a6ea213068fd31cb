"""Maps of the field sheet: the whole property, and the close-up of a cluster, at round scales."""

from __future__ import annotations

import math
from typing import Final

import numpy as np

from funnelfinder.analysis.findings import Findings
from funnelfinder.files.field_sheet.on_foot import OnFoot, draw_stands, draw_ways
from funnelfinder.files.field_sheet.pages import EDGE_PT, PagesPen
from funnelfinder.files.map_picture.draw import frame_dots
from funnelfinder.files.map_picture.ground_image import GroundImage, ground_image
from funnelfinder.files.map_picture.land import draw_land
from funnelfinder.files.map_picture.layout import Frame, Layout, shown_bounds_m
from funnelfinder.files.map_picture.legend import draw_panel
from funnelfinder.files.map_picture.marks import draw_marks
from funnelfinder.files.map_picture.names import Taken, place_names, place_names_inside
from funnelfinder.files.map_picture.pens import Box, Face
from funnelfinder.files.map_picture.rim import (
    draw_caution,
    draw_credits,
    draw_crosses,
    draw_north,
    draw_rim,
    draw_scale,
    draw_title,
    zone_words,
)
from funnelfinder.files.map_picture.sheet import Sheet
from funnelfinder.files.map_picture.spots import draw_clusters, draw_small_spots, reserve_scrapes
from funnelfinder.ground import Grids
from funnelfinder.kernels import FloatArray
from funnelfinder.marks import Property
from funnelfinder.scrapes import Cluster
from funnelfinder.shading import PAPER

_POINTS_PER_METRE: Final = 72.0 / 0.0254
#: Scales of map series and scale rulers.
_SCALES: Final = (500, 1000, 1250, 1500, 2000, 2500, 3000, 4000, 5000, 6000, 7500, 8000, 10000)
_SCALES_BEYOND: Final = (12500, 15000, 20000, 24000, 25000, 30000, 40000, 50000, 75000, 100000)
#: A close-up shows so much ground round the scrapes (judgement) [m].
_ROUND_M: Final = 45.0
_CLOSE_HEIGHT_PT: Final = 184.0
_TICKS_PT: Final = 14.0
#: Where the panel has room for what the ways are [pt below its top].
_WAYS_DOWN_PT: Final = 84.0
_PX: Final = 0.58
#: The letter of a scrape stands so far from it [pt].
_LETTER_OFF_PT: Final = 11.0


def round_scale(metres_per_point: float) -> int:
    """Return the number after "1 :" of the largest round scale that shows enough.

    Examples
    --------
    >>> round_scale(1.5)
    5000
    """
    needed = metres_per_point * _POINTS_PER_METRE
    every = (*_SCALES, *_SCALES_BEYOND)
    found = next((scale for scale in every if scale >= needed - 1e-6), None)
    return found or 100_000 * math.ceil(needed / 100_000)


def _framed(box: Box, bounds_m: tuple[float, float, float, float]) -> tuple[Frame, int]:
    """Return a frame at a round scale round some ground, and the scale."""
    west, south, east, north = bounds_m
    across, down = box[2] - box[0], box[3] - box[1]
    scale = round_scale(max((east - west) / across, (north - south) / down))
    per_point = scale / _POINTS_PER_METRE
    frame = Frame(
        box=box,
        west_m=(west + east - across * per_point) / 2,
        north_m=(north + south + down * per_point) / 2,
        metres_per_point=per_point,
    )
    return frame, scale


def draw_overview(
    pen: PagesPen, place: Property, grids: Grids, findings: Findings, on_foot: OnFoot
) -> None:
    """Draw the page with the whole property."""
    width, height = pen.width, pen.height
    title = (EDGE_PT, EDGE_PT - 6, width - EDGE_PT, EDGE_PT + 26)
    caution = (EDGE_PT, height - EDGE_PT - 18, width - EDGE_PT, height - EDGE_PT)
    panel = (EDGE_PT, caution[1] - 148, width - EDGE_PT, caution[1] - 8)
    left, right = EDGE_PT + _TICKS_PT, width - EDGE_PT - _TICKS_PT
    box = (left, title[3] + _TICKS_PT, right, panel[1] - 12 - _TICKS_PT)
    frame, scale = _framed(box, shown_bounds_m(place))
    layout = Layout(
        width=width,
        height=height,
        frame=frame,
        title=title,
        panel=panel,
        caution=caution,
        px=_PX,
        scale=scale,
    )
    sheet = Sheet(pen=pen, layout=layout)
    # Stands are left to the close-ups: here they would stand on their scrapes.
    image, _ = _draw_map(sheet, place, grids, findings, OnFoot(ways=on_foot.ways))
    draw_title(sheet, place, findings, None)
    draw_panel(sheet, place, findings, image, has_strong_lines=True)
    draw_caution(sheet, is_run=True)
    draw_credits(sheet, image.credits)
    if on_foot.ways:
        at = (panel[0], panel[1] + _WAYS_DOWN_PT)
        sheet.words(at, "Dots with arrows: quiet ways in, about noon.", size=8.0)


def draw_close_up(
    pen: PagesPen,
    place: Property,
    grids: Grids,
    findings: Findings,
    cluster: Cluster,
    *,
    on_foot: OnFoot,
    top: float,
) -> float:
    """Draw the close-up of a cluster from ``top`` downward; return where it ends [pt]."""
    left, right = EDGE_PT + _TICKS_PT, pen.width - EDGE_PT - _TICKS_PT
    box = (left, top + _TICKS_PT, right, top + _TICKS_PT + _CLOSE_HEIGHT_PT)
    xs, ys = zip(*(*cluster.scrapes_m, cluster.camera_m), strict=True)
    bounds = (min(xs) - _ROUND_M, min(ys) - _ROUND_M, max(xs) + _ROUND_M, max(ys) + _ROUND_M)
    frame, scale = _framed(box, bounds)
    none = (0.0, 0.0, 0.0, 0.0)
    layout = Layout(
        width=pen.width,
        height=pen.height,
        frame=frame,
        title=none,
        panel=none,
        caution=none,
        px=_PX,
        scale=scale,
    )
    sheet = Sheet(pen=pen, layout=layout)
    _, taken = _draw_map(sheet, place, grids, findings, on_foot)
    _write_letters(sheet, cluster, taken)
    foot = box[3] + _TICKS_PT + 6
    long = draw_scale(sheet, (left, foot), 200.0)
    draw_north(sheet, (left + long + 60, foot + 20), 20.0, place)
    words = f"1 : {scale:,} · UTM zone {zone_words(place.epsg)}, WGS 84 · print at 100 %"
    sheet.words((right, foot + 12), words, size=8.5, share_left=1.0)
    return foot + 26


def _draw_map(
    sheet: Sheet, place: Property, grids: Grids, findings: Findings, on_foot: OnFoot
) -> tuple[GroundImage, Taken]:
    """Draw ground, marks and spots into the frame; tell what is taken."""
    frame = sheet.layout.frame
    image = ground_image(
        place,
        grids,
        findings,
        frame_dots(frame, place.epsg),
        metres_per_point=frame.metres_per_point,
    )
    draw_land(sheet, place, image, has_strong_lines=True)
    draw_crosses(sheet)
    taken = Taken(frame=frame.outline.buffer(-3.0))
    reserve_scrapes(sheet, findings, taken)
    names = draw_marks(sheet, place, taken)
    draw_ways(sheet, list(on_foot.ways.values()), taken)
    names += draw_stands(sheet, on_foot.stands, taken)
    draw_small_spots(sheet, findings, taken)
    names = place_names_inside(sheet, names, taken)
    draw_clusters(sheet, findings, taken)
    place_names(sheet, names, taken)
    # Wide lines that end at the frame stick out of it by half their width.
    beyond = frame.outline.buffer(_TICKS_PT - 1, join_style="mitre").difference(frame.outline)
    sheet.filled(beyond, colour=PAPER)
    draw_rim(sheet)
    return image, taken


def _write_letters(sheet: Sheet, cluster: Cluster, taken: Taken) -> None:
    """Write the letter of each scrape beside it, where it hides least, away from the others."""
    places = sheet.layout.frame.on_page(np.array(cluster.scrapes_m))
    middle = places.mean(axis=0)
    for number, at in enumerate(places):
        out = at - middle
        outward = math.atan2(out[1], out[0]) if np.hypot(*out) > 1.0 else math.pi / 2
        turns = sorted((math.radians(k) for k in range(-165, 181, 15)), key=abs)

        def cost(turn: float, at: FloatArray = at, outward: float = outward) -> float:
            x, y = at + _LETTER_OFF_PT * np.array(
                [math.cos(outward + turn), math.sin(outward + turn)]
            )
            return taken.cost((x - 4.5, y - 4.5, x + 4.5, y + 4.5)) + abs(turn)

        best = outward + min(turns, key=cost)
        x, y = (
            float(value)
            for value in at + _LETTER_OFF_PT * np.array([math.cos(best), math.sin(best)])
        )
        taken.take_round((x, y), 9.0)
        sheet.words(
            (x, y + 3.5),
            chr(ord("A") + number),
            size=10.0,
            face=Face.SEMIBOLD,
            share_left=0.5,
            halo=1.6,
        )
