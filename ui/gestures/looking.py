"""Looking around: where the map is looked at, from how far, and how a hand changes that."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

from .touch import Point

#: How many metres a pixel may show.
NEAREST_PX_M: Final = 0.05
FARTHEST_PX_M: Final = 200.0
#: One step of the wheel or of Closer.
STEP: Final = 1.25
_ARROW_SHARE: Final = 0.12


@dataclass(frozen=True, slots=True, kw_only=True)
class Outlook:
    """The part of the map that is in view: its middle [m], metres per pixel, size [px]."""

    x_m: float
    y_m: float
    px_m: float
    width_px: float
    height_px: float

    def to_map(self, px: float, py: float) -> Point:
        """Return the place on the map under a pixel, counted from the top left."""
        return (
            self.x_m + (px - self.width_px / 2) * self.px_m,
            self.y_m - (py - self.height_px / 2) * self.px_m,
        )

    def to_px(self, x_m: float, y_m: float) -> Point:
        """Return the pixel of a place on the map."""
        return (
            (x_m - self.x_m) / self.px_m + self.width_px / 2,
            (self.y_m - y_m) / self.px_m + self.height_px / 2,
        )

    def moved(self, dx_px: float, dy_px: float) -> Outlook:
        """Return the outlook after the map was pulled by so many pixels."""
        return replace(self, x_m=self.x_m - dx_px * self.px_m, y_m=self.y_m + dy_px * self.px_m)

    def zoomed(self, factor: float, px: float, py: float) -> Outlook:
        """Return the outlook ``factor`` times closer, the place under (px, py) staying there."""
        px_m = min(max(self.px_m / factor, NEAREST_PX_M), FARTHEST_PX_M)
        x, y = self.to_map(px, py)
        return replace(
            self,
            px_m=px_m,
            x_m=x - (px - self.width_px / 2) * px_m,
            y_m=y + (py - self.height_px / 2) * px_m,
        )

    def fitted(
        self,
        bounds_m: tuple[float, float, float, float],
        margins_px: tuple[float, float, float, float] = (24, 24, 24, 24),
    ) -> Outlook:
        """Return the outlook that shows ``bounds_m`` inside margins (left, top, right, bottom)."""
        west, south, east, north = bounds_m
        left, top, right, bottom = margins_px
        free_x = max(self.width_px - left - right, 40.0)
        free_y = max(self.height_px - top - bottom, 40.0)
        px_m = max((east - west) / free_x, (north - south) / free_y, NEAREST_PX_M)
        px_m = min(px_m, FARTHEST_PX_M)
        return replace(
            self,
            px_m=px_m,
            x_m=(west + east) / 2 + (right - left) / 2 * px_m,
            y_m=(south + north) / 2 + (top - bottom) / 2 * px_m,
        )


class LookAround:
    """A hand that pulls the map; told in pixels.

    Parameters
    ----------
    outlook : Outlook
        Where to start.
    """

    def __init__(self, outlook: Outlook) -> None:
        self.outlook = outlook
        self._held: Point | None = None

    @property
    def is_pulling(self) -> bool:
        """Whether the map is in the hand."""
        return self._held is not None

    def press(self, px: float, py: float) -> None:
        """Take hold of the map."""
        self._held = (px, py)

    def move(self, px: float, py: float) -> None:
        """Pull the map along."""
        if self._held is not None:
            self.outlook = self.outlook.moved(px - self._held[0], py - self._held[1])
            self._held = (px, py)

    def release(self) -> None:
        """Let the map go."""
        self._held = None

    def wheel(self, px: float, py: float, steps: float) -> None:
        """Come closer to the place under the pointer, or go farther from it."""
        self.outlook = self.outlook.zoomed(STEP**steps, px, py)

    def step(self, steps: float) -> None:
        """Come closer to the middle, or go farther."""
        self.wheel(self.outlook.width_px / 2, self.outlook.height_px / 2, steps)

    def arrow(self, right: float, up: float) -> None:
        """Look further that way."""
        across = _ARROW_SHARE * min(self.outlook.width_px, self.outlook.height_px)
        self.outlook = self.outlook.moved(-right * across, up * across)

    def resize(self, width_px: float, height_px: float) -> None:
        """Keep the middle while the window changes."""
        self.outlook = replace(
            self.outlook, width_px=max(width_px, 1.0), height_px=max(height_px, 1.0)
        )
