"""Words on paper, and words that can be clicked."""

from __future__ import annotations

from collections.abc import Callable

from PyQt5.QtCore import QEvent, Qt
from PyQt5.QtGui import QResizeEvent
from PyQt5.QtWidgets import QFrame, QLabel, QPushButton, QSizePolicy, QWidget


class Words(QLabel):
    """Words that take the height that they need at their width, no more and no less."""

    def setText(self, text: str) -> None:
        """Say something else."""
        super().setText(text)
        self._fit()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Follow the width."""
        super().resizeEvent(event)
        self._fit()

    def changeEvent(self, event: QEvent) -> None:
        """Follow the text size."""
        super().changeEvent(event)
        if event.type() in (QEvent.FontChange, QEvent.StyleChange):
            self._fit()

    def _fit(self) -> None:
        """Fix the height; layouts share room among words that could grow."""
        if self.wordWrap() and self.testAttribute(Qt.WA_Resized):
            # Qt never answers less than the least height, and words may have become fewer.
            self.setMinimumHeight(0)
            height = self.heightForWidth(self.width())
            if height > 0:
                self.setFixedHeight(height)


def label(
    text: str = "", kind: str = "plain", *, is_wrapped: bool = True, parent: QWidget | None = None
) -> QLabel:
    """Return a text of one of the kinds of the stylesheet: step, thing, head, plain, second, small.

    The text may hold ``<b>``.
    """
    made = Words(semibold(text), parent)
    made.setProperty("kind", kind)
    made.setWordWrap(is_wrapped)
    return made


def semibold(text: str) -> str:
    """Return words with ``<b>`` as the semibold that the program ships; Qt would smear it.

    Examples
    --------
    >>> semibold("<b>Drag</b> it.")
    '<span style="font-weight:504">Drag</span> it.'
    """
    return text.replace("<b>", '<span style="font-weight:504">').replace("</b>", "</span>")


def _button(
    text: str, kind: str, act: Callable[[], object] | None, tip: str, parent: QWidget | None
) -> QPushButton:
    """Return a button of one of the stylesheet's kinds."""
    made = QPushButton(text, parent)
    made.setProperty("kind", kind)
    made.setAccessibleName(text)
    made.setCursor(Qt.PointingHandCursor)
    if tip:
        made.setToolTip(tip)
    if act is not None:
        made.clicked.connect(lambda _checked=False: act())
    return made


def link(
    text: str,
    act: Callable[[], object] | None = None,
    *,
    tip: str = "",
    parent: QWidget | None = None,
) -> QPushButton:
    """Return words in petrol that do something."""
    made = _button(text, "link", act, tip, parent)
    made.setSizePolicy(QSizePolicy.Maximum, QSizePolicy.Fixed)
    return made


def plain_button(
    text: str,
    act: Callable[[], object] | None = None,
    *,
    tip: str = "",
    parent: QWidget | None = None,
) -> QPushButton:
    """Return an outlined button."""
    return _button(text, "plain", act, tip, parent)


def solid_button(
    text: str,
    act: Callable[[], object] | None = None,
    *,
    tip: str = "",
    parent: QWidget | None = None,
) -> QPushButton:
    """Return the one solid button of a step."""
    return _button(text, "solid", act, tip, parent)


def rule(parent: QWidget | None = None) -> QFrame:
    """Return a hairline."""
    made = QFrame(parent)
    made.setFixedHeight(1)
    made.setStyleSheet("background: #DCD4C3;")
    return made
