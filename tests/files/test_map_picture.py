"""The map picture: what stands where, in which colour, and that it is written whole."""

from __future__ import annotations

import io
import math
import re
from dataclasses import replace
from datetime import date
from pathlib import Path

import numpy as np
import pyproj
import pytest
import shapely
from PIL import Image
from pypdf import PdfReader

from funnelfinder.errors import ExportError
from funnelfinder.files.map_picture import Paper, draw_map
from funnelfinder.files.map_picture.layout import laid_out
from funnelfinder.files.map_picture.names import Name, Taken, free_place, place_names
from funnelfinder.files.map_picture.pen_png import PngPen
from funnelfinder.files.map_picture.pens import Face, shortened, text_width, wrapped
from funnelfinder.files.map_picture.rim import north_turn_rad, scale_step_yd
from funnelfinder.files.map_picture.sheet import Sheet
from funnelfinder.ground import Grids, travel_grid
from funnelfinder.marks import Mark, MarkKind, Property
from funnelfinder.scrapes import ClusterKind
from funnelfinder.shading import INK, PAPER, rgb
from tests.files.map_example import example, example_findings
from tests.scenes import EAST_0, NORTH_0, disc, line, mark, point, polygon, scene

DOTS = 144
POINT = DOTS / 72  # dots of a point


def plain(**more: object) -> tuple[Property, Grids]:
    """Level ground, woods in the west and pasture in the east from x = 600 on."""
    return scene(
        width=1200.0,
        depth=1000.0,
        cover=lambda x, y: np.where(x < 600, 41, 81),
        settings={"surround": "300"},
        **more,
    )


def even(place: Property, of_100: float):
    """Findings with the same passage everywhere and nothing else."""
    grid = travel_grid(place)
    per_m = of_100 / 200.0 / place.settings.scrapes.reach_m
    return replace(
        example_findings(place),
        passage=np.full(grid.shape, per_m, dtype=np.float32),
        clusters=(),
        pinch_points=(),
        staging_spots=(),
    )


def pictured(place: Property, grids: Grids, findings, folder: Path, **more) -> np.ndarray:
    """The dots of the PNG, (rows, cols, 3)."""
    path = folder / "map.png"
    draw_map(place, grids, findings, path, dots_per_inch=DOTS, **more)
    with Image.open(path) as picture:
        return np.asarray(picture.convert("RGB")).astype(int)


def colour_at(dots: np.ndarray, place: Property, x: float, y: float) -> np.ndarray:
    """Median colour round scene coordinates."""
    frame = laid_out(place, Paper.LETTER).frame
    ((px, py),) = frame.on_page(np.array([[EAST_0 + x, NORTH_0 + y]])) * POINT
    row, col = round(py), round(px)
    return np.median(dots[row - 3 : row + 4, col - 3 : col + 4].reshape(-1, 3), axis=0)


def ink_share(dots: np.ndarray, place: Property, x: float, y: float, half_pt: float = 3) -> float:
    """Share of dark dots round scene coordinates."""
    frame = laid_out(place, Paper.LETTER).frame
    ((px, py),) = frame.on_page(np.array([[EAST_0 + x, NORTH_0 + y]])) * POINT
    half = round(half_pt * POINT)
    part = dots[round(py) - half : round(py) + half, round(px) - half : round(px) + half]
    return float((part.sum(axis=2) < 250).mean())


def text_of(path: Path) -> str:
    """All words of a PDF, as an outside reader finds them."""
    return " ".join(PdfReader(path).pages[0].extract_text().split())


@pytest.fixture(scope="module")
def example_pdf(tmp_path_factory) -> Path:
    """The map of the example as PDF."""
    path = tmp_path_factory.mktemp("map") / "map.pdf"
    draw_map(*example(), path, run_on=date(2026, 11, 25))
    return path


@pytest.fixture(scope="module")
def example_dots(tmp_path_factory) -> np.ndarray:
    """The dots of the map of the example."""
    return pictured(*example(), tmp_path_factory.mktemp("map"))


