"""A pen for several pages of white paper, and text that flows down them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from funnelfinder.files.map_picture.pen_pdf import PdfPen
from funnelfinder.files.map_picture.pens import Face, text_width, wrapped
from funnelfinder.shading import INK, PAPER

_WHITE: Final = (1.0, 1.0, 1.0)
EDGE_PT: Final = 36.0
_FOOT_PT: Final = 14.0


class PagesPen(PdfPen):
    """Draws page after page in grey on white, so that no ink goes into the paper's tint."""

    def __init__(self, width: float, height: float, *, title: str) -> None:
        self.width, self.height = width, height
        self.n_pages = 1
        super().__init__(width, height, title=title, is_grey=True)

    def _colour(self, colour: str) -> tuple[float, float, float]:
        """Return a colour as reportlab wants it, paper as white."""
        return _WHITE if colour == PAPER else super()._colour(colour)

    def next_page(self) -> None:
        """Begin a new page."""
        self._canvas.showPage()
        self.n_pages += 1


@dataclass(slots=True, kw_only=True)
class Flow:
    """Text from the top of a page downward; it goes on on the next page where one is full.

    ``y`` is where the next line's top is [pt]; ``running`` is written at the head of each further
    page and at the foot of every one.
    """

    pen: PagesPen
    running: str
    y: float

    def line(
        self,
        words: str,
        *,
        size: float = 9.5,
        face: Face = Face.REGULAR,
        indent: float = 0.0,
        has_box: bool = False,
        after: float = 2.0,
    ) -> None:
        """Write words, wrapped, with a tick box before them if asked."""
        left = EDGE_PT + indent + (14.0 if has_box else 0.0)
        rows = wrapped(words, face, size, self.pen.width - EDGE_PT - left)
        self.room(len(rows[:2]) * 1.25 * size)
        if has_box:
            self._box(EDGE_PT + indent, size)
        for row in rows:
            self.room(1.25 * size)
            self.pen.text((left, self.y + size), row, face=face, size=size, colour=INK)
            self.y += 1.25 * size
        self.y += after

    def heading(self, words: str) -> None:
        """Write a heading that keeps the next line with it."""
        self.room(40.0)
        self.y += 4.0
        self.line(words, size=11.0, face=Face.SEMIBOLD, after=1.0)

    def room(self, height: float) -> None:
        """Go on to the next page unless there is room."""
        if self.y + height <= self.pen.height - EDGE_PT - _FOOT_PT:
            return
        self.foot()
        self.pen.next_page()
        self.y = EDGE_PT
        self.line(f"{self.running}, continued", size=11.0, face=Face.SEMIBOLD, after=4.0)

    def foot(self) -> None:
        """Write the foot of this page."""
        size, y = 8.0, self.pen.height - EDGE_PT + 4.0
        number = f"page {self.pen.n_pages}"
        self.pen.text((EDGE_PT, y), self.running, face=Face.ITALIC, size=size, colour=INK)
        x = self.pen.width - EDGE_PT - text_width(number, Face.REGULAR, size)
        self.pen.text((x, y), number, face=Face.REGULAR, size=size, colour=INK)

    def _box(self, x: float, size: float) -> None:
        """Draw a tick box."""
        top, side = self.y + 0.22 * size, 0.85 * size
        corners = [(x, top), (x + side, top), (x + side, top + side), (x, top + side), (x, top)]
        self.pen.lines([np.array(corners)], width=0.8, colour=INK)
