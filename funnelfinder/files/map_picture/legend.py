"""The panel below the map: passage, scale and north, clusters, and the signs that are used."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

import numpy as np

from funnelfinder.analysis.findings import Findings
from funnelfinder.files.map_picture.ground_image import GroundImage
from funnelfinder.files.map_picture.pens import Box, Face, shortened, text_width, wrapped
from funnelfinder.files.map_picture.rim import draw_north, draw_scale, zone_words
from funnelfinder.files.map_picture.sheet import Sheet
from funnelfinder.files.map_picture.signs import draw_cluster_disc
from funnelfinder.files.map_picture.swatches import draw_swatch, used_swatches
from funnelfinder.marks import Property
from funnelfinder.scrapes import Cluster, ClusterKind
from funnelfinder.shading import (
    GREY_INK,
    INK,
    LEGEND_TICKS,
    LEVEL_LIGHT,
    RULE,
    STRONG_LINES,
    blend,
    cover_tint,
    passage_position,
    passage_rgba,
    relief_rgb,
)
from funnelfinder.units import said_length, said_share

_GAP_PT: Final = 20.0
#: From this share of the frame on, ground without elevation is explained.
_BLANK_SHARE: Final = 0.002
_LEAST_ROW_PX: Final = 17.0
_KIND_GLYPHS: Final = {
    ClusterKind.FIELD_EDGE: "field edge",
    ClusterKind.STAGING: "staging",
    ClusterKind.PINCH: "pinch",
    ClusterKind.TRAVEL: "tracks",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class _Sizes:
    """Sizes of type in the panel [pt]."""

    head: float
    text: float
    small: float


def _sizes(sheet: Sheet) -> _Sizes:
    """Return the sizes of type on this paper."""
    return _Sizes(head=17.5 * sheet.px, text=14.5 * sheet.px, small=12.8 * sheet.px)


def draw_panel(
    sheet: Sheet,
    place: Property,
    findings: Findings | None,
    image: GroundImage,
    *,
    has_strong_lines: bool,
) -> None:
    """Draw the three columns below the map."""
    left, top, right, bottom = sheet.layout.panel
    wide = right - left - 2 * _GAP_PT
    shares = (0.30, 0.32, 0.38) if findings is not None else (0.30, 0.0, 0.70)
    boxes, x = [], left
    for share in shares:
        boxes.append((x, top, x + share * wide, bottom))
        x += share * wide + _GAP_PT
    for box in boxes[1:]:
        if box[2] > box[0]:
            rule = np.array([(box[0] - _GAP_PT / 2, top), (box[0] - _GAP_PT / 2, bottom)])
            sheet.pen.lines([rule], width=0.7, colour=RULE)
    _draw_measures(sheet, place, findings, image, boxes[0], has_strong_lines=has_strong_lines)
    if findings is not None:
        _draw_clusters(sheet, findings, boxes[1])
    _draw_signs(sheet, place, findings, boxes[2])


def _draw_measures(
    sheet: Sheet,
    place: Property,
    findings: Findings | None,
    image: GroundImage,
    box: Box,
    *,
    has_strong_lines: bool,
) -> None:
    """Draw north, scale bar, passage legend and the facts of the sheet."""
    left, top, right, bottom = box
    sizes, px = _sizes(sheet), sheet.px
    draw_north(sheet, (left + 5 * px, top + 34 * px), 33 * px, place)
    room = right - left - 34 * px - text_width(" yards", Face.REGULAR, sizes.text)
    draw_scale(sheet, (left + 34 * px, top + 5 * px), room)
    y = top + 58 * px
    if findings is not None:
        reach = said_length(place.settings.scrapes.reach_m)
        for words in wrapped(
            f"Of 100 trips, within {reach} of a place", Face.SEMIBOLD, sizes.text, right - left
        ):
            sheet.words((left, y), words, size=sizes.text, face=Face.SEMIBOLD)
            y += 1.3 * sizes.text
        draw_ramp(
            sheet,
            (left, y - 0.5 * sizes.text, right, y + 0.6 * sizes.text),
            has_strong_lines=has_strong_lines,
        )
        y += 3.2 * sizes.text
    lines = wrapped(_facts(sheet, place, findings, image), Face.REGULAR, sizes.small, right - left)
    for i, words in enumerate(lines):
        at = (left, bottom - 2 - (len(lines) - 1 - i) * 1.28 * sizes.small)
        sheet.words(at, words, size=sizes.small, colour=GREY_INK)


def _facts(sheet: Sheet, place: Property, findings: Findings | None, image: GroundImage) -> str:
    """Return what must be known to read the sheet."""
    clusters = () if findings is None else findings.clusters
    facts = [
        "In brackets: from low to high when costs are varied."
        if any(cluster.n_redraws for cluster in clusters)
        else "",
        "Broken ring: chosen again in under half of the tries."
        if any(cluster.steadiness < 0.5 for cluster in clusters)
        else "",
        "Blank: no elevation there." if np.isnan(image.elevation_m).mean() > _BLANK_SHARE else "",
        f"Contours every {image.contour_ft} feet.",
        f"UTM zone {zone_words(place.epsg)} in metres, WGS 84.",
        f"1 : {sheet.layout.scale:,} when printed at full size. The arrow shows true north.",
    ]
    return " ".join(fact for fact in facts if fact)


def draw_ramp(sheet: Sheet, box: Box, *, has_strong_lines: bool) -> None:
    """Draw the passage legend: the ramp as it looks on level woods, with its ticks below."""
    left, top, right, bottom = box
    low, high = passage_position(np.array([1.0, 60.0]))
    of_100 = np.exp(np.linspace(math.log(1.0), math.log(60.0), 400))[None, :].repeat(4, axis=0)
    light = np.full(of_100.shape, LEVEL_LIGHT)
    ground = relief_rgb(light, cover_tint(np.ones(of_100.shape), np.zeros(of_100.shape)))
    sheet.pen.image(blend(ground, passage_rgba(of_100), light), box)
    size = _sizes(sheet).small
    widths = dict(STRONG_LINES)
    for tick in LEGEND_TICKS:
        share = (float(passage_position(np.array(tick))) - low) / (high - low)
        x = left + share * (right - left)
        start = top if has_strong_lines and tick in widths else bottom
        width = 1.4 * widths.get(tick, 0.5) if has_strong_lines else 1.2
        line = np.array([(x, start), (x, bottom + 3.5 * sheet.px)])
        sheet.pen.lines([line], width=width * sheet.px, colour=INK)
        sheet.words((x, bottom + 4 * sheet.px + 0.85 * size), str(tick), size=size, share_left=0.5)


def _draw_clusters(sheet: Sheet, findings: Findings, box: Box) -> None:
    """List the clusters: number, name, trips of 100 with their range, steadiness."""
    left, top, right, bottom = box
    sizes, px = _sizes(sheet), sheet.px
    y = top + 0.75 * sizes.head
    sheet.words((left, y), "Scrape clusters", size=sizes.head, face=Face.SERIF)
    if not findings.clusters:
        sheet.words((left, y + 2 * sizes.text), "No place passed the rules.", size=sizes.text)
        return
    y += 1.25 * sizes.small
    caught = f"{said_share(findings.caught)} {findings.trips} pass within reach of one of them."
    sheet.words((left, y), caught, size=sizes.small, colour=GREY_INK)
    room = bottom - y - 2 * px
    row = min(max(room / len(findings.clusters), _LEAST_ROW_PX * px), 23.5 * px)
    n_rows = int(room / row + 1e-6)
    shown = findings.clusters[: n_rows - (len(findings.clusters) > n_rows)]
    for cluster in shown:
        y += row
        _draw_row(sheet, cluster, (left, y, right), min(19.0 * px, row - 1.5 * px))
    if len(shown) < len(findings.clusters):
        more = f"And {len(findings.clusters) - len(shown)} more, numbered on the map."
        sheet.words((left, y + row), more, size=sizes.small, colour=GREY_INK)


def _draw_row(
    sheet: Sheet, cluster: Cluster, at: tuple[float, float, float], across: float
) -> None:
    """Draw one cluster of the list on its base line (left, y, right)."""
    left, y, right = at
    sizes, px = _sizes(sheet), sheet.px
    middle = y - 0.33 * sizes.text
    draw_cluster_disc(
        sheet, (left + 10 * px, middle), str(cluster.number), across_px=across / px, is_broken=False
    )
    sheet.glyph(_KIND_GLYPHS[cluster.kind], (left + 31 * px, middle), 15.0, casing_px=0.0)
    figures = _figures(cluster)
    width = sheet.words((right, y), figures, size=sizes.small, share_left=1.0, colour=GREY_INK)
    room = right - left - 44 * px - width - 8 * px
    name = shortened(cluster.name or cluster.kind.value, Face.SEMIBOLD, sizes.text, room)
    sheet.words((left + 43 * px, y), name, size=sizes.text, face=Face.SEMIBOLD)


def _figures(cluster: Cluster) -> str:
    """Return the share of a cluster with how sure it is."""
    words = said_share(cluster.share)
    if math.isnan(cluster.share_low) or math.isnan(cluster.share_high):
        return words
    low, high = 100 * cluster.share_low, 100 * cluster.share_high
    return f"{words} ({low:.0f} to {high:.0f})"


def _draw_signs(sheet: Sheet, place: Property, findings: Findings | None, box: Box) -> None:
    """Explain the signs that are used, in columns."""
    left, top, right, bottom = box
    sizes, px = _sizes(sheet), sheet.px
    y0 = top + 0.75 * sizes.head
    sheet.words((left, y0), "Signs", size=sizes.head, face=Face.SERIF)
    swatches = used_swatches(place, findings, sheet.layout.frame)
    row = 21.0 * px
    n_rows = max(int((bottom - y0 - 4 * px) // row), 1)
    n_columns = max(-(-len(swatches) // n_rows), 1 + (right - left > 240))
    n_rows = -(-len(swatches) // n_columns)
    width = (right - left) / n_columns
    for i, swatch in enumerate(swatches):
        x = left + (i // n_rows) * width
        y = y0 + 18 * px + (i % n_rows) * row
        draw_swatch(sheet, swatch, (x, y - 6.5 * px, x + 30 * px, y + 6.5 * px))
        words = shortened(swatch.value, Face.REGULAR, sizes.small, width - 38 * px)
        sheet.words((x + 36 * px, y + 0.33 * sizes.small), words, size=sizes.small)
