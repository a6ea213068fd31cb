"""Keeps the map's pictures in step with the grids: relief, cover, contours, passage, readout."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

import numpy as np
from PyQt5.QtCore import QEasingCurve, QObject, QTimer, QVariantAnimation

from funnelfinder.declination import lon_lat_deg
from funnelfinder.kernels import AnyArray
from funnelfinder.shading import passage_of_100
from funnelfinder.units import said_length

from .canvas.cards import said_elevation
from .canvas.ground_picture import (
    GroundForms,
    GroundPicture,
    ground_colours,
    ground_forms,
    ground_picture,
    passage_colours,
)
from .canvas.pane import MapPane
from .canvas.pyramid import image_of
from .desk import Desk
from .gestures import Touch
from .look.said import POSITION_FORMS, said_position, system
from .remembered import Layer
from .workers import start_job

_FADE_MS = 300
_FRESH, _STALE = 1.0, 0.75


class GroundWork(QObject):
    """Makes pictures in threads and puts them on the map."""

    def __init__(self, desk: Desk, pane: MapPane) -> None:
        super().__init__(desk)
        self._desk, self._pane = desk, pane
        self._forms: GroundForms | None = None
        self._forms_of: Any = None
        self._is_busy = False
        self._is_wanted = False
        self._passage: tuple[AnyArray, Any, bool] | None = None
        self._light: AnyArray | None = None
        #: Of which light the passage on the map is; empty while all trips are shown.
        self.light_words = ""
        self._touch: Touch | None = None
        self._delay = QTimer(self)
        self._delay.setSingleShot(True)
        self._delay.setInterval(60)
        self._delay.timeout.connect(self._recolour)
        self._fade = QVariantAnimation(self)
        self._fade.setEasingCurve(QEasingCurve.OutCubic)
        self._fade.valueChanged.connect(self._fade_to)
        self._rise = QVariantAnimation(self)
        self._rise.setDuration(_FADE_MS)
        self._rise.setStartValue(0.0)
        self._rise.setEndValue(1.0)
        self._rise.valueChanged.connect(self._rise_to)
        self._is_rising = False
        self.is_up_to_date = True
        #: Says of which phase and which light the passage is; set by who knows.
        self.when: Callable[[], str] = lambda: ""
        desk.opened.connect(self._opened)
        desk.grids_changed.connect(self._grids_changed)
        desk.layers_changed.connect(self._layer_changed)
        desk.preferences_changed.connect(self._show_scale)
        pane.view.pointed.connect(self._point)
        pane.view.outlook_changed.connect(self._show_scale)
        pane.readout.clicked.connect(self._next_form)

    @property
    def forms(self) -> GroundForms | None:
        """The forms of the ground that is shown; None until they are made."""
        return self._forms

    @property
    def is_drawing(self) -> bool:
        """Whether a picture is being made."""
        is_rising = self._rise.state() == QVariantAnimation.Running
        return self._is_busy or self._delay.isActive() or is_rising

    # A fade may outlive its window by a moment: bound methods go with it, other slots do not.

    def _fade_to(self, opacity: float) -> None:
        """Show the passage so far faded in."""
        self._pane.view.set_passage_opacity(opacity)

    def _rise_to(self, opacity: float) -> None:
        """Show the ground so far faded in."""
        self._pane.view.set_ground_opacity(opacity)

    # Passage

    def show_passage(
        self, per_m: AnyArray | None, grid: Any = None, *, is_rough: bool = False
    ) -> None:
        """Show a passage field [share of all trips per metre of front], or none."""
        self._light, self.light_words = None, ""
        if per_m is None:
            self._passage = None
            self._pane.view.show_passage(None)
            self._pane.view.show_strong_lines(None)
            self._pane.show_legend(False)
            return
        was_there = self._passage is not None
        self._passage = (per_m, grid, is_rough)
        self._draw_passage()
        if not was_there or not is_rough:
            self._fade.stop()
            self._fade.setDuration(150 if was_there else _FADE_MS)
            self._fade.setStartValue(0.55 if was_there else 0.0)
            self._fade.setEndValue(_FRESH if self.is_up_to_date else _STALE)
            self._fade.start()

    def show_light(self, per_m: AnyArray | None, words: str = "") -> None:
        """Show only the part of the passage in some light, or all of it again.

        Another passage takes its place.
        """
        has_other = self._light is not per_m or self.light_words != words
        self._light, self.light_words = per_m, words
        if has_other and self._passage is not None:
            self._draw_passage()

    def show_up_to_date(self, is_up_to_date: bool) -> None:
        """Lay a paper veil of 25 % on passage that is out of date."""
        if is_up_to_date != self.is_up_to_date:
            self.is_up_to_date = is_up_to_date
            self._pane.view.set_passage_opacity(_FRESH if is_up_to_date else _STALE)

    def _draw_passage(self) -> None:
        """Colour the passage."""
        layer = self._desk.preferences.layers["passage"]
        one = self._desk.open
        if self._passage is None or one is None:
            return
        per_m, grid, is_rough = self._passage
        if self._light is not None and self._light.shape == per_m.shape:
            per_m = self._light
        if not layer.is_shown:
            self._pane.view.show_passage(None)
            self._pane.view.show_strong_lines(None)
            self._pane.show_legend(False)
            return
        reach_m = one.place.settings.scrapes.reach_m
        of_100 = passage_of_100(per_m, reach_m)
        colours = passage_colours(of_100, grid, self._forms, layer.strength)
        self._pane.view.show_passage(image_of(colours), grid)
        has_lines = self._desk.preferences.layers["strong lines"].is_shown and not is_rough
        self._pane.view.show_strong_lines(of_100 if has_lines else None, grid)
        self.show_when()
        self._pane.show_legend(True)

    def show_when(self) -> None:
        """Say in the legend what is shown: within which reach, of which phase, in which light."""
        one = self._desk.open
        if self._passage is None or one is None:
            return
        is_rough = self._passage[2]
        reach_m = one.place.settings.scrapes.reach_m
        reach = said_length(reach_m, system(self._desk.preferences.units))
        second = "rough while you move" if is_rough else f"{reach} of a place"
        when = self.when()
        words = ("Of 100 trips, within", second, *([when] if when else []))
        self._pane.legend.set_words(words, is_rough=is_rough)
        self._pane.lay_out()

    # Ground

    def _opened(self) -> None:
        """Show another property's ground."""
        self._forms, self._forms_of = None, None
        self._is_rising = False
        self._rise.stop()
        self._pane.view.set_ground_opacity(1.0)
        self._pane.view.show_ground(None)
        self.show_passage(None)
        self._pane.readout.say("", "")
        self._draw_ground()
        self._show_scale()

    def _grids_changed(self) -> None:
        """Draw other grids; where there were none the relief rises in."""
        self._is_rising = self._forms is None
        self._draw_ground()

    def _draw_ground(self) -> None:
        """Make the picture of the grids."""
        self._is_wanted = True
        self._delay.start()

    def _layer_changed(self, name: str) -> None:
        """Show a layer otherwise."""
        layers = self._desk.preferences.layers
        if name in ("relief", "cover", "slope", "passage"):
            self._is_wanted = True
            self._delay.start()
        if name in ("passage", "strong lines"):
            self._draw_passage()
        if name == "contours":
            layer: Layer = layers["contours"]
            self._pane.view.show_contours(is_shown=layer.is_shown, strength=layer.strength)
        if name == "names":
            self._pane.view.is_naming = layers["names"].is_shown
            self._pane.view.viewport().update()

    def _recolour(self) -> None:
        """Start a picture unless one is being made."""
        one = self._desk.open
        if self._is_busy or not self._is_wanted or one is None:
            return
        self._is_wanted = False
        if one.grids is None:
            self._forms, self._forms_of = None, None
            self._pane.view.show_ground(None)
            return
        self._is_busy = True
        grids, table = one.grids, one.place.cover_table
        layers = dict(self._desk.preferences.layers)
        forms = self._forms if self._forms_of is grids else None
        origin = (self._pane.view.x0_m, self._pane.view.y0_m)
        start_job(
            lambda progress: _made(grids, table, forms, layers, origin_m=origin, progress=progress),
            done=self._drawn,
            failed=self._failed,
        )

    def _drawn(self, made: tuple[Any, GroundForms, GroundPicture]) -> None:
        """Put a picture on the map."""
        self._is_busy = False
        grids, forms, picture = made
        one = self._desk.open
        if one is not None and one.grids is grids:
            is_new = self._forms is None
            self._forms, self._forms_of = forms, grids
            if self._is_rising:
                self._is_rising = False
                self._rise.start()
            self._pane.view.show_ground(picture)
            layer = self._desk.preferences.layers["contours"]
            self._pane.view.show_contours(is_shown=layer.is_shown, strength=layer.strength)
            self._pane.view.is_naming = self._desk.preferences.layers["names"].is_shown
            if is_new and self._passage is not None:
                self._draw_passage()
        if self._is_wanted:
            self._recolour()

    def _failed(self, error: Exception) -> None:
        """Tell that the picture could not be made."""
        self._is_busy = False
        raise error

    def small_picture(self, side: int = 220) -> Any:
        """Return a small picture of the ground for the start, or None before it is made."""
        one = self._desk.open
        if self._forms is None or one is None:
            return None
        n = max(max(self._forms.grid.shape) // side, 1)
        layers = dict(self._desk.preferences.layers)
        small = GroundForms(
            grid=self._forms.grid,
            elevation_m=self._forms.elevation_m[::n, ::n],
            light=self._forms.light[::n, ::n],
            slope_deg=self._forms.slope_deg[::n, ::n],
            woods=self._forms.woods[::n, ::n],
            open_ground=self._forms.open_ground[::n, ::n],
        )
        return image_of(ground_colours(small, layers))

    # Readout and scale

    def _show_scale(self) -> None:
        """Show the scale at this distance, and true north."""
        one = self._desk.open
        north = 0.0
        if one is not None:
            middle = one.place.boundary.centroid
            points = np.array([[middle.x, middle.y], [middle.x, middle.y + 1000.0]])
            (lon0, lat0), (lon1, lat1) = lon_lat_deg(points, one.place.epsg)
            # A step up the map goes this far east of true north; north lies the other way.
            turn = math.atan2((lon1 - lon0) * math.cos(math.radians(lat0)), lat1 - lat0)
            north = -math.degrees(turn)
        self._pane.scale.set_scale(
            self._pane.view.outlook.px_m, is_metric=self._desk.is_metric, north_deg=north
        )
        if self._touch is not None:
            self._point(self._touch)

    def _next_form(self) -> None:
        """Write positions in the next form."""
        from dataclasses import replace

        forms = list(POSITION_FORMS)
        here = forms.index(self._desk.preferences.position_form)
        self._desk.prefer(
            replace(self._desk.preferences, position_form=forms[(here + 1) % len(forms)])
        )

    def _point(self, touch: Touch | None) -> None:
        """Say what lies under the pointer; the last place stays when it leaves."""
        if touch is None:
            return
        self._touch = touch
        one = self._desk.open
        if one is None:
            self._pane.readout.say("", "")
            return
        first = said_position(
            touch.x_m, touch.y_m, one.place.epsg, self._desk.preferences.position_form
        )
        self._pane.readout.say(first, self._under(touch))
        self._pane.lay_out_readout()

    def _under(self, touch: Touch) -> str:
        """Return elevation, slope and cover in words."""
        one = self._desk.open
        if one is None or one.grids is None:
            return ""
        words = []
        height = value_at(one.grids.elevation.grid, one.grids.elevation.values, touch)
        if height is not None and math.isfinite(height):
            words.append(said_elevation(height, is_metric=self._desk.is_metric))
        if self._forms is not None:
            slope = value_at(self._forms.grid, self._forms.slope_deg, touch)
            if slope is not None and math.isfinite(slope):
                words.append(f"slope {slope:.0f}°")
        code = value_at(one.grids.cover.grid, one.grids.cover.values, touch)
        if code is not None:
            known = one.place.cover_table.by_code.get(int(code))
            words.append(known.name if known is not None else f"class {int(code)}")
        return " · ".join(words) if words else "beyond the grids"


def value_at(grid: Any, values: AnyArray, touch: Touch) -> float | None:
    """Return the value of the cell under a touch, or None beyond the grid."""
    row = math.floor((grid.north_m - touch.y_m) / grid.cell_m)
    col = math.floor((touch.x_m - grid.west_m) / grid.cell_m)
    if 0 <= row < grid.n_rows and 0 <= col < grid.n_cols:
        return float(values[row, col])
    return None


def _made(
    grids: Any,
    table: Any,
    forms: GroundForms | None,
    layers: dict[str, Layer],
    *,
    origin_m: tuple[float, float],
    progress: Any,
) -> tuple[Any, GroundForms, GroundPicture]:
    """Make forms and picture; runs in a thread."""
    known = forms if forms is not None else ground_forms(grids, table, progress)
    return grids, known, ground_picture(known, layers, *origin_m, progress)
