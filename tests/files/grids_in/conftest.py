"""Fixtures of these tests."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.files.grids_in.written import (
    stripes,
    written,
)


@pytest.fixture
def cover(tmp_path: Path) -> Path:
    """A plain cover grid over the whole extent."""
    return written(tmp_path / "cover.tif", stripes, dtype="uint8", half=400.0)
