"""The few questions that may stand in the way of the hand."""

from __future__ import annotations

from PyQt5.QtWidgets import QDialog, QHBoxLayout, QVBoxLayout, QWidget

from ..controls import label, plain_button, solid_button


class Question(QDialog):
    """A question with two answers; accepted is the solid one."""

    def __init__(
        self, title: str, body: str, yes: str, no: str, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.setWindowTitle(title)
        self.setObjectName("paper")
        column = QVBoxLayout(self)
        column.setContentsMargins(28, 24, 28, 22)
        column.setSpacing(14)
        column.addWidget(label(title, "thing"))
        words = label(body, "plain")
        words.setMinimumWidth(420)
        column.addWidget(words)
        foot = QHBoxLayout()
        foot.addStretch(1)
        self.no = plain_button(no, self.reject)
        self.yes = solid_button(yes, self.accept)
        foot.addWidget(self.no)
        foot.addWidget(self.yes)
        column.addLayout(foot)
