"""A pen that draws with Pillow, finer than asked and then averaged so that lines are smooth."""

from __future__ import annotations

import io
from collections.abc import Sequence
from typing import Final

import numpy as np
from PIL import Image, ImageDraw, ImageFont

from funnelfinder.files.map_picture.pens import Box, Face, font_bytes
from funnelfinder.kernels import AnyArray, FloatArray
from funnelfinder.shading import PAPER, greyed, rgb

#: How many times finer the sheet is drawn than it is written.
_FINER: Final = 2
_POINTS_PER_INCH: Final = 72.0


class PngPen:
    """Draws a page of ``width`` × ``height`` points at some dots per inch."""

    def __init__(self, width: float, height: float, *, dots_per_inch: int, is_grey: bool) -> None:
        self._dots_per_inch = dots_per_inch
        self._is_grey = is_grey
        self._scale = _FINER * dots_per_inch / _POINTS_PER_INCH
        size = tuple(
            _FINER * round(side * dots_per_inch / _POINTS_PER_INCH) for side in (width, height)
        )
        self._sheet = Image.new("RGB", (size[0], size[1]), rgb(PAPER))
        self._draw = ImageDraw.Draw(self._sheet)
        self._fonts: dict[tuple[Face, float], ImageFont.FreeTypeFont] = {}

    def lines(
        self, lines: Sequence[FloatArray], *, width: float, colour: str, opacity: float = 1.0
    ) -> None:
        """Draw lines; those of one call do not darken each other where they cross."""
        dots = max(round(width * self._scale), 1)
        if opacity >= 1.0:
            self._stroke(self._draw, lines, dots, rgb(colour))
            return
        mask = Image.new("L", self._sheet.size, 0)
        self._stroke(ImageDraw.Draw(mask), lines, dots, round(255 * opacity))
        self._sheet.paste(rgb(colour), mask=mask)

    def _stroke(
        self,
        draw: ImageDraw.ImageDraw,
        lines: Sequence[FloatArray],
        dots: int,
        ink: tuple[int, int, int] | int,
    ) -> None:
        """Draw lines of a width in dots."""
        for line in lines:
            if len(line) < 2:
                continue
            points = np.asarray(line) * self._scale
            if len(points) > 2 and np.allclose(points[0], points[-1]):
                points = np.vstack([points, points[1]])  # closes the joint
            draw.line([(x, y) for x, y in points], fill=ink, width=dots, joint="curve")

    def area(self, rings: Sequence[FloatArray], *, colour: str, opacity: float = 1.0) -> None:
        """Fill what lies within an odd number of rings."""
        corners = [[(x, y) for x, y in np.asarray(ring) * self._scale] for ring in rings]
        if len(corners) == 1 and opacity >= 1.0:
            self._draw.polygon(corners[0], fill=rgb(colour))
            return
        left, top = np.floor(np.min(np.concatenate(corners), axis=0)).astype(int)
        right, bottom = np.ceil(np.max(np.concatenate(corners), axis=0)).astype(int) + 1
        mask = np.zeros((bottom - top, right - left), dtype=bool)
        for ring in corners:
            one = Image.new("1", (right - left, bottom - top), 0)
            ImageDraw.Draw(one).polygon([(x - left, y - top) for x, y in ring], fill=1)
            mask ^= np.asarray(one)
        level = Image.fromarray((mask * np.uint8(round(255 * opacity))).astype(np.uint8))
        self._sheet.paste(rgb(colour), (left, top, right, bottom), mask=level)

    def image(self, colours: AnyArray, box: Box) -> None:
        """Draw a picture into a box."""
        left, top, right, bottom = (round(side * self._scale) for side in box)
        picture = Image.fromarray(np.ascontiguousarray(colours))
        fitted = picture.resize((right - left, bottom - top), Image.Resampling.BICUBIC)
        self._sheet.paste(fitted, (left, top))

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
        font = self._font(face, size)
        x, y = at[0] * self._scale, at[1] * self._scale
        if is_upward:
            self._upward((x, y), words, font, colour)
            return
        self._draw.text(
            (x, y),
            words,
            font=font,
            fill=rgb(colour),
            anchor="ls",
            stroke_width=halo * self._scale,
            stroke_fill=rgb(PAPER),
        )

    def _upward(
        self, at: tuple[float, float], words: str, font: ImageFont.FreeTypeFont, colour: str
    ) -> None:
        """Write words from the bottom to the top."""
        ascent, descent = font.getmetrics()
        slip = Image.new("L", (int(font.getlength(words)) + 2, ascent + descent), 0)
        ImageDraw.Draw(slip).text((0, ascent), words, font=font, fill=255, anchor="ls")
        turned = slip.transpose(Image.Transpose.ROTATE_90)
        corner = (round(at[0]) - ascent, round(at[1]) - turned.size[1])
        self._sheet.paste(rgb(colour), (*corner, corner[0] + turned.size[0], round(at[1])), turned)

    def _font(self, face: Face, size: float) -> ImageFont.FreeTypeFont:
        """Return a face at a size, loaded once."""
        if (face, size) not in self._fonts:
            self._fonts[face, size] = ImageFont.truetype(
                io.BytesIO(font_bytes(face)), size * self._scale
            )
        return self._fonts[face, size]

    def finished(self) -> bytes:
        """Return the PNG file."""
        sheet = self._sheet.reduce(_FINER)
        if self._is_grey:
            grey = greyed(np.asarray(sheet))[..., 0]
            sheet = Image.fromarray(np.rint(grey).astype(np.uint8))
        out = io.BytesIO()
        sheet.save(out, "PNG", optimize=False, dpi=(self._dots_per_inch, self._dots_per_inch))
        return out.getvalue()
