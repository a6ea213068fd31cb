"""The window as a program of its own, on a screen of its own, with true clicks and keys.

What it did is judged from outside: by the title of its window, by the property file, by what is
written, and by ink on the screen.
"""

from __future__ import annotations

import contextlib
import os
import select
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from pathlib import Path

import gpxpy
import numpy as np
import pytest

from funnelfinder.defaults import with_setting
from funnelfinder.errors import FunnelFinderError
from funnelfinder.files import property_file
from funnelfinder.progress import QUIET
from tests.whole_job.made import ROOT, environment
from ui.sample import make_sample

Xlib = pytest.importorskip("Xlib")
WIDE, HIGH = 1440, 900
#: Between two looks at a condition [s].
PAUSE_S = 0.05
#: So many equal looks in a row are a still screen.
N_STILL = 20
SHOTS = ROOT / "build" / "shots"


@dataclass
class Screen:
    """A screen with a hand: what is on it, clicks, keys, and the program that runs there."""

    display: object
    program: subprocess.Popen[str] | None = None

    def wait_for(self, condition: Callable[[], object], what: str, patience_s: float = 60) -> None:
        """Look again and again until a condition holds; the program must live meanwhile."""
        end = time.monotonic() + patience_s
        while not condition():
            assert time.monotonic() < end, f"waited in vain: {what}"
            with contextlib.suppress(subprocess.TimeoutExpired):
                ended = self.program.wait(timeout=PAUSE_S)
                raise AssertionError(f"the program ended with {ended}, before: {what}")

    @property
    def title(self) -> str:
        """The title of the program's window, empty before there is one."""
        for window in self.display.screen().root.query_tree().children:
            with contextlib.suppress(Xlib.error.XError):
                name = window.get_full_text_property(self.display.intern_atom("_NET_WM_NAME"))
                if name and window.get_attributes().map_state:
                    return str(name)
        return ""

    def picture(self) -> np.ndarray:
        """What is on the screen, (rows, cols, 3)."""
        image = self.display.screen().root.get_image(0, 0, WIDE, HIGH, Xlib.X.ZPixmap, 0xFFFFFFFF)
        values = np.frombuffer(image.data, dtype=np.uint8).reshape(HIGH, WIDE, 4)
        return values[..., 2::-1].copy()

    def shoot(self, name: str) -> None:
        """Write what is on the screen, once it stays as it is, to be looked at."""
        from PIL import Image

        seen: list[np.ndarray] = []

        def is_still() -> bool:
            seen.append(self.picture())
            newest = seen[-N_STILL:]
            return len(newest) == N_STILL and all((one == newest[0]).all() for one in newest)

        self.wait_for(is_still, f"a still screen: {name}")
        SHOTS.mkdir(parents=True, exist_ok=True)
        Image.fromarray(self.picture()).save(SHOTS / f"started-{name}.png")

    def click(self, x: int, y: int) -> None:
        """Click with the left button."""
        self._fake(Xlib.X.MotionNotify, x=x, y=y)
        self._fake(Xlib.X.ButtonPress, 1)
        self._fake(Xlib.X.ButtonRelease, 1)

    def type(self, text: str) -> None:
        """Press the keys of a path or word."""
        for letter in text:
            code, needs_shift = self._key_of(letter)
            if needs_shift:
                self._fake(Xlib.X.KeyPress, self._code("Shift_L"))
            self._fake(Xlib.X.KeyPress, code)
            self._fake(Xlib.X.KeyRelease, code)
            if needs_shift:
                self._fake(Xlib.X.KeyRelease, self._code("Shift_L"))

    def press(self, key: str, *held: str) -> None:
        """Press a key while others are held."""
        for one in held:
            self._fake(Xlib.X.KeyPress, self._code(one))
        self._fake(Xlib.X.KeyPress, self._code(key))
        self._fake(Xlib.X.KeyRelease, self._code(key))
        for one in held:
            self._fake(Xlib.X.KeyRelease, self._code(one))

    def _code(self, name: str) -> int:
        from Xlib import XK

        return self.display.keysym_to_keycode(XK.string_to_keysym(name))

    def _key_of(self, letter: str) -> tuple[int, bool]:
        codes = list(self.display.keysym_to_keycodes(ord(letter)))
        code, level = min(codes, key=lambda one: one[1])
        return code, level == 1

    def _fake(self, kind: int, detail: int = 0, **more: int) -> None:
        from Xlib.ext import xtest

        xtest.fake_input(self.display, kind, detail, **more)
        self.display.sync()


