"""The tests mirror the tree: every module has a test file of its own or of its folder's name."""

from __future__ import annotations

from pathlib import Path

ROOT = Path(__file__).parents[1]
CORE = ROOT / "funnelfinder"


def modules() -> list[Path]:
    """Every module that others may use: no package heads, nothing private, no data."""
    found = []
    for path in CORE.rglob("*.py"):
        parts = path.relative_to(CORE).with_suffix("").parts
        if not any(part.startswith("_") for part in parts) and "data" not in parts:
            found.append(path)
    return found


def test_every_module_has_its_tests():
    here = {path.stem for path in (ROOT / "tests").rglob("test_*.py")}
    without = [
        str(path.relative_to(ROOT))
        for path in modules()
        if not {f"test_{path.stem}", f"test_{path.parent.name}"} & here
    ]
    assert without == []


def test_test_files_of_the_core_stand_where_their_module_does():
    apart = {"against", "whole_job", "ui", "sample_rasters", "__pycache__"}
    stray = []
    for path in (ROOT / "tests").rglob("test_*.py"):
        folder = path.parent.relative_to(ROOT / "tests")
        if folder.parts and folder.parts[0] not in apart and not (CORE / folder).is_dir():
            stray.append(str(path))
    assert stray == []
