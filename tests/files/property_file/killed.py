"""Saves over and over in children that are killed; run by `test_writing` as a program.

Each line on standard input starts a child: ``free`` to be killed by whoever reads its lines, a
number to kill itself by SIGKILL at that many calls and returns of functions, or a function's name
and a number to count only within that function. It says what it has saved.
"""

from __future__ import annotations

import os
import signal
import sys
from dataclasses import replace
from itertools import count
from pathlib import Path
from types import FrameType

import numpy as np

from funnelfinder.files.property_file import save_findings, save_grids, save_place
from tests import scenes
from tests.files.property_file.made_up import findings_on

PLACE, GRIDS = scenes.scene(marks=scenes.pair_marks())


def grids_of(number: int):
    """Grids that all tell one number: in every height, every code and the note."""
    heights = np.full(GRIDS.elevation.grid.shape, number, dtype=np.float32)
    codes = np.full(GRIDS.cover.grid.shape, number % 256, dtype=np.uint8)
    return replace(
        GRIDS,
        elevation=replace(GRIDS.elevation, values=heights),
        cover=replace(GRIDS.cover, values=codes),
        notes=(str(number),),
    )


def place_of(number: int):
    """A property that tells one number, in its name and in how its marks are called."""
    marks = tuple(replace(mark, name=f"{mark.kind.value} {number}") for mark in PLACE.marks)
    return replace(PLACE, name=str(number), marks=marks)


def findings_of(number: int):
    """Findings that tell one number."""
    return findings_on(GRIDS.cover.grid, seed=number, notes=(str(number),))


def say(words: str) -> None:
    """Say it in one write, so that a kill never leaves half a line."""
    os.write(1, f"{words}\n".encode())


class Countdown:
    """SIGKILL to this process at the n-th call or return, within a function or anywhere."""

    def __init__(self, within: str, n_left: int) -> None:
        self.within = within
        self.n_left = n_left
        self.is_inside = not within

    def __call__(self, frame: FrameType, event: str, _: object) -> None:
        if self.within and frame.f_code.co_name == self.within:
            self.is_inside = event != "return"
        self.n_left -= self.is_inside
        if self.n_left <= 0:
            os.kill(os.getpid(), signal.SIGKILL)


def save_on(path: Path, first: int, kind: str) -> None:
    """Save from number ``first`` on until killed."""
    if kind != "free":
        within, _, calls = kind.rpartition(":")
        sys.setprofile(Countdown(within, int(calls)))
    for number in count(first):
        say(f"try {number}")
        save_place(path, place_of(number))
        say(f"place {number}")
        save_grids(path, grids_of(number))
        say(f"grids {number}")
        save_findings(path, findings_of(number))
        say(f"findings {number}")


def main() -> None:
    """Start a child for each line; tell its process and its end."""
    path = Path(sys.argv[1])
    say("ready")
    for line in sys.stdin:
        kind, first = line.split()
        child = os.fork()
        if child == 0:
            say(f"process {os.getpid()}")
            save_on(path, int(first), kind)
        os.waitpid(child, 0)
        say("over")


if __name__ == "__main__":
    main()
