"""Fixtures of these tests."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from funnelfinder.files import property_file
from funnelfinder.marks import MarkKind
from tests import scenes
from tests.ui.conftest import (  # noqa: F401 - fixtures of the window
    make_window,
    own_folders,
    qapp,
    qapp_args,
)
from tests.ui.found import opened
from tests.whole_job.keeps_up.measured import (
    wait_idle,
)
from ui import edits
from ui.main_window import MainWindow
from ui.stops import Stop


@pytest.fixture
def say(request: pytest.FixtureRequest, capsys) -> Callable[[dict[str, float]], None]:
    """Write what was measured into the report of the tests, passed or not."""

    def write(measured: dict[str, float]) -> None:
        figures = ", ".join(f"{name} {1000 * value:.0f} ms" for name, value in measured.items())
        with capsys.disabled():
            request.config.get_terminal_writer().line(f" {request.node.name}: {figures}")

    return write


@pytest.fixture
def large(make_window, tmp_path: Path, qtbot) -> MainWindow:  # noqa: F811
    """A property of 480 × 480 cells with two beds and a food, its trips walked."""
    marks = [
        scenes.mark(MarkKind.BED, scenes.disc(400, 1800, 60), "North bed"),
        scenes.mark(MarkKind.BED, scenes.disc(1800, 1700, 60), "East bed"),
        scenes.mark(MarkKind.FOOD, scenes.disc(1000, 500, 80), "Acorns", crop="acorns"),
    ]
    place, grids = scenes.scene(
        width=2200.0,
        depth=2200.0,
        cell_m=5.0,
        height=lambda x, y: 300 + 25 * np.sin(x / 150) * np.cos(y / 170),
        marks=marks,
        settings={"n-redraws": "0", "n-drawn": "1000"},
    )
    assert grids.cover.grid.shape == (480, 480)
    path = tmp_path / "large.gpkg"
    property_file.create(path, place)
    property_file.save_grids(path, grids)
    window = opened(make_window(1440, 900), qtbot, path, has_findings=False)
    window.go_to(Stop.MARKS)
    # The worker starts and loads its kernels once in a sitting; that is not what is measured.
    with qtbot.waitSignal(window.following.walked, timeout=120_000):
        window.desk.do(edits.set_setting("pressure", "light"))
    wait_idle(window, qtbot)
    return window
