"""README and DEVELOPERS say only what is so."""

from __future__ import annotations

import doctest
import re
from pathlib import Path

import pytest

from tests.cli import made

ROOT = Path(__file__).parents[1]
PAPERS = ["README.md", "DEVELOPERS.md"]


def text_of(name: str) -> str:
    return (ROOT / name).read_text(encoding="utf-8")


def test_the_example_of_the_readme_runs(monkeypatch):
    monkeypatch.chdir(ROOT)
    failed, tried = doctest.testfile(str(ROOT / "README.md"), module_relative=False)
    assert tried > 10
    assert failed == 0


@pytest.mark.parametrize("paper", PAPERS)
def test_every_command_in_the_papers_exists(paper):
    commands = re.findall(r"^ *funnelfinder ([a-z]+)(.*)$", text_of(paper), re.MULTILINE)
    assert commands or paper == "DEVELOPERS.md"
    for verb, words in commands:
        result = made.funnelfinder(verb, "--help")
        assert result.exit_code == 0, verb
        for option in re.findall(r"--[a-z-]+", words):
            assert option in result.stdout, (verb, option)


@pytest.mark.parametrize("paper", PAPERS)
def test_every_make_target_in_the_papers_exists(paper):
    targets = set(re.findall(r"^([a-z]+):.*##", text_of("Makefile"), re.MULTILINE))
    named = set(re.findall(r"(?:`|^)make ([a-z]+)", text_of(paper), re.MULTILINE))
    assert named
    assert named <= targets


def test_the_floors_of_the_developers_are_those_that_are_checked():
    listed = re.findall(r"`([a-z_]+)/?`", text_of("DEVELOPERS.md").split("## Words")[0])
    checked = re.search(r"layers = \[(.*?)\]", text_of("pyproject.toml"), re.DOTALL)[1]
    for name in re.findall(r"[a-z_]+", checked):
        if name not in ("tile_names", "declination"):
            assert name in listed, name


def test_every_file_that_the_papers_name_is_there():
    for paper in PAPERS:
        for name in re.findall(
            r"`((?:funnelfinder|sample_rasters|tests)/[\w./]+)`", text_of(paper)
        ):
            assert (ROOT / name).exists(), name
