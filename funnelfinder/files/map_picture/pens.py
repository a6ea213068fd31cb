"""What a pen can do, whatever it draws on: lengths in points (1/72 inch), y downward."""

from __future__ import annotations

import io
from collections.abc import Sequence
from enum import Enum
from functools import cache
from importlib.resources import files
from typing import Protocol

from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont

from funnelfinder.kernels import AnyArray, FloatArray

#: (left, top, right, bottom) on the page [pt].
Box = tuple[float, float, float, float]


class Face(Enum):
    """Typefaces; the value is the file that is shipped."""

    REGULAR = "SourceSansPro-Regular"
    SEMIBOLD = "SourceSansPro-Semibold"
    ITALIC = "SourceSansPro-It"
    SERIF = "SourceSerifPro-Semibold"


class Pen(Protocol):
    """Draws on one page; a later stroke covers an earlier one."""

    def lines(
        self,
        lines: Sequence[FloatArray],
        *,
        width: float,
        colour: str,
        opacity: float = 1.0,
    ) -> None:
        """Draw lines, each (n, 2)."""

    def area(self, rings: Sequence[FloatArray], *, colour: str, opacity: float = 1.0) -> None:
        """Fill what lies within an odd number of rings."""

    def image(self, colours: AnyArray, box: Box) -> None:
        """Draw a picture, (rows, cols, 3) uint8, into a box."""

    def text(
        self,
        at: tuple[float, float],
        words: str,
        *,
        face: Face,
        size: float,
        colour: str,
        halo: float = 0.0,
        is_upward: bool = False,
    ) -> None:
        """Write words from a place on the base line, upward if asked; ``halo`` is of paper."""

    def finished(self) -> bytes:
        """Return the whole file."""


@cache
def font_bytes(face: Face) -> bytes:
    """Return the font file of a face."""
    return files("funnelfinder.data").joinpath(f"fonts/{face.value}.ttf").read_bytes()


@cache
def registered(face: Face) -> str:
    """Return the name under which reportlab knows a face."""
    pdfmetrics.registerFont(TTFont(face.value, io.BytesIO(font_bytes(face))))
    return face.value


def text_width(words: str, face: Face, size: float) -> float:
    """Return how wide words are [pt]."""
    return float(pdfmetrics.stringWidth(words, registered(face), size))


def wrapped(words: str, face: Face, size: float, width: float) -> list[str]:
    """Return words broken into lines no wider than ``width`` where a blank allows."""
    lines: list[str] = []
    for word in words.split():
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and text_width(longer, face, size) <= width:
            lines[-1] = longer
        else:
            lines.append(word)
    return lines


def shortened(words: str, face: Face, size: float, width: float) -> str:
    """Return words, cut with dots where they are wider than ``width``."""
    if text_width(words, face, size) <= width:
        return words
    while words and text_width(words + "…", face, size) > width:
        words = words[:-1]
    return words.rstrip() + "…"
