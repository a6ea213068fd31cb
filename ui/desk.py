"""What every part of the window shares: the open property, the map, the work that runs.

Panels, canvas and frame know the desk and not each other. It holds no model code: changes go
through `OpenProperty`, long work through `ui.workers`.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from PyQt5.QtCore import QObject, pyqtSignal

from .canvas.slip import Slip, SlipWords, trouble_words
from .edits import Edit
from .gestures import Point
from .hour import Hour
from .open_property import OpenProperty
from .remembered import Layer, Preferences, load_preferences, save_preferences
from .stops import Stop


@dataclass(frozen=True, kw_only=True)
class Work:
    """Long work under way: what it is, how far, in words, and how to stop it."""

    name: str
    share: float
    words: str
    stop: Callable[[], None]


class Desk(QObject):
    """The shared state of one window.

    ``opened`` tells that another property (or none) is open; ``changed`` that the property, its
    grids, findings or history changed; ``went_to`` the stop that is shown; ``work_changed`` that
    work began, went on or ended; ``preferences_changed`` that the person reads differently;
    ``told`` a slip to lay on the map; ``slip_wanted_away`` asks to take it away; ``hinted`` that
    the hint may be another.
    """

    opened = pyqtSignal()
    changed = pyqtSignal()
    grids_changed = pyqtSignal()
    findings_changed = pyqtSignal()
    kept_changed = pyqtSignal()
    hand_changed = pyqtSignal(str)
    looked = pyqtSignal(object)
    went_to = pyqtSignal(object)
    work_changed = pyqtSignal()
    preferences_changed = pyqtSignal()
    layers_changed = pyqtSignal(str)
    hinted = pyqtSignal()
    slip_wanted_away = pyqtSignal()

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.open: OpenProperty | None = None
        self.preferences: Preferences = load_preferences()
        self.here = Stop.GROUND
        self.work: Work | None = None
        #: The date and the end of the day that the window speaks of.
        self.hour = Hour(self)
        #: Lays a slip on the map; the window sets it.
        self.lay_slip: Callable[[SlipWords], Slip | None] = lambda words: None

    # The property

    def set_open(self, one: OpenProperty | None) -> None:
        """Take another property on the desk; the caller closed the one before."""
        before, self.open = self.open, one
        if before is not None:
            before.deleteLater()
        if one is not None:
            one.setParent(self)
            one.place_changed.connect(self.changed)
            one.history_changed.connect(self.changed)
            one.grids_changed.connect(self.grids_changed)
            one.grids_changed.connect(self.changed)
            one.findings_changed.connect(self.findings_changed)
            one.findings_changed.connect(self.changed)
            one.kept_changed.connect(self.kept_changed)
            one.hand_changed.connect(self.hand_changed)
            one.looked.connect(self.looked)
            one.refused.connect(self.tell_error)
        self.opened.emit()
        self.changed.emit()

    def do(self, edit: Edit) -> bool:
        """Make a change to the open property; false without one or when it is refused."""
        return self.open is not None and self.open.do(edit)

    # Steps

    def go_to(self, stop: Stop) -> None:
        """Show another step."""
        self.here = stop
        self.went_to.emit(stop)

    # Words

    def tell(self, words: SlipWords) -> Slip | None:
        """Lay a slip on the map."""
        return self.lay_slip(words)

    def tell_error(self, error: Exception, at_m: Point | None = None) -> None:
        """Lay the slip of an error on the map, in the words of the command line."""
        unharmed = "Your property is as before." if self.open is not None else ""
        self.lay_slip(trouble_words(error, unharmed=unharmed, at_m=at_m))

    # Work

    def begin_work(self, name: str, stop: Callable[[], None]) -> None:
        """Say that long work began."""
        self.work = Work(name=name, share=0.0, words=name, stop=stop)
        self.work_changed.emit()

    def go_on(self, share: float, words: str) -> None:
        """Say how far the work is."""
        if self.work is not None:
            self.work = Work(name=self.work.name, share=share, words=words, stop=self.work.stop)
            self.work_changed.emit()

    def end_work(self) -> None:
        """Say that the work ended."""
        self.work = None
        self.work_changed.emit()

    def stop_work(self) -> None:
        """Ask the work to end."""
        if self.work is not None:
            self.work.stop()

    # Preferences

    @property
    def is_metric(self) -> bool:
        """Whether the person reads metres."""
        return self.preferences.units == "metric"

    def prefer(self, preferences: Preferences) -> None:
        """Take and remember how the person reads."""
        self.preferences = preferences
        save_preferences(preferences)
        self.preferences_changed.emit()

    def show_layer(self, name: str, layer: Layer) -> None:
        """Show a layer more, less or not at all, and remember it."""
        self.preferences = self.preferences.with_layer(name, layer)
        save_preferences(self.preferences)
        self.layers_changed.emit(name)
