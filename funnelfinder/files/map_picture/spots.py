"""Pinch points, staging spots and scrape clusters on the map."""

from __future__ import annotations

import math
from typing import Final

import numpy as np
import shapely

from funnelfinder.analysis.findings import Findings
from funnelfinder.files.map_picture.names import Taken, free_place
from funnelfinder.files.map_picture.sheet import Sheet
from funnelfinder.files.map_picture.signs import draw_cluster_disc, draw_scrape_ring
from funnelfinder.scrapes import Cluster
from funnelfinder.shading import INK, PAPER

#: A spot nearer than this to a scrape is not drawn: the cluster's kind tells of it [px].
_HIDDEN_PX: Final = 15.0
_DISC_PX: Final = 28.0


def draw_spots(sheet: Sheet, findings: Findings, taken: Taken) -> None:
    """Draw everything that was found, clusters last and on top."""
    clusters = [(cluster, _scrapes(sheet, cluster)) for cluster in findings.clusters]
    clusters = [(cluster, places) for cluster, places in clusters if places]
    scrapes = [place for _, places in clusters for place in places]
    for place in scrapes:
        taken.take_round(place, 13 * sheet.px)
    kinds = {
        "staging": [(spot.x_m, spot.y_m) for spot in findings.staging_spots],
        "pinch": [(spot.x_m, spot.y_m) for spot in findings.pinch_points],
    }
    for name, spots in kinds.items():
        for at in _free_spots(sheet, spots, scrapes):
            sheet.glyph(name, at, 17.0)
            taken.take_round(at, 19 * sheet.px)
    for cluster, places in clusters:
        _draw_cluster(sheet, cluster, places, taken)


def _scrapes(sheet: Sheet, cluster: Cluster) -> list[tuple[float, float]]:
    """Return the scrapes of a cluster that lie in the frame, on the page."""
    frame = sheet.layout.frame
    places = [(float(x), float(y)) for x, y in frame.on_page(np.array(cluster.scrapes_m))]
    return [place for place in places if frame.outline.contains(shapely.Point(place))]


def _free_spots(
    sheet: Sheet, spots_m: list[tuple[float, float]], scrapes: list[tuple[float, float]]
) -> list[tuple[float, float]]:
    """Return spots on the page that no scrape stands on, none over another."""
    frame = sheet.layout.frame
    inner = frame.outline.buffer(-9 * sheet.px)
    kept: list[tuple[float, float]] = []
    for x, y in frame.on_page(np.array(spots_m).reshape(-1, 2)):
        near = (*scrapes, *kept)
        if inner.contains(shapely.Point(x, y)) and all(
            math.dist((x, y), other) >= _HIDDEN_PX * sheet.px for other in near
        ):
            kept.append((float(x), float(y)))
    return kept


def _draw_cluster(
    sheet: Sheet, cluster: Cluster, places: list[tuple[float, float]], taken: Taken
) -> None:
    """Draw the numbered disc of a cluster, with a line to each of its scrapes."""
    px = sheet.px
    is_broken = cluster.steadiness < 0.5  # false where it was not tested (NaN)
    across = (_DISC_PX + (14 if is_broken else 5)) * px
    spread = max(math.dist(place, np.mean(places, axis=0)) for place in places)
    disc = free_place(taken, places, across=across, nearest=spread + across / 2 + 7 * px)
    taken.take_round(disc, across)
    leads = [np.array([disc, place]) for place in places]
    sheet.pen.lines(leads, width=5.5 * px, colour=PAPER)
    sheet.pen.lines(leads, width=2.0 * px, colour=INK)
    taken.lines.extend(shapely.LineString(lead) for lead in leads)
    for place in places:
        draw_scrape_ring(sheet, place)
    draw_cluster_disc(sheet, disc, str(cluster.number), is_broken=is_broken)
