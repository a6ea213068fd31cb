"""What every page of Later is: a short path of its own in the column's place."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PyQt5.QtCore import pyqtSignal
from PyQt5.QtGui import QKeyEvent
from PyQt5.QtWidgets import QVBoxLayout, QWidget

from .step import Foot

if TYPE_CHECKING:
    from ..desk import Desk


class LaterPage(QWidget):
    """One page of Later. Pages show and ask; they change things only through the desk.

    Subclasses set ``name`` (of its row in the hub) and ``icon``, fill ``content``, and answer
    `title`, `state_line`, `foot`, `refresh` and, where they want, `entered`, `left`, `hint` and
    `use_key`. ``foot_changed`` tells that the foot or the words under the title are others.
    """

    foot_changed = pyqtSignal()
    name = ""
    icon = ""

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self.desk = desk
        self.setObjectName(f"page-{self.name.lower()}")
        self.setAccessibleName(self.name)
        self.content = QVBoxLayout(self)
        self.content.setContentsMargins(0, 0, 0, 0)
        self.content.setSpacing(8)

    def title(self) -> str:
        """Return what stands above the page."""
        return self.name

    def words(self) -> str:
        """Return what stands under the title; may hold ``<b>``."""
        return ""

    def state_line(self) -> str:
        """Return in one line, for the hub, how far this is."""
        return ""

    def foot(self) -> Foot:
        """Return what stands in the foot now."""
        return Foot()

    def hint(self) -> str:
        """Return what the map says while no gesture does."""
        return ""

    def refresh(self) -> None:
        """Show the property as it is now."""

    def entered(self) -> None:
        """Begin: this page is shown from now on."""

    def left(self) -> None:
        """End: the hub, another page or another step is shown from now on."""

    def step_back(self) -> bool:
        """Go back within the page; false where there is nothing to go back from."""
        return False

    def use_key(self, event: QKeyEvent) -> bool:
        """Return whether a key that no control took meant something here."""
        return False
