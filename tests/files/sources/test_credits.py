"""Credit lines stand where grids from public sources are shown: show, map picture, field sheet."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest
from pypdf import PdfReader

from funnelfinder.files.field_sheet import draw_sheet
from funnelfinder.files.map_picture import draw_map
from funnelfinder.files.property_file import create, load, save_findings, save_grids
from funnelfinder.ground import Origin
from funnelfinder.plan import make_plan
from tests import hand_made, scenes
from tests.cli import made

# What the publishers ask to be said (ESA WorldCover 2021 product page; Copernicus DEM licence).
CREDITS = (
    "© ESA WorldCover project 2021 / Contains modified Copernicus Sentinel data (2021) processed"
    " by ESA WorldCover consortium",
    "© DLR e.V. 2010-2014 and © Airbus Defence and Space GmbH 2014-2018, provided under COPERNICUS"
    " by the European Union and ESA",
)


@pytest.fixture(scope="module")
def brought():
    """A property with findings, its grids said to be from two sources that must be credited."""
    place, findings = hand_made.place(), hand_made.findings()
    _, grids = scenes.scene()
    origins = tuple(
        Origin(
            kind=kind, source=kind, file=kind, address=kind, on="2026-11-25", credit=credit,
            licence="free with credit",
        )
        for kind, credit in zip(("cover", "elevation"), CREDITS, strict=True)
    )  # fmt: skip
    grids = replace(grids, origins=origins)
    grids = replace(grids, notes=(*grids.notes, *grids.credits))
    return place, grids, replace(findings, notes=(*findings.notes, *grids.credits))


def words_of(path) -> str:
    """All words of a PDF, line breaks as blanks."""
    text = " ".join(page.extract_text() for page in PdfReader(path).pages)
    return " ".join(text.split())


@pytest.mark.parametrize("is_run", [True, False])
def test_the_map_picture_credits_them(brought, tmp_path, is_run):
    place, grids, findings = brought
    path = tmp_path / "map.pdf"
    draw_map(place, grids, findings if is_run else None, path)
    said = words_of(path)
    assert all(credit in said for credit in CREDITS)


def test_many_credits_stay_within_the_lower_margin(brought, tmp_path):
    """Two rows at most, smaller where there are many; the last ends above the paper's edge."""
    place, grids, _ = brought
    more = tuple(
        replace(one, kind=kind, credit=f"{kind} {one.credit}")
        for one in grids.origins
        for kind in ("elevation", "cover")
    )
    path = tmp_path / "map.pdf"
    draw_map(place, replace(grids, origins=more), None, path)
    lowest: list[float] = []

    def visit(text, cm, tm, font, size):
        if text.strip():
            lowest.append(float(tm[5] * cm[3] + cm[5]))

    PdfReader(path).pages[0].extract_text(visitor_text=visit)
    # Many printers leave a quarter of an inch free (common practice, no source).
    assert min(lowest) > 14.0
    assert words_of(path).count("ESA WorldCover project 2021") == 2


def test_the_field_sheet_credits_them(brought, tmp_path):
    place, grids, findings = brought
    place = replace(place, peak_breeding="11-15")
    plan = make_plan(place, findings, today=date(2026, 7, 1))
    path = tmp_path / "pocket.pdf"
    draw_sheet(place, grids, findings, path, plan=plan, on=date(2026, 11, 25))
    said = words_of(path)
    assert all(credit in said for credit in CREDITS)


def test_show_credits_them_after_the_file_was_reopened(brought, tmp_path):
    place, grids, findings = brought
    path = tmp_path / "credited.gpkg"
    create(path, place)
    save_grids(path, grids)
    save_findings(path, findings)
    assert load(path).grids.credits == grids.credits
    said = " ".join(made.funnelfinder("show", path).stdout.split())
    assert all(credit in said for credit in CREDITS)