def test_level_woods_pasture_and_ground_beyond_the_boundary_have_their_tints(tmp_path):
    place, grids = plain()
    dots = pictured(place, grids, None, tmp_path)
    woods, pasture = (colour_at(dots, place, x, 505) for x in (305, 905))
    assert np.abs(woods - rgb("#D8DACD")).max() <= 2
    assert pasture.sum() > woods.sum() + 30
    # Paper of 45 % lies over woods beyond the boundary.
    veiled = 0.55 * np.array(rgb("#D8DACD")) + 0.45 * np.array(rgb(PAPER))
    assert np.abs(colour_at(dots, place, -40, 505) - veiled).max() <= 3


def test_passage_of_ten_trips_has_the_colour_of_its_tick(tmp_path):
    place, grids = plain()
    dots = pictured(place, grids, even(place, 10.0), tmp_path)
    # Worked out by hand from ramp, strength and blend, apart from this code.
    assert np.abs(colour_at(dots, place, 305, 505) - rgb("#B76C5D")).max() <= 3


def test_ground_without_grids_stays_paper(tmp_path):
    place, grids = plain()
    heights = np.array(grids.elevation.values)
    heights[:, : heights.shape[1] // 3] = np.nan
    grids = replace(grids, elevation=replace(grids.elevation, values=heights))
    dots = pictured(place, grids, None, tmp_path)
    assert np.abs(colour_at(dots, place, 60, 505) - rgb(PAPER)).max() <= 2
    draw_map(place, grids, None, tmp_path / "map.pdf")
    assert "Blank: no elevation there." in text_of(tmp_path / "map.pdf")


def test_marks_stand_where_they_were_drawn(tmp_path):
    marks = [
        mark(MarkKind.WATER, disc(300, 300, 70)),
        mark(MarkKind.CREEK, line((100, 700), (500, 700)), width_m=20.0),
        mark(MarkKind.FENCE, line((700, 200), (700, 800))),
        mark(MarkKind.GAP, point(700, 500)),
        mark(MarkKind.HOUSE, point(900, 300)),
        mark(MarkKind.ROAD, line((0, 900), (1200, 900))),
    ]
    place, grids = plain(marks=marks)
    dots = pictured(place, grids, None, tmp_path)
    for x, y in ((300, 300), (300, 700)):
        red, _, blue = colour_at(dots, place, x, y)
        assert blue - red > 15  # water is blue, on the sheet nothing else is
    assert ink_share(dots, place, 700, 300) > 0.1
    assert ink_share(dots, place, 700, 500, half_pt=1.2) == 0.0  # the gap is open
    assert ink_share(dots, place, 900, 300) > 0.5
    assert np.abs(colour_at(dots, place, 905, 900) - rgb(PAPER)).max() <= 3
    assert ink_share(dots, place, 150, 500) == 0.0  # nothing was drawn here


def test_a_bed_has_lashes_inside_its_outline_and_none_outside(tmp_path):
    place, grids = plain(marks=[mark(MarkKind.BED, disc(300, 500, 100), who="doe")])
    dots = pictured(place, grids, None, tmp_path)
    turns = np.radians(np.arange(0, 360, 3))
    per_point = laid_out(place, Paper.LETTER).frame.metres_per_point
    inside, outside = (
        sum(
            ink_share(dots, place, 300 + r * np.cos(t), 500 + r * np.sin(t), half_pt=0.6)
            for t in turns
        )
        for r in (100 - 3.2 * per_point, 100 + 3.2 * per_point)
    )
    assert inside > 5
    assert outside == 0


def test_the_boundary_is_dashed(tmp_path):
    place, grids = plain()
    dots = pictured(place, grids, None, tmp_path)
    along = [ink_share(dots, place, 0, y, half_pt=0.6) for y in np.arange(50, 950, 4)]
    assert 0.4 < np.mean(np.array(along) > 0.3) < 0.95


def test_the_scale_bar_measures_what_it_says(example_pdf, example_dots):
    place, dots = example()[0], example_dots
    said_yd = float(re.search(r"(\d+) yards", text_of(example_pdf))[1])
    layout = laid_out(place, Paper.LETTER)
    left, top = (round(side * POINT) for side in layout.panel[:2])
    is_ink = dots[top : top + 60, left + 34 :].sum(axis=2) < 250
    bar = max(is_ink[:, :400], key=_longest_run)
    bar_dots = _longest_run(bar)
    # The frame's own ticks: those of two eastings stand 500 m apart.
    row = round((layout.frame.box[3] + 2.5) * POINT)
    ticks = np.flatnonzero(dots[row].sum(axis=1) < 400)
    steps = np.diff(ticks)[np.diff(ticks) > 20]
    assert "400500 E 401000 E" in text_of(example_pdf)
    metres_per_dot = 500.0 / steps.mean()
    # Yard by definition: Federal Register 24 FR 5348, 1959.
    assert bar_dots * metres_per_dot / 0.9144 == pytest.approx(said_yd, rel=0.01)


def _longest_run(row: np.ndarray) -> int:
    """Length of the longest run of true."""
    edges = np.flatnonzero(np.diff(np.concatenate([[0], row.astype(int), [0]])))
    return int((edges[1::2] - edges[::2]).max(initial=0))


def test_the_scale_in_numbers_is_that_of_the_frame():
    place, _, _ = example()
    layout = laid_out(place, Paper.LETTER)
    # A point of type is 1/72 inch (PostScript Language Reference, 3rd ed., 4.3.1).
    assert layout.frame.metres_per_point == pytest.approx(layout.scale * 0.0254 / 72)
    assert layout.scale % 500 == 0


@pytest.mark.parametrize(("room", "step"), [(150.0, 100), (40.0, 25), (1200.0, 1000)])
def test_the_scale_bar_has_round_parts(room, step):
    assert scale_step_yd(2.9, room) == step


def test_true_north_agrees_with_the_meridian_convergence_of_proj():
    place, _, _ = example()
    middle = place.boundary.centroid
    utm = pyproj.Proj(place.epsg)
    lon, lat = utm(middle.x, middle.y, inverse=True)
    convergence = utm.get_factors(lon, lat).meridian_convergence
    # Convergence is the bearing of grid north; true north stands as far on the other side.
    assert math.degrees(north_turn_rad(place)) == pytest.approx(-convergence, abs=0.01)
    assert abs(convergence) > 0.5


def test_every_word_of_the_pdf_can_be_read_by_others(example_pdf):
    _, _, findings = example()
    words = text_of(example_pdf)
    for expected in (
        "Brome Hollow",
        "run of 25 November 2026",
        "Of 100 trips, within 30 yards of a place",
        "300 yards",
        "UTM zone 17N",
        "Willow point",
        "Bean field",
        "Pump lane gate",
        "36 of 100 (31 to 42)",
        "71 of 100 trips",
        "Pinch point",
        "A model proposed these. Check them on foot, on ground you have leave to hunt. "
        "The boundary is not a survey.",
    ):
        assert expected in words
    for cluster in findings.clusters:
        assert cluster.name in words
        assert words.split().count(str(cluster.number)) >= 2  # on the map and in the list


def test_fonts_travel_with_the_pdf(example_pdf):
    fonts = PdfReader(example_pdf).pages[0]["/Resources"]["/Font"]
    for font in fonts.values():
        one = font.get_object()
        if "SourceS" in one["/BaseFont"]:
            assert "/FontFile2" in one["/FontDescriptor"].get_object()
    assert sum("SourceS" in font.get_object()["/BaseFont"] for font in fonts.values()) >= 3


def test_the_same_map_is_the_same_file_byte_for_byte(example_pdf, tmp_path):
    again = tmp_path / "again.pdf"
    draw_map(*example(), again, run_on=date(2026, 11, 25))
    assert again.read_bytes() == example_pdf.read_bytes()


def test_clusters_pinch_points_and_staging_spots_are_on_the_map(example_dots, tmp_path):
    place, grids, findings = example()
    dots = example_dots
    bare = pictured(
        place, grids, replace(findings, clusters=(), pinch_points=(), staging_spots=()), tmp_path
    )
    for spot in (*findings.pinch_points[:2], *findings.staging_spots):
        x, y = spot.x_m - EAST_0, spot.y_m - NORTH_0
        assert ink_share(dots, place, x, y) > ink_share(bare, place, x, y) + 0.15
    for cluster in findings.clusters:
        for x_m, y_m in cluster.scrapes_m:
            ring = ink_share(dots, place, x_m - EAST_0, y_m - NORTH_0, half_pt=3.5)
            assert ring > 0.1


def test_a_picture_is_never_empty(example_dots):
    place, dots = example()[0], example_dots
    frame = [round(side * POINT) for side in laid_out(place, Paper.LETTER).frame.box]
    inside = dots[frame[1] : frame[3], frame[0] : frame[2]]
    warm = (inside[..., 0] - inside[..., 2]) > 40
    assert 0.05 < warm.mean() < 0.5
    assert 0.005 < (inside.sum(axis=2) < 200).mean() < 0.1
    assert len(np.unique(inside.reshape(-1, 3), axis=0)) > 2000
    panel = dots[frame[3] + 20 : -80]
    assert (panel.sum(axis=2) < 250).mean() > 0.01


def test_a_grey_print_has_no_colour_and_draws_outlines_of_passage(tmp_path):
    place, grids, findings = example()
    findings = replace(findings, clusters=(), pinch_points=(), staging_spots=())
    grey = pictured(place, grids, findings, tmp_path, is_grey=True)
    assert (np.ptp(grey, axis=2) == 0).all()
    without = pictured(place, grids, findings, tmp_path, is_grey=True, has_strong_lines=False)
    darker = (without - grey)[..., 0] > 40
    assert 0.002 < darker.mean() < 0.05


@pytest.mark.parametrize("paper", list(Paper))
def test_every_paper_has_its_size_and_keeps_the_property_in_the_frame(paper):
    place, _, _ = example()
    layout = laid_out(place, paper)
    # ANSI/ASME Y14.1 and ISO 216 [mm].
    sides = {"letter": (216, 279), "legal": (216, 356), "tabloid": (279, 432), "a4": (210, 297),
             "a3": (297, 420)}  # fmt: skip
    drawn = sorted(side * 25.4 / 72 for side in (layout.width, layout.height))
    assert drawn == pytest.approx(sides[paper.value], abs=0.6)
    assert layout.frame.outline.contains(layout.frame.drawn(place.boundary))
    boxes = [shapely.box(*box) for box in (layout.title, layout.panel, layout.caution)]
    for i, box in enumerate([layout.frame.outline, *boxes]):
        assert shapely.box(20, 20, layout.width - 20, layout.height - 20).contains(box)
        assert all(box.disjoint(other) for other in boxes[i:])


def test_the_pdf_page_is_a_sheet_of_letter(example_pdf):
    box = PdfReader(example_pdf).pages[0].mediabox
    assert (float(box.width), float(box.height)) == (612, 792)


def test_wide_ground_lies_on_a_lying_sheet_and_tall_ground_on_an_upright_one():
    wide, _ = scene(width=3000, depth=700)
    tall, _ = scene(width=700, depth=3000)
    assert laid_out(wide, Paper.LETTER).width > laid_out(wide, Paper.LETTER).height
    assert laid_out(tall, Paper.LETTER).width < laid_out(tall, Paper.LETTER).height


def test_names_of_near_neighbours_do_not_cover_each_other():
    sheet = _sheet()
    shapes = [shapely.Point(300 + 24 * i, 300 + 9 * (i % 3)).buffer(9) for i in range(6)]
    taken = Taken(frame=shapely.box(60, 60, 560, 560), boxes=[s.envelope for s in shapes])
    place_names(
        sheet, [Name(words=f"Name {i} of bed", shape=s) for i, s in enumerate(shapes)], taken
    )
    assert len(taken.boxes) == 12
    for i, one in enumerate(taken.boxes[6:]):
        assert taken.frame.contains(one)
        assert all(one.intersection(other).area < 0.5 for other in taken.boxes[:6])
        assert all(one.intersection(other).area < 0.5 for other in taken.boxes[6 : 6 + i])


def test_a_numbered_disc_keeps_clear_of_what_stands_there():
    taken = Taken(frame=shapely.box(0, 0, 400, 400), boxes=[shapely.box(205, 100, 300, 300)])
    x, y = free_place(taken, [(200.0, 200.0)], across=18, nearest=16)
    assert shapely.box(x - 9, y - 9, x + 9, y + 9).disjoint(taken.boxes[0])


def test_words_are_broken_and_shortened_to_their_room():
    lines = wrapped("Of 100 trips, within 30 yards of a place", Face.REGULAR, 9.0, 80.0)
    assert " ".join(lines) == "Of 100 trips, within 30 yards of a place"
    assert all(text_width(one, Face.REGULAR, 9.0) <= 80 for one in lines)
    short = shortened("A very long name of a place", Face.SEMIBOLD, 9.0, 60.0)
    assert short.endswith("…")
    assert text_width(short, Face.SEMIBOLD, 9.0) <= 60
    assert shortened("Ford", Face.SEMIBOLD, 9.0, 60.0) == "Ford"


def _sheet() -> Sheet:
    """A sheet to draw on."""
    place, _ = scene()
    layout = laid_out(place, Paper.LETTER)
    pen = PngPen(layout.width, layout.height, dots_per_inch=72, is_grey=False)
    return Sheet(pen=pen, layout=layout)


def test_an_area_with_a_hole_is_filled_beside_the_hole_only():
    pen = PngPen(100, 100, dots_per_inch=72, is_grey=False)
    square = np.array([(10, 10), (90, 10), (90, 90), (10, 90)], dtype=float)
    pen.area([square, 50 + (square - 50) / 2], colour=INK)
    with Image.open(io.BytesIO(pen.finished())) as picture:
        assert picture.getpixel((20, 50)) == rgb(INK)
        assert picture.getpixel((50, 50)) == rgb(PAPER)


def test_an_ending_that_is_no_picture_is_told(tmp_path):
    place, grids = plain()
    with pytest.raises(ExportError, match=r"\.png or \.pdf"):
        draw_map(place, grids, None, tmp_path / "map.docx")
    assert list(tmp_path.iterdir()) == []


def test_a_folder_that_is_not_there_is_told(tmp_path):
    place, grids = plain()
    with pytest.raises(ExportError, match=r"map\.pdf.*Choose a folder"):
        draw_map(place, grids, None, tmp_path / "nowhere" / "map.pdf")


def test_a_write_that_fails_leaves_the_old_file_whole_and_nothing_beside_it(tmp_path, monkeypatch):
    place, grids = plain()
    path = tmp_path / "map.pdf"
    path.write_bytes(b"the old one")

    def full(self: Path, data: bytes) -> int:
        with self.open("wb") as out:
            out.write(data[:100])
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "write_bytes", full)
    with pytest.raises(ExportError, match="No space left"):
        draw_map(place, grids, None, path)
    assert path.read_bytes() == b"the old one"
    assert [one.name for one in tmp_path.iterdir()] == ["map.pdf"]


