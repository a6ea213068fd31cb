"""What every step's panel is: a title, words, content, and what stands in the foot."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from PyQt5.QtCore import Qt, pyqtSignal
from PyQt5.QtGui import QKeyEvent
from PyQt5.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from ..controls import label
from ..stops import Stop

if TYPE_CHECKING:
    from ..desk import Desk


@dataclass(frozen=True, kw_only=True)
class Foot:
    """What stands at the foot of the column.

    ``line`` says what is or what is missing; ``button`` is the one solid button and ``act`` what
    it does; ``is_ready`` greys it; ``share`` shows how far work is; ``caution`` stands on straw
    right above them.
    """

    line: str = ""
    caution: str = ""
    button: str = ""
    act: Callable[[], object] = lambda: None
    is_ready: bool = True
    tip: str = "Key Ctrl+Enter."
    share: float | None = None


class StepPanel(QWidget):
    """One step. Panels show and ask; they change things only through the desk.

    Subclasses fill ``content``, and answer `foot`, `refresh` and, where they want, `entered`,
    `left` and `hint`.
    """

    foot_changed = pyqtSignal()
    stop = Stop.GROUND
    title = ""

    def __init__(self, desk: Desk, words: str = "") -> None:
        super().__init__()
        self.desk = desk
        self.setObjectName(f"panel-{self.stop.name.lower()}")
        self.setAccessibleName(self.title)
        outer = QVBoxLayout(self)
        outer.setContentsMargins(24, 14, 24, 14)
        outer.setSpacing(6)
        self.heading = label(self.title, "step", is_wrapped=False)
        self.words = label(words, "second")
        outer.addWidget(self.heading)
        outer.addWidget(self.words)
        self.words.setVisible(bool(words))
        self.content = QVBoxLayout()
        self.content.setContentsMargins(0, 6, 0, 0)
        self.content.setSpacing(8)
        outer.addLayout(self.content)
        outer.addStretch(1)

    def say(self, words: str) -> None:
        """Say something else under the title."""
        self.words.setText(words)
        self.words.setVisible(bool(words))

    def foot(self) -> Foot:
        """Return what stands in the foot now."""
        return Foot()

    def hint(self) -> str:
        """Return what the map says while no gesture does."""
        return ""

    def refresh(self) -> None:
        """Show the property as it is now."""

    def entered(self) -> None:
        """Begin: this step is shown from now on."""

    def left(self) -> None:
        """End: another step is shown from now on."""

    def use_key(self, event: QKeyEvent) -> bool:
        """Return whether a key that no control took meant something here."""
        return False

    def step_back(self) -> None:
        """Go back within the step, where it has pages."""

    def take_focus(self) -> bool:
        """Give the keys to the first control; false where there is none."""
        one = self.nextInFocusChain()
        while one is not None and one is not self:
            can_take = one.isVisible() and one.isEnabled() and one.focusPolicy() & Qt.TabFocus
            if can_take and self.isAncestorOf(one):
                one.setFocus(Qt.TabFocusReason)
                return True
            one = one.nextInFocusChain()
        return False


def pair(left: QWidget, right: QWidget) -> QHBoxLayout:
    """Return two things at the two ends of a row."""
    row = QHBoxLayout()
    row.addWidget(left, 1)
    row.addWidget(right, 0, Qt.AlignRight | Qt.AlignVCenter)
    return row


def clear(layout: QVBoxLayout) -> None:
    """Take everything out of a layout."""
    while layout.count():
        item = layout.takeAt(0)
        widget: QWidget | None = item.widget()
        if widget is not None:
            widget.hide()
            widget.deleteLater()
