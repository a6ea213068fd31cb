"""Draws the whole sheet and writes it, whole or not at all."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Final

from funnelfinder.analysis.findings import Findings
from funnelfinder.errors import ExportError
from funnelfinder.files.map_picture.ground_image import ground_image
from funnelfinder.files.map_picture.land import draw_land
from funnelfinder.files.map_picture.layout import Frame, Layout, Paper, laid_out
from funnelfinder.files.map_picture.legend import draw_panel
from funnelfinder.files.map_picture.marks import draw_marks
from funnelfinder.files.map_picture.names import Taken, place_names, place_names_inside
from funnelfinder.files.map_picture.pen_pdf import PdfPen
from funnelfinder.files.map_picture.pen_png import PngPen
from funnelfinder.files.map_picture.pens import Pen
from funnelfinder.files.map_picture.rim import (
    draw_caution,
    draw_credits,
    draw_crosses,
    draw_rim,
    draw_title,
)
from funnelfinder.files.map_picture.sheet import Sheet
from funnelfinder.files.map_picture.spots import draw_clusters, draw_small_spots, reserve_scrapes
from funnelfinder.files.whole_file import write_whole
from funnelfinder.grid import Grid
from funnelfinder.ground import Grids
from funnelfinder.marks import Property

#: Dots per inch of the ground on the sheet; lines and words are finer.
_GROUND_DOTS_PER_INCH: Final = 150
_POINTS_PER_INCH: Final = 72.0


def draw_map(
    place: Property,
    grids: Grids,
    findings: Findings | None,
    path: Path,
    *,
    paper: Paper = Paper.LETTER,
    is_grey: bool = False,
    has_strong_lines: bool | None = None,
    run_on: date | None = None,
    dots_per_inch: int = 200,
) -> None:
    """Draw the map of a property to be printed and hung on the wall.

    Parameters
    ----------
    place : Property
        Boundary and marks.
    grids : Grids
        Elevation and land cover.
    findings : Findings or None
        What a run found; without it the map shows the ground and the marks.
    path : Path
        Where to write; ``.png`` or ``.pdf``.
    paper : Paper
        The sheet; it is laid upright or lying, whichever shows the ground larger.
    is_grey : bool
        Draw in black-and-white, with strong lines.
    has_strong_lines : bool, optional
        Draw outlines of passage in ink; without a word only where ``is_grey``.
    run_on : date, optional
        Day of the run, for the title.
    dots_per_inch : int
        Of a PNG.

    Raises
    ------
    ExportError
        If the file cannot be written, or its name ends otherwise; nothing half-written is left.
    """
    layout = laid_out(place, paper)
    pen = _pen(path, layout, place.name, is_grey=is_grey, dots_per_inch=dots_per_inch)
    strong = is_grey if has_strong_lines is None else has_strong_lines
    sheet = Sheet(pen=pen, layout=layout)
    image = ground_image(
        place,
        grids,
        findings,
        frame_dots(layout.frame, place.epsg),
        metres_per_point=layout.frame.metres_per_point,
    )
    draw_land(sheet, place, image, has_strong_lines=strong)
    draw_crosses(sheet)
    taken = Taken(frame=layout.frame.outline.buffer(-3.0))
    if findings is not None:
        reserve_scrapes(sheet, findings, taken)
    names = draw_marks(sheet, place, taken)
    if findings is not None:
        draw_small_spots(sheet, findings, taken)
    names = place_names_inside(sheet, names, taken)
    if findings is not None:
        draw_clusters(sheet, findings, taken)
    place_names(sheet, names, taken)
    draw_rim(sheet)
    draw_title(sheet, place, findings, run_on)
    draw_panel(sheet, place, findings, image, has_strong_lines=strong)
    draw_caution(sheet, is_run=findings is not None)
    draw_credits(sheet, image.credits)
    write_whole(path, pen.finished())


def _pen(path: Path, layout: Layout, title: str, *, is_grey: bool, dots_per_inch: int) -> Pen:
    """Return the pen for a kind of file."""
    suffix = path.suffix.lower()
    if suffix == ".pdf":
        return PdfPen(layout.width, layout.height, title=title, is_grey=is_grey)
    if suffix == ".png":
        return PngPen(layout.width, layout.height, dots_per_inch=dots_per_inch, is_grey=is_grey)
    raise ExportError(
        f"A map picture cannot be written as {suffix or 'a file without an ending'}.",
        where=str(path),
        remedy="End its name in .png or .pdf.",
    )


def frame_dots(frame: Frame, epsg: int) -> Grid:
    """Return the dots of the ground in the frame."""
    cell_m = frame.metres_per_point * _POINTS_PER_INCH / _GROUND_DOTS_PER_INCH
    west, south, east, north = frame.bounds_m
    return Grid(
        epsg=epsg,
        west_m=west,
        north_m=north,
        cell_m=cell_m,
        n_rows=max(round((north - south) / cell_m), 2),
        n_cols=max(round((east - west) / cell_m), 2),
    )