def test_marks_of_every_kind_can_be_drawn_far_off_and_near(tmp_path):
    shapes = {
        "Polygon": polygon((100, 100), (200, 100), (200, 200)),
        "LineString": line((100, 100), (400, 420)),
        "Point": point(250, 250),
    }
    far = 5000.0
    marks: list[Mark] = []
    for kind in MarkKind:
        for shape in shapes.values():
            for east in (0.0, far):
                moved = shapely.transform(shape, lambda xy, east=east: xy + np.array([east, 0.0]))
                try:
                    marks.append(mark(kind, moved, f"{kind.value} {east}"))
                except ValueError:
                    continue
    place, grids = plain(marks=marks)
    draw_map(place, grids, None, tmp_path / "map.pdf")
    words = text_of(tmp_path / "map.pdf")
    assert "Keep off" in words
    assert "5000" not in words
    assert "Blank" not in words


@pytest.mark.parametrize("kind", list(ClusterKind))
def test_a_cluster_of_any_kind_can_be_listed(kind, tmp_path):
    place, grids = plain()
    one = replace(example()[2].clusters[0], kind=kind, name="", number=7)
    found = replace(even(place, 3.0), clusters=(one,))
    draw_map(place, grids, found, tmp_path / "map.pdf")
    assert kind.value in text_of(tmp_path / "map.pdf")
