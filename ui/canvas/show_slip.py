"""The slip of Show: what the map shows, each with a tick and a strength."""

from __future__ import annotations

from typing import Final

from PyQt5.QtCore import Qt, pyqtSignal
from PyQt5.QtWidgets import QGridLayout, QSlider, QWidget

from ..controls import Tick
from ..remembered import Layer, Preferences

#: Layers whose strength can be set, and what each is called and shows.
WORDS: Final[dict[str, tuple[str, str]]] = {
    "relief": ("Relief", "Light and shade of the ground."),
    "cover": ("Cover", "Woods and open ground, as a faint tint."),
    "slope": ("Slope", "Steeper ground is darker, in steps of 5°."),
    "contours": ("Contours", "Lines of equal height, every 20 feet; every 10 when close."),
    "picture": ("Picture", "An aerial picture under the marks: one brought in, or your own."),
    "passage": ("Passage", "Where trips run. Darker is more."),
    "names": ("Names", "Names of marks."),
    "left out": ("Left-out spots", "Places that a rule left out."),
    "strong lines": ("Strong lines", "Outlines at 5, 10, 20 and 40 of 100 trips."),
}
_WITH_STRENGTH: Final = ("relief", "cover", "slope", "contours", "picture", "passage")


class ShowList(QWidget):
    """Ticks and strengths of the layers; ``changed`` tells a layer's name and its new state."""

    changed = pyqtSignal(str, object)

    def __init__(self, preferences: Preferences, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(12)
        grid.setVerticalSpacing(0)
        self.ticks: dict[str, Tick] = {}
        self.strengths: dict[str, QSlider] = {}
        for row, (name, (word, tip)) in enumerate(WORDS.items()):
            layer = preferences.layers[name]
            tick = Tick(word, tip=tip)
            tick.setChecked(layer.is_shown)
            tick.setAccessibleName(f"Show {word.lower()}")
            tick.toggled.connect(lambda _on, name=name: self._tell(name))
            grid.addWidget(tick, row, 0)
            self.ticks[name] = tick
            if name in _WITH_STRENGTH:
                grid.addWidget(self._slider(name, word, layer), row, 1)
        grid.setColumnStretch(1, 1)

    def _slider(self, name: str, word: str, layer: Layer) -> QSlider:
        """Return the slider of a layer's strength."""
        slider = QSlider(Qt.Horizontal)
        slider.setRange(10, 100)
        slider.setValue(round(100 * layer.strength))
        slider.setAccessibleName(f"Strength of {word.lower()}")
        slider.setToolTip("How strongly it is drawn.")
        slider.valueChanged.connect(lambda _value: self._tell(name))
        self.strengths[name] = slider
        return slider

    def _tell(self, name: str) -> None:
        """Tell a layer's new state."""
        slider = self.strengths.get(name)
        strength = slider.value() / 100 if slider is not None else 1.0
        layer = Layer(is_shown=self.ticks[name].isChecked(), strength=strength)
        self.changed.emit(name, layer)
