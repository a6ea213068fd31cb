"""The program as a whole: help, status, errors, and what it loads."""

from __future__ import annotations

import subprocess
import sys

import pytest

from funnelfinder import __version__
from funnelfinder.cli import running
from funnelfinder.cli.telling import STOPPED
from funnelfinder.errors import Stopped
from tests.cli import made

VERBS = [
    *("new", "grids", "marks", "settings", "run", "show", "export", "map", "demo"),
    *("season", "plan", "log", "sheet", "bring", "suggest"),
]
SLOW_MODULES = ["rasterio", "geopandas", "numba", "matplotlib", "PyQt5", "numpy", "pandas"]
#: Start the program as its entry point does, then say which modules were loaded.
SPY = """
import sys
from funnelfinder.cli import main
try:
    main()
finally:
    print("LOADED", *sys.modules, file=sys.stderr)
"""


@pytest.mark.parametrize("words", [["--help"], *([verb, "--help"] for verb in VERBS)])
def test_help_loads_nothing_slow(words):
    """What every start would otherwise pay for: 0.1 to 0.8 s each, measured."""
    done = subprocess.run(
        [sys.executable, "-c", SPY, *words], capture_output=True, text=True, check=True
    )
    loaded = done.stderr.split("LOADED ")[1].split()
    assert "funnelfinder.cli.program" in loaded
    assert not set(SLOW_MODULES) & set(loaded)


@pytest.mark.parametrize("verb", VERBS)
def test_every_help_holds_an_example(verb):
    result = made.funnelfinder(verb, "--help")
    assert result.exit_code == 0
    assert f"Example: funnelfinder {verb} " in " ".join(result.stdout.split())


def test_the_program_lists_its_verbs():
    result = made.funnelfinder("--help")
    assert all(f"\n  {verb} " in result.stdout for verb in VERBS)


def test_the_version():
    assert made.funnelfinder("--version").stdout == f"funnelfinder {__version__}\n"


@pytest.mark.parametrize(
    "words",
    [
        [],
        ["fly"],
        ["show"],
        ["show", "place.txt"],
        ["run", "place.gpkg", "--redraws", "-1"],
        ["export", "place.gpkg", "out", "--formats", "paper"],
        ["settings", "place.gpkg", "--colour"],
    ],
)
def test_wrong_usage_ends_with_2(words):
    assert made.funnelfinder(*words).exit_code == 2


def test_a_told_error_is_one_plain_message_and_ends_with_1(tmp_path):
    result = made.funnelfinder("show", tmp_path / "nowhere.gpkg")
    assert result.exit_code == 1
    assert result.stdout == ""
    assert result.stderr.count("\n") == 1
    assert "nowhere.gpkg" in result.stderr
    assert "Traceback" not in result.stderr


@pytest.mark.parametrize("reason", [KeyboardInterrupt, Stopped])
def test_stopping_ends_with_130(tmp_path, monkeypatch, reason):
    """130 is what shells report for SIGINT (128 + 2)."""

    def stop(*_):
        raise reason("Stopped.")

    monkeypatch.setattr(running, "loaded_findings", stop)
    result = made.funnelfinder("show", tmp_path / "place.gpkg")
    assert result.exit_code == 130
    assert result.stderr.strip() == STOPPED


def test_it_starts_as_a_module():
    done = subprocess.run(
        [sys.executable, "-m", "funnelfinder", "--version"],
        capture_output=True,
        text=True,
        check=True,
    )
    assert done.stdout == f"funnelfinder {__version__}\n"


def test_a_reader_that_had_enough_is_no_error(tmp_path):
    """`funnelfinder settings x | head -1` closes the pipe early."""
    path = made.bare(tmp_path)
    program = subprocess.Popen(
        [sys.executable, "-m", "funnelfinder", "settings", path],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        env={"PYTHONUNBUFFERED": "1", "PATH": "/usr/bin"},
    )
    program.stdout.close()
    with program:
        assert program.stderr.read() == b""
        assert program.wait() == 0
