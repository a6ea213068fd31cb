"""cameras: records are added, told, cut, and taken out again."""

from __future__ import annotations

import pytest

from funnelfinder.files.cameras_in import EXAMPLE
from funnelfinder.files.property_file import create, load_cameras, save_findings, save_grids
from tests.analysis import small
from tests.cli import made


@pytest.fixture(scope="module")
def ready(tmp_path_factory):
    """A small property that was run, and a plain table at its first cluster."""
    from funnelfinder.analysis import run

    folder = tmp_path_factory.mktemp("cameras")
    path, table = folder / "scene.gpkg", folder / "cards.csv"
    place, grids = small.small_property()
    create(path, place)
    save_grids(path, grids)
    save_findings(path, run(place, grids, n_redraws=0))
    table.write_text("\n".join(EXAMPLE.splitlines()[:3]) + "\n")
    made.funnelfinder("season", path, "--time-zone", "America/New_York", "--peak", "11-15")
    return path, table


def told(result) -> str:
    """What was printed, on one line."""
    assert result.exit_code == 0, result.stderr
    return " ".join(result.stdout.split())


def test_without_records_the_model_stands_alone(ready):
    result = made.funnelfinder("cameras", ready[0])
    assert "no camera records are kept yet" in result.stderr
    said = told(result)
    assert "Which pairs are walked" in said
    assert "What the cameras recorded" not in said
    assert "nothing is known" in said


def test_records_are_added_once_told_and_taken_out(ready):
    path, table = ready
    words = ("cameras", path, table, "--today", "2026-10-25")
    for _ in range(2):
        said = told(made.funnelfinder(*words))
    assert said.startswith("1 camera stays, 2 sightings kept.")
    assert len(load_cameras(path).sightings) == 2
    assert "Saddle (cluster 1): 2 deer visits in 21 nights" in said
    assert "a mature buck in legal light 1 time" in said
    assert "21 October 2026, 7:32 am" in said
    cut = told(made.funnelfinder("cameras", path, "--since", "2026-10-10", "--today", "2026-10-25"))
    assert "Saddle (cluster 1): 1 deer visit in 14 nights" in cut
    assert told(made.funnelfinder("cameras", path, "--drop", "Saddle")) == (
        "Saddle: 1 stays taken out."
    )
    assert load_cameras(path).stays == ()


def test_winds_of_stands_are_told_when_asked(ready):
    said = told(made.funnelfinder("cameras", ready[0], "--winds", "--today", "2026-11-10"))
    assert "pass in legal light" in said
    assert "S1A: evening on" in said


def test_an_example_is_written_and_never_over_another(ready, tmp_path):
    file = tmp_path / "cards.csv"
    told(made.funnelfinder("cameras", ready[0], "--example", file))
    assert file.read_text() == EXAMPLE
    assert made.funnelfinder("cameras", ready[0], "--example", file).exit_code == 1


@pytest.mark.parametrize(
    ("words", "status"),
    [
        (("missing.csv",), 1),
        (("--drop", "Nobody"), 2),
        (("--since", "soon"), 1),
        (("--nights", "0"), 2),
        (("--today", "tomorrow"), 1),
    ],
)
def test_wrong_words_are_told(ready, words, status):
    result = made.funnelfinder("cameras", ready[0], *words)
    assert result.exit_code == status, result.output
    assert "Traceback" not in result.output
