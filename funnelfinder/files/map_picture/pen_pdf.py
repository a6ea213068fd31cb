"""A pen that draws a PDF page with reportlab: lines and words stay lines and words."""

from __future__ import annotations

import io
from collections.abc import Sequence
from typing import Final

import numpy as np
from PIL import Image
from reportlab import rl_config
from reportlab.lib.utils import ImageReader
from reportlab.pdfgen.canvas import Canvas

from funnelfinder.files.map_picture.pens import Box, Face, registered
from funnelfinder.kernels import AnyArray, FloatArray
from funnelfinder.shading import PAPER, greyed, rgb

_JPEG_QUALITY: Final = 92
_ROUND: Final = 1
_EVEN_ODD: Final = 0


class PdfPen:
    """Draws one page of ``width`` × ``height`` points."""

    def __init__(self, width: float, height: float, *, title: str, is_grey: bool) -> None:
        rl_config.useA85 = 0  # plain bytes: a fifth smaller
        self._height = height
        self._is_grey = is_grey
        self._out = io.BytesIO()
        # The same map gives the same file, byte for byte.
        self._canvas = Canvas(
            self._out,
            pagesize=(width, height),
            invariant=1,
            pageCompression=1,
            # Else every page names a font that the file does not hold.
            initialFontName=registered(Face.REGULAR),
        )
        self._canvas.setTitle(title)
        self._canvas.setSubject("Where whitetails' trips narrow, and where to set scrapes")
        self._canvas.setLineJoin(_ROUND)
        self.area([np.array([(0, 0), (width, 0), (width, height), (0, height)])], colour=PAPER)

    def _colour(self, colour: str) -> tuple[float, float, float]:
        """Return a colour as reportlab wants it."""
        channels = np.array(rgb(colour), dtype=np.float64)
        red, green, blue = (greyed(channels) if self._is_grey else channels) / 255.0
        return float(red), float(green), float(blue)

    def lines(
        self, lines: Sequence[FloatArray], *, width: float, colour: str, opacity: float = 1.0
    ) -> None:
        """Draw lines as one path, so that they do not darken each other where they cross."""
        self._canvas.setStrokeColorRGB(*self._colour(colour), alpha=opacity)
        self._canvas.setLineWidth(width)
        self._canvas.drawPath(self._path(lines, is_closed=False), stroke=1, fill=0)

    def _path(self, lines: Sequence[FloatArray], *, is_closed: bool) -> object:
        """Return a path through points of the page."""
        path = self._canvas.beginPath()
        for line in lines:
            if len(line) < 2:
                continue
            points = [(float(x), self._height - float(y)) for x, y in line]
            path.moveTo(*points[0])
            for point in points[1:]:
                path.lineTo(*point)
            if is_closed or np.allclose(line[0], line[-1]):
                path.close()
        return path

    def area(self, rings: Sequence[FloatArray], *, colour: str, opacity: float = 1.0) -> None:
        """Fill what lies within an odd number of rings."""
        self._canvas.setFillColorRGB(*self._colour(colour), alpha=opacity)
        path = self._path(rings, is_closed=True)
        self._canvas.drawPath(path, stroke=0, fill=1, fillMode=_EVEN_ODD)

    def image(self, colours: AnyArray, box: Box) -> None:
        """Draw a picture into a box, as JPEG."""
        picture = Image.fromarray(np.ascontiguousarray(colours))
        if self._is_grey:
            picture = Image.fromarray(np.rint(greyed(colours)[..., 0]).astype(np.uint8))
        data = io.BytesIO()
        picture.save(data, "JPEG", quality=_JPEG_QUALITY, subsampling=0)
        left, top, right, bottom = box
        data.seek(0)
        self._canvas.drawImage(
            ImageReader(data), left, self._height - bottom, right - left, bottom - top
        )

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
        """Write words from a place on the base line."""
        canvas = self._canvas
        canvas.saveState()
        canvas.translate(at[0], self._height - at[1])
        if is_upward:
            canvas.rotate(90)
        if halo > 0:
            canvas.setStrokeColorRGB(*self._colour(PAPER), alpha=1)
            canvas.setLineWidth(2 * halo)
            self._written(words, face, size, mode=1)
        canvas.setFillColorRGB(*self._colour(colour), alpha=1)
        self._written(words, face, size, mode=0)
        canvas.restoreState()

    def _written(self, words: str, face: Face, size: float, *, mode: int) -> None:
        """Write words at the origin, filled (mode 0) or as outlines (mode 1)."""
        text = self._canvas.beginText(0, 0)
        text.setFont(registered(face), size)
        text.setTextRenderMode(mode)
        text.textOut(words)
        text.setTextRenderMode(0)
        self._canvas.drawText(text)

    def finished(self) -> bytes:
        """Return the PDF file."""
        self._canvas.showPage()
        self._canvas.save()
        return self._out.getvalue()
