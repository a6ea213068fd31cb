"""The bench: the right part of the map for what needs room; in small windows it takes the map."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from PyQt5.QtCore import Qt, pyqtBoundSignal
from PyQt5.QtWidgets import QApplication, QFrame, QHBoxLayout, QScrollArea, QVBoxLayout, QWidget

from ..canvas.pane import MapPane
from ..canvas.slip import SlipWords
from ..controls import label, link, semibold
from ..look import text_scale

_WIDTH: Final = 592
_BESIDE_FROM: Final = 1400


class Bench(QFrame):
    """Holds one piece of work at a time.

    Parameters
    ----------
    map_pane : MapPane
        What makes room for it.
    changed : signal
        Tells that a change was taken, so that trouble from before is over.
    """

    def __init__(self, map_pane: MapPane, changed: pyqtBoundSignal) -> None:
        super().__init__()
        self.setObjectName("well")
        self.setAttribute(Qt.WA_StyledBackground)
        self._map = map_pane
        self._window_width = _BESIDE_FROM
        self._is_map_wanted = False
        self.content: QWidget | None = None
        self._closed: Callable[[], None] = lambda: None
        outer = QVBoxLayout(self)
        outer.setContentsMargins(26, 16, 16, 10)
        outer.setSpacing(8)
        head = QHBoxLayout()
        self.title = label("", "thing", is_wrapped=False)
        head.addWidget(self.title)
        head.addStretch(1)
        self.note = label("", "small", is_wrapped=False)
        head.addWidget(self.note)
        self.show_map = link("Show the map", self._show_map, tip="The bench makes way.")
        head.addWidget(self.show_map)
        self.close_link = link("Close", self.close_bench, tip="Put this away.")
        head.addWidget(self.close_link)
        outer.addLayout(head)
        self._trouble = QFrame()
        self._trouble.setObjectName("trouble")
        inner = QVBoxLayout(self._trouble)
        self.trouble = label("", "plain")
        self.trouble.setAccessibleName("What went wrong")
        inner.addWidget(self.trouble)
        outer.addWidget(self._trouble)
        self._trouble.hide()
        changed.connect(self._trouble.hide)
        self._area = QScrollArea()
        self._area.setWidgetResizable(True)
        self._area.setHorizontalScrollBarPolicy(Qt.ScrollBarAlwaysOff)
        self._area.setFocusPolicy(Qt.NoFocus)
        outer.addWidget(self._area, 1)
        self.hide()

    def lay(
        self,
        title: str,
        content: QWidget,
        *,
        note: str = "",
        closed: Callable[[], None] | None = None,
    ) -> None:
        """Lay something on the bench instead of what lies there; ``closed`` lets it be closed."""
        self.title.setText(title)
        self.note.setText(note)
        self.setAccessibleName(title)
        self.close_link.setVisible(closed is not None)
        self._closed = closed or (lambda: None)
        if content is not self.content:
            self.clear()
            self.content = content
            self._area.setWidget(content)
            content.show()
        self._is_map_wanted = False
        self.fit(self._window_width)

    def say_trouble(self, words: SlipWords) -> None:
        """Say what went wrong above the work, where the map and its slips are hidden."""
        self.trouble.setText(semibold(f"<b>{words.title}.</b> {words.body}"))
        self._trouble.show()

    def clear(self) -> None:
        """Put away what lies there; the keys that it had go to the map."""
        here = QApplication.focusWidget()
        had_keys = here is not None and self.isAncestorOf(here)
        self._trouble.hide()
        old: QWidget | None = self._area.takeWidget()
        if old is not None:
            old.hide()
            old.deleteLater()
        self.content = None
        self.fit(self._window_width)
        if had_keys:
            self._map.focus_map()

    def close_bench(self) -> None:
        """Put away what lies there, and tell."""
        self.clear()
        self._closed()

    def bring_back(self) -> None:
        """Show the bench again after the map was shown instead."""
        self._is_map_wanted = False
        self.fit(self._window_width)

    @property
    def is_beside(self) -> bool:
        """Whether map and bench stand side by side."""
        return self._window_width >= _BESIDE_FROM * text_scale()

    def fit(self, window_width: int) -> None:
        """Take the room that a window of this width gives."""
        self._window_width = window_width
        has_work = self.content is not None
        is_shown = has_work and (self.is_beside or not self._is_map_wanted)
        if self.is_beside:
            self.setFixedWidth(round(_WIDTH * text_scale()))
        else:
            self.setMinimumWidth(0)
            self.setMaximumWidth(16_777_215)
        self.setVisible(is_shown)
        self.show_map.setVisible(not self.is_beside)
        self._map.setVisible(not is_shown or self.is_beside)

    def _show_map(self) -> None:
        """Show the map instead."""
        self._is_map_wanted = True
        self.fit(self._window_width)
