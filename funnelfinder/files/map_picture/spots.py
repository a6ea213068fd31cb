"""Pinch points, staging spots and scrape clusters on the map."""

from __future__ import annotations

import math
from typing import Final

import numpy as np
import shapely

from funnelfinder.analysis.findings import Findings
from funnelfinder.files.map_picture.names import Taken, free_place, pinned
from funnelfinder.files.map_picture.sheet import Sheet
from funnelfinder.files.map_picture.signs import draw_cluster_disc, draw_scrape_ring
from funnelfinder.scrapes import Cluster

#: A spot nearer than this to a scrape is not drawn: the cluster's kind tells of it [px].
_HIDDEN_PX: Final = 15.0
_DISC_PX: Final = 28.0


def reserve_scrapes(sheet: Sheet, findings: Findings, taken: Taken) -> None:
    """Keep the places of scrapes free of signs, words and discs."""
    for cluster in findings.clusters:
        for place in _scrapes(sheet, cluster):
            taken.take_round(place, 13 * sheet.px)


def draw_small_spots(sheet: Sheet, findings: Findings, taken: Taken) -> None:
    """Draw pinch points and staging spots, each beside its place where that is taken."""
    for name, at in _free_spots(sheet, findings):
        sheet.glyph(name, pinned(sheet, at, taken, across_px=19.0), 17.0)


def draw_clusters(sheet: Sheet, findings: Findings, taken: Taken) -> None:
    """Draw scrapes and numbered discs over everything else."""
    placed = [
        (cluster, scrapes, _disc_place(sheet, cluster, scrapes, taken))
        for cluster in findings.clusters
        if (scrapes := _scrapes(sheet, cluster))
    ]
    leads = [np.array([disc, scrape]) for _, scrapes, disc in placed for scrape in scrapes]
    sheet.inked(leads, width_px=2.0, casing_px=1.7)
    for _, scrapes, _ in placed:
        for scrape in scrapes:
            draw_scrape_ring(sheet, scrape)
    for cluster, _, disc in placed:
        draw_cluster_disc(sheet, disc, str(cluster.number), is_broken=cluster.steadiness < 0.5)


def _scrapes(sheet: Sheet, cluster: Cluster) -> list[tuple[float, float]]:
    """Return the scrapes of a cluster that lie in the frame, on the page."""
    frame = sheet.layout.frame
    places = [(float(x), float(y)) for x, y in frame.on_page(np.array(cluster.scrapes_m))]
    return [place for place in places if frame.outline.contains(shapely.Point(place))]


def _free_spots(sheet: Sheet, findings: Findings) -> list[tuple[str, tuple[float, float]]]:
    """Return spots on the page, each with its sign, that no scrape or other spot stands on."""
    frame = sheet.layout.frame
    inner = frame.outline.buffer(-9 * sheet.px)
    near = [place for cluster in findings.clusters for place in _scrapes(sheet, cluster)]
    spots = [("pinch", spot.x_m, spot.y_m) for spot in findings.pinch_points]
    spots += [("staging", spot.x_m, spot.y_m) for spot in findings.staging_spots]
    free = []
    for name, x_m, y_m in spots:
        x, y = map(float, frame.on_page(np.array([[x_m, y_m]]))[0])
        far = all(math.dist((x, y), other) >= _HIDDEN_PX * sheet.px for other in near)
        if far and inner.contains(shapely.Point(x, y)):
            near.append((x, y))
            free.append((name, (x, y)))
    return free


def _disc_place(
    sheet: Sheet, cluster: Cluster, scrapes: list[tuple[float, float]], taken: Taken
) -> tuple[float, float]:
    """Return where the numbered disc of a cluster stands, and keep it and its lines free."""
    across = (_DISC_PX + (14 if cluster.steadiness < 0.5 else 5)) * sheet.px
    spread = max(math.dist(place, np.mean(scrapes, axis=0)) for place in scrapes)
    disc = free_place(taken, scrapes, across=across, nearest=spread + across / 2 + 7 * sheet.px)
    taken.take_round(disc, across)
    taken.lines.extend(shapely.LineString([disc, scrape]) for scrape in scrapes)
    return disc
