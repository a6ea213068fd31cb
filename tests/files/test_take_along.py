"""All formats at once: the same points, nothing half-written, nobody else's file touched."""

from __future__ import annotations

import errno
from dataclasses import replace

import pytest

from funnelfinder.errors import ExportError
from funnelfinder.files import take_along
from funnelfinder.files.take_along import FORMATS, file_stem, write_points
from funnelfinder.report import report_text
from funnelfinder.waypoints import row_of, waypoints
from tests import hand_made


def names_in(folder):
    return sorted(path.name for path in folder.iterdir())


def test_every_format_holds_the_same_points(tmp_path):
    findings = hand_made.findings()
    written = write_points(hand_made.place(), findings, tmp_path / "card")
    wanted = [row_of(point) for point in waypoints(findings)]
    assert [one.path.name for one in written] == [f"brome-hollow.{name}" for name in FORMATS]
    for one in written:
        assert FORMATS[one.path.suffix[1:]].rows(one.path) == wanted
        assert one.n_points == len(wanted)
        assert one.n_bytes == one.path.stat().st_size > 0


def test_our_own_earlier_files_are_replaced(tmp_path):
    write_points(hand_made.place(), hand_made.findings(), tmp_path)
    fewer = hand_made.findings(clusters=())
    written = write_points(hand_made.place(), fewer, tmp_path)
    assert len(names_in(tmp_path)) == len(FORMATS)
    for one in written:
        assert len(FORMATS[one.path.suffix[1:]].rows(one.path)) == 3


def test_an_empty_table_of_ours_is_replaced(tmp_path):
    none = hand_made.findings(clusters=(), pinch_points=(), staging_spots=())
    write_points(hand_made.place(), none, tmp_path)
    write_points(hand_made.place(), hand_made.findings(), tmp_path)
    assert len(names_in(tmp_path)) == len(FORMATS)


@pytest.mark.parametrize("name", FORMATS)
def test_a_file_that_something_else_made_stays(tmp_path, name):
    theirs = tmp_path / f"brome-hollow.{name}"
    theirs.write_bytes(b"their own data")
    for _ in range(2):
        (written,) = write_points(hand_made.place(), hand_made.findings(), tmp_path, [name])
        assert written.path.name == f"brome-hollow-2.{name}"
    assert theirs.read_bytes() == b"their own data"
    assert len(names_in(tmp_path)) == 2


@pytest.mark.parametrize("name", FORMATS)
def test_points_of_another_property_stay(tmp_path, name):
    other = replace(hand_made.place(), name="Fern Bottom")
    write_points(other, hand_made.findings(), tmp_path, [name], stem="map")
    (ours,) = write_points(hand_made.place(), hand_made.findings(), tmp_path, [name], stem="map")
    assert ours.path.name == f"map-2.{name}"


def test_a_full_disk_leaves_the_old_files_and_no_new_ones(tmp_path, monkeypatch):
    write_points(hand_made.place(), hand_made.findings(), tmp_path)
    before = {path.name: path.read_bytes() for path in tmp_path.iterdir()}

    def full(path, content):
        path.write_bytes(b"half of")
        raise OSError(errno.ENOSPC, "No space left on device")

    formats = {**FORMATS, "csv": replace(FORMATS["csv"], write=full)}
    monkeypatch.setattr(take_along, "FORMATS", formats)
    with pytest.raises(ExportError, match=r"brome-hollow\.csv.*No space left"):
        write_points(hand_made.place(), hand_made.findings(clusters=()), tmp_path)
    assert {path.name: path.read_bytes() for path in tmp_path.iterdir()} == before


def test_what_reads_back_otherwise_is_not_kept(tmp_path, monkeypatch):
    broken = replace(FORMATS["gpx"], rows=lambda path: [])
    monkeypatch.setattr(take_along, "FORMATS", {**FORMATS, "gpx": broken})
    with pytest.raises(ExportError, match="read back differs"):
        write_points(hand_made.place(), hand_made.findings(), tmp_path, ["gpx"])
    assert names_in(tmp_path) == []


def test_a_folder_that_cannot_be_made_is_named(tmp_path):
    blocked = tmp_path / "file"
    blocked.write_text("not a folder")
    with pytest.raises(ExportError, match="file"):
        write_points(hand_made.place(), hand_made.findings(), blocked / "card")


def test_an_unknown_format_lists_the_known_ones(tmp_path):
    with pytest.raises(ExportError, match="gpx, kml, geojson, csv, gpkg"):
        write_points(hand_made.place(), hand_made.findings(), tmp_path, ["shp"])
    assert names_in(tmp_path) == []


def test_ways_in_are_left_out_unless_wished(tmp_path):
    findings = hand_made.findings()
    (one,) = write_points(hand_made.place(), findings, tmp_path, ["csv"], with_ways_in=True)
    kinds = [row["kind"] for row in FORMATS["csv"].rows(one.path)]
    assert kinds.count("way-in") == 1
    (one,) = write_points(hand_made.place(), findings, tmp_path, ["csv"])
    kinds = [row["kind"] for row in FORMATS["csv"].rows(one.path)]
    assert set(kinds) == {"scrape", "camera", "pinch", "staging"}


def test_the_report_is_written_with_the_points(tmp_path):
    text = report_text(hand_made.place(), hand_made.findings())
    for _ in range(2):
        *_, last = write_points(
            hand_made.place(), hand_made.findings(), tmp_path, ["gpx"], report=text
        )
        assert last.path.name == "report.txt"
        assert last.path.read_text(encoding="utf-8") == text
    assert names_in(tmp_path) == ["brome-hollow.gpx", "report.txt"]


def test_a_report_that_something_else_wrote_stays(tmp_path):
    (tmp_path / "report.txt").write_text("My own notes.")
    *_, last = write_points(
        hand_made.place(), hand_made.findings(), tmp_path, ["gpx"], report="Text."
    )
    assert last.path.name == "report-2.txt"
    assert (tmp_path / "report.txt").read_text() == "My own notes."


@pytest.mark.parametrize(
    ("name", "stem"), [("Öak / Ridge", "öak-ridge"), ("..", "property"), ("A\\b", "a-b")]
)
def test_a_name_becomes_a_file_name(name, stem):
    assert file_stem(name) == stem
