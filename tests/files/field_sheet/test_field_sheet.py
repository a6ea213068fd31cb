"""The field sheet, read back from the PDF: words, fonts, scale, bearings, grey."""

from __future__ import annotations

import io
import math
import re
from dataclasses import replace
from datetime import date

import numpy as np
import pytest
from pypdf import PdfReader

from funnelfinder.errors import ExportError
from funnelfinder.files.field_sheet import OnFoot, WindRow, draw_sheet
from funnelfinder.files.field_sheet.maps import round_scale
from funnelfinder.files.map_picture import Paper
from funnelfinder.plan import WayIn, make_plan
from funnelfinder.season import BRANCH_WORDS
from tests.files.map_example import example

ON = date(2026, 11, 25)


@pytest.fixture(scope="module")
def sheet(tmp_path_factory):
    """The property with its plan, and its sheet as read by a PDF library."""
    place, grids, findings = example()
    place = replace(place, peak_breeding="11-15")
    plan = make_plan(place, findings, today=date(2026, 7, 1))
    path = tmp_path_factory.mktemp("sheet") / "pocket.pdf"
    winds = {1: [WindRow(wind_from="Northwest", words="scent blows to the road")]}
    draw_sheet(place, grids, findings, path, plan=plan, winds=winds, on=ON)
    return place, findings, plan, PdfReader(io.BytesIO(path.read_bytes()))


def placed_words(page) -> list[tuple[str, float, float]]:
    """Words of a page with the place where they begin [pt]."""
    found = []

    def visit(text, cm, tm, font, size):
        if text.strip():
            x, y = np.array([tm[4], tm[5]]) @ np.array([[cm[0], cm[1]], [cm[2], cm[3]]])
            found.append((text.strip(), float(x + cm[4]), float(y + cm[5])))

    page.extract_text(visitor_text=visit)
    return found


def eastings(page) -> dict[int, float]:
    """Where the words of each round easting begin on the page [pt]."""
    found = {}
    for words, x, _ in placed_words(page):
        match = re.fullmatch(r"(\d{6}) E", words)
        if match:
            found[int(match[1])] = x
    return found


def test_a_known_distance_measures_right_within_one_per_cent(sheet):
    _, findings, _, pdf = sheet
    maps = [page for page in pdf.pages if len(eastings(page)) >= 2]
    assert len(maps) == 1 + len(findings.clusters)
    for page in maps:
        text = page.extract_text().replace("\n", " ")
        scale = int(re.search(r"1 : ([\d,]+)", text)[1].replace(",", ""))
        at = eastings(page)
        low, high = min(at), max(at)
        on_paper_m = (at[high] - at[low]) / 72 * 0.0254
        assert on_paper_m * scale == pytest.approx(high - low, rel=0.01)


def test_scales_are_round():
    assert [round_scale(one) for one in (0.1, 0.36, 1.5, 5.3)] == [500, 1250, 5000, 20000]
    assert round_scale(50.0) == 200_000


def test_all_words_are_selectable_and_their_fonts_are_in_the_file(sheet):
    _, findings, _, pdf = sheet
    for page in pdf.pages:
        assert page.extract_text().strip()
        for font in page["/Resources"]["/Font"].values():
            assert "/FontFile2" in font["/FontDescriptor"]
    text = " ".join(page.extract_text() for page in pdf.pages)
    for cluster in findings.clusters:
        assert f"cluster {cluster.number} {cluster.name}" in text


def test_law_stands_before_the_work_and_no_scent_is_named_unasked(sheet):
    _, findings, plan, pdf = sheet
    text = " ".join(" ".join(page.extract_text().split()) for page in pdf.pages)
    assert "urine" not in text.lower()
    assert text.index("Law and health first") < text.index("Work (about")
    assert text.count("Law and health first") == 1 + len(findings.clusters)
    for caution in plan.cautions:
        assert caution in text
    assert "Northwest: scent blows to the road" in text
    assert BRANCH_WORDS in text
    for task in plan.tasks:
        assert f"{task.on.day} {task.on:%B %Y}" in text


