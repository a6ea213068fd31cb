"""export and map."""

from __future__ import annotations

import pytest

from funnelfinder.files.take_along import FORMATS
from tests.cli import made


def test_export_writes_every_format_and_the_report_under_the_property_s_name(tmp_path):
    result = made.funnelfinder("export", made.found(tmp_path), tmp_path / "card")
    assert result.exit_code == 0, result.stderr
    names = {path.name for path in (tmp_path / "card").iterdir()}
    assert names == {f"brome-hollow.{name}" for name in FORMATS} | {"report.txt"}
    assert "11 points" in result.stdout


def test_formats_can_be_chosen_with_blanks_or_commas(tmp_path):
    path = made.found(tmp_path)
    made.funnelfinder("export", path, tmp_path / "a", "--formats", "gpx", "kml")
    made.funnelfinder("export", path, tmp_path / "b", "--formats", "gpx,kml")
    for folder in ("a", "b"):
        names = {one.name for one in (tmp_path / folder).iterdir()}
        assert names == {"brome-hollow.gpx", "brome-hollow.kml", "report.txt"}


def test_exporting_beside_the_property_leaves_it_alone(tmp_path):
    path = made.found(tmp_path)
    before = path.read_bytes()
    result = made.funnelfinder("export", path, tmp_path)
    assert result.exit_code == 0, result.stderr
    assert path.read_bytes() == before
    assert (tmp_path / "brome-hollow-2.gpkg").exists()


def test_ways_in_come_only_when_wished(tmp_path):
    path = made.found(tmp_path)
    made.funnelfinder("export", path, tmp_path / "a", "--formats", "csv", "--ways-in")
    made.funnelfinder("export", path, tmp_path / "b", "--formats", "csv")
    assert "way-in" in (tmp_path / "a" / "brome-hollow.csv").read_text(encoding="utf-8")
    assert "way-in" not in (tmp_path / "b" / "brome-hollow.csv").read_text(encoding="utf-8")


def test_a_map_is_drawn(tmp_path):
    result = made.funnelfinder("map", made.found(tmp_path), tmp_path / "map.png")
    assert result.exit_code == 0, result.stderr
    assert (tmp_path / "map.png").read_bytes().startswith(b"\x89PNG")


def test_a_map_of_another_ending_is_refused(tmp_path):
    result = made.funnelfinder("map", made.found(tmp_path), tmp_path / "map.bmp")
    assert result.exit_code == 1
    assert not (tmp_path / "map.bmp").exists()


def test_a_map_tells_the_day_of_its_run_on_the_paper_asked_for(tmp_path):
    from datetime import datetime

    from pypdf import PdfReader

    path, file = made.found(tmp_path), tmp_path / "map.pdf"
    result = made.funnelfinder("map", path, file, "--paper", "a4")
    assert result.exit_code == 0, result.stderr
    page = PdfReader(file).pages[0]
    today = datetime.now().astimezone()
    assert f"run of {today.day} {today:%B %Y}" in " ".join(page.extract_text().split())
    # ISO 216: 210 mm by 297 mm, either way up.
    sides = sorted(float(side) / 72 * 25.4 for side in page.mediabox[2:])
    assert sides == pytest.approx([210, 297], abs=0.1)
    assert made.funnelfinder("map", path, file, "--paper", "napkin").exit_code == 2