@pytest.fixture
def screen() -> Iterator[Screen]:
    """A screen of our own; the name of a free one is told by the server."""
    import Xlib.display

    reading, writing = os.pipe()
    server = subprocess.Popen(
        ["Xvfb", "-displayfd", str(writing), "-screen", "0", f"{WIDE}x{HIGH}x24", "-dpi", "96"],
        pass_fds=[writing],
        stderr=subprocess.DEVNULL,
    )
    os.close(writing)
    try:
        assert select.select([reading], [], [], 20)[0], "no screen came"
        number = os.read(reading, 20).decode().strip()
        display = Xlib.display.Display(f":{number}")
        yield Screen(display)
        display.close()
    finally:
        os.close(reading)
        server.terminate()
        server.wait(20)


@pytest.fixture
def property_path(tmp_path: Path) -> Path:
    """The sample on cells of 10 m and with few redraws, which keeps the test short."""
    path = make_sample(tmp_path, QUIET)
    place = property_file.load_place(path)
    settings = place.settings
    for name, text in (("travel-cell", "10"), ("n-redraws", "1"), ("n-drawn", "1000")):
        settings = with_setting(settings, name, text)
    property_file.save_place(path, replace(place, settings=settings))
    return path


@pytest.fixture
def program(screen: Screen, property_path: Path, tmp_path: Path) -> Iterator[subprocess.Popen[str]]:
    """The window, started with the property."""
    homes = {name: str(tmp_path / "home") for name in ("XDG_DATA_HOME", "XDG_CONFIG_HOME")}
    running = subprocess.Popen(
        [sys.executable, "-m", "ui", str(property_path)],
        cwd=ROOT,
        env=environment(
            DISPLAY=screen.display.get_display_name(),
            QT_QPA_PLATFORM="xcb",
            HOME=str(tmp_path / "home"),
            XDG_DOCUMENTS_DIR=str(tmp_path / "home"),
            XDG_STATE_HOME=str(tmp_path / "home"),
            **homes,
        ),
        stderr=subprocess.PIPE,
        text=True,
    )
    screen.program = running
    try:
        yield running
    finally:
        running.kill()
        running.communicate()


def kept(path: Path, what: Callable[[property_file.Kept], object]) -> Callable[[], bool]:
    """Return a look at what the property file keeps."""

    def look() -> bool:
        try:
            return bool(what(property_file.load(path)))
        except FunnelFinderError:
            return False

    return look


@pytest.mark.alone
def test_the_whole_job_by_clicks_and_keys_in_a_started_program(
    screen: Screen, program: subprocess.Popen[str], property_path: Path, tmp_path: Path
) -> None:
    name = property_file.load_place(property_path).name
    screen.wait_for(lambda: screen.title.startswith(name), "the window with the property")
    # Paper alone has few colours; the map of the sample has relief, woods and marks.
    screen.wait_for(
        lambda: len(np.unique(screen.picture().reshape(-1, 3), axis=0)) > 500, "the map"
    )
    for number, step in enumerate(("ground", "marks"), 1):
        before = screen.picture()
        screen.press(str(number), "Control_L")
        screen.wait_for(lambda old=before: (screen.picture() != old).any(), step)
        screen.shoot(step)
    # Bed: its key, three corners and a double click, where the map is open in any case.
    n_marks = len(property_file.load_place(property_path).marks)
    screen.click(900, 300)
    screen.press("b")
    for x, y in ((860, 380), (910, 380), (910, 420), (860, 420)):
        screen.click(x, y)
    screen.click(860, 420)
    screen.wait_for(
        kept(property_path, lambda file: len(file.place.marks) == n_marks + 1), "the bed"
    )
    screen.shoot("bed-drawn")
    screen.press("z", "Control_L")
    screen.wait_for(kept(property_path, lambda file: len(file.place.marks) == n_marks), "the undo")
    screen.press("3", "Control_L")
    screen.shoot("trips")
    screen.press("4", "Control_L")
    screen.shoot("spots-to-find")
    screen.press("Return", "Control_L")
    screen.wait_for(kept(property_path, lambda file: file.findings is not None), "the findings")
    # From here the foot leads on by the same two keys.
    screen.shoot("spots-found")
    screen.press("Return", "Control_L")
    screen.wait_for(
        kept(property_path, lambda file: any(pick.is_taken for pick in file.place.picks)),
        "the picks",
    )
    screen.shoot("spots")
    screen.press("5", "Control_L")
    screen.shoot("take-along")
    screen.press("Return", "Control_L")
    # What is still being written has a name that begins with a dot.
    screen.wait_for(lambda: list(tmp_path.rglob("[!.]*.gpx")), "the points")
    gpx = next(iter(tmp_path.rglob("[!.]*.gpx")))
    screen.shoot("written")
    written = gpxpy.parse(gpx.read_text(encoding="utf-8"))
    assert sum(point.name.startswith("C") for point in written.waypoints) >= 3
    assert program.poll() is None