def test_bearings_and_paces_lead_from_the_way_in(sheet):
    place, findings, _, pdf = sheet
    text = " ".join(" ".join(page.extract_text().split()) for page in pdf.pages)
    gate = next(mark for mark in place.marks if mark.name == "Pump lane gate").geometry
    x, y = findings.clusters[0].scrapes_m[0]
    match = re.search(
        r"Pump lane gate to Scrape A: (\d{3})° true, (\d{3})° magnetic, (\d+) yards, (\d+) paces",
        text,
    )
    true, magnetic, yards, paces = map(int, match.groups())
    on_map_deg = math.degrees(math.atan2(x - gate.x, y - gate.y)) % 360
    # Grid north leaves true north by less than a degree here (UTM convergence at 1.1 degrees
    # from the central meridian and 39 degrees north: 0.7).
    assert abs((true - on_map_deg + 180) % 360 - 180) < 1.5
    # World Magnetic Model 2025: about 8 degrees west here.
    assert 6 <= (magnetic - true) % 360 <= 10
    assert yards == pytest.approx(math.hypot(x - gate.x, y - gate.y) / 0.9144, rel=0.01)
    assert paces == pytest.approx(yards * 36 / 30, abs=2)


def test_nothing_is_in_colour(sheet):
    *_, pdf = sheet
    for page in pdf.pages:
        content = page.get_contents().get_data().decode("latin-1")
        for red, green, blue in re.findall(r"([\d.]+) ([\d.]+) ([\d.]+) (?:rg|RG)\b", content):
            assert red == green == blue
        for image in page["/Resources"].get("/XObject", {}).values():
            assert image.get_object()["/ColorSpace"] == "/DeviceGray"


def test_paper_is_letter_or_a4(sheet, tmp_path):
    place, findings, _, pdf = sheet
    assert tuple(map(float, pdf.pages[0].mediabox[2:])) == (612.0, 792.0)
    _, grids, _ = example()
    few = replace(findings, clusters=findings.clusters[:1])
    draw_sheet(place, grids, few, tmp_path / "a4.pdf", paper=Paper.A4, on=ON)
    box = PdfReader(tmp_path / "a4.pdf").pages[0].mediabox
    # ISO 216: 210 mm by 297 mm.
    assert [float(side) / 72 * 25.4 for side in box[2:]] == pytest.approx([210, 297], abs=0.1)
    for name, paper in (("sheet.doc", Paper.A4), ("sheet.pdf", Paper.A3)):
        with pytest.raises(ExportError, match="letter or A4"):
            draw_sheet(place, grids, few, tmp_path / name, paper=paper, on=ON)


def test_ways_and_stands_lead_turn_by_turn_to_the_spot(tmp_path):
    """The legs add up to the walk, and the first begins at the gate."""
    place, grids, findings = example()
    first = findings.clusters[0]
    gate = next(mark for mark in place.marks if mark.name == "Pump lane gate").geometry
    end = np.mean(first.scrapes_m, axis=0)
    corner = (gate.x, float(end[1]))
    points = ((gate.x, gate.y), corner, (float(end[0]), float(end[1])))
    length = abs(end[1] - gate.y) + abs(end[0] - gate.x)
    way = WayIn(
        start="Pump lane gate",
        points_m=points,
        length_m=float(length),
        climb_m=3.0,
        minutes=14.0,
        bed="Alder bed",
        to_bed_m=200.0,
        winds=("north",),
        bad_winds=("south",),
        crossings=("fence East line",),
    )
    few = replace(findings, clusters=(first,))
    path = tmp_path / "ways.pdf"
    draw_sheet(place, grids, few, path, on_foot=OnFoot(ways={first.number: way}), on=ON)
    pages = PdfReader(path).pages
    text = " ".join(" ".join(page.extract_text().split()) for page in pages)
    assert "14 minutes, nearest bed Alder bed at 219 yards, over fence East line" in text
    assert "not with wind from the south" in text
    assert "Dots with arrows" in text
    legs = re.findall(r"(?:gate|turn \d) to (?:turn \d|Scrape A): .*?, ([\d,]+) yards", text)
    assert len(legs) == 2
    told = sum(int(one.replace(",", "")) for one in legs) * 0.9144
    # The last leg ends at the first scrape, not at the middle of the three.
    assert told == pytest.approx(length, abs=30)
