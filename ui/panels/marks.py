"""Marks: what a person knows of the ground, drawn by clicking."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from PyQt5.QtCore import QRectF, QSize, Qt
from PyQt5.QtGui import QColor, QPainter, QPaintEvent
from PyQt5.QtWidgets import QGridLayout, QHBoxLayout, QSizePolicy, QVBoxLayout, QWidget

from funnelfinder.marks import SIGN_KINDS, Mark, MarkKind

from ..controls import DrawnButton, IconWord, Tile, label, link, row_height, rule
from ..kinds import FIRST_KINDS, KINDS, MORE_KINDS, NEXT_KINDS
from ..look import colours
from ..look.fonts import font
from ..look.icons import draw_icon
from ..look.said import said_count
from ..stops import Stop
from .mark_card import MarkCard
from .step import Foot, StepPanel, clear
from .suggested import SuggestedLine

if TYPE_CHECKING:
    from ..suggesting import Suggesting


class MarkRow(DrawnButton):
    """One mark in the list: icon, name, and what it is."""

    def __init__(self, mark: Mark, parent: QWidget | None = None) -> None:
        word = KINDS[mark.kind].word
        super().__init__(mark.name or word, parent=parent)
        self.mark = mark
        self._second = word if mark.name and not mark.name.startswith(word) else ""
        who = f", {mark.who}" if mark.kind is MarkKind.BED else ""
        self.setAccessibleName(f"{word}, {mark.name or 'no name'}{who}")
        self.setSizePolicy(QSizePolicy.Expanding, QSizePolicy.Fixed)

    def sizeHint(self) -> QSize:
        """Return the height of a row."""
        return QSize(200, row_height())

    def minimumSizeHint(self) -> QSize:
        """Return the same height."""
        return QSize(120, row_height())

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the row and a hairline under it."""
        painter = QPainter(self)
        try:
            self.draw_ground(painter, QRectF(self.rect()).adjusted(1, 1, -1, -2))
            side = 22.0
            at = QRectF(6, (self.height() - side) / 2, side, side)
            draw_icon(painter, KINDS[self.mark.kind].icon, at, self.ink())
            painter.setPen(self.ink())
            painter.setFont(font(16))
            words = QRectF(40, 0, self.width() - 46, self.height())
            painter.drawText(words, int(Qt.AlignVCenter | Qt.AlignLeft), self.text())
            painter.setPen(QColor(colours.GREY_INK))
            painter.setFont(font(15))
            painter.drawText(words, int(Qt.AlignVCenter | Qt.AlignRight), self._second)
            painter.setPen(QColor(colours.RULE))
            painter.drawLine(0, self.height() - 1, self.width(), self.height() - 1)
        finally:
            painter.end()


class MarksPanel(StepPanel):
    """Kinds to draw, the list of what is drawn, and the card of what is in hand."""

    stop = Stop.MARKS
    title = "Marks"

    def __init__(
        self, desk: object, *, draw: Callable[[MarkKind], None], suggesting: Suggesting
    ) -> None:
        words = "Draw what you know. Trips need one bed and one food; the rest makes them truer."
        super().__init__(desk, words)  # type: ignore[arg-type]
        self._draw = draw
        self.kinds: dict[MarkKind, DrawnButton] = {}
        self.card: MarkCard | None = None
        self._seen: object = None
        self._drawing: MarkKind | None = None
        self._make_tiles()
        self._make_icons()
        self.suggested = SuggestedLine(suggesting)
        self.content.addWidget(self.suggested)
        self.content.addWidget(rule())
        self._below = QVBoxLayout()
        self._below.setSpacing(2)
        self.content.addLayout(self._below)

    def _make_tiles(self) -> None:
        """Lay out the two kinds that trips need."""
        row = QHBoxLayout()
        row.setSpacing(12)
        for kind in FIRST_KINDS:
            words = KINDS[kind]
            tile = Tile(
                words.icon,
                words.word,
                "none yet",
                key=words.key,
                tip=f"{words.tip} Key {words.key}.",
            )
            self._add_kind(kind, tile)
            row.addWidget(tile)
        self.content.addLayout(row)

    def _make_icons(self) -> None:
        """Lay out the other kinds, four in a row; sign and more open a second grid."""
        self._grid = QGridLayout()
        self._grid.setContentsMargins(0, 2, 0, 0)
        self._grid.setSpacing(2)
        for number, kind in enumerate(NEXT_KINDS):
            self._put(self._grid, number, self._kind_button(kind))
        self.sign = IconWord(
            "sign", "Sign", tip="Rubs, scrapes, tracks and trails that you found. Key S."
        )
        self.sign.setCheckable(True)
        self.sign.clicked.connect(lambda _checked=False: self.show_more("sign"))
        self._put(self._grid, len(NEXT_KINDS), self.sign)
        self.more = IconWord("plus", "More", tip="Creek, ditch, road, water, cover, core.")
        self.more.setCheckable(True)
        self.more.clicked.connect(lambda _checked=False: self.show_more("more"))
        self._put(self._grid, len(NEXT_KINDS) + 1, self.more)
        self.content.addLayout(self._grid)
        self._extra: dict[str, QWidget] = {}
        for name, kinds in (("sign", SIGN_KINDS), ("more", MORE_KINDS)):
            box = QWidget()
            grid = QGridLayout(box)
            grid.setContentsMargins(0, 0, 0, 0)
            grid.setSpacing(2)
            for number, kind in enumerate(kinds):
                self._put(grid, number, self._kind_button(kind))
            box.hide()
            self._extra[name] = box
            self.content.addWidget(box)

    def _kind_button(self, kind: MarkKind) -> IconWord:
        """Return the button of a kind."""
        words = KINDS[kind]
        key = f" Key {words.key}." if words.key else ""
        button = IconWord(words.icon, words.word, tip=f"{words.tip}{key}")
        self._add_kind(kind, button)
        return button

    def _add_kind(self, kind: MarkKind, button: DrawnButton) -> None:
        """Let a button draw its kind."""
        button.setCheckable(True)
        button.setObjectName(f"kind-{kind.value}")
        button.clicked.connect(lambda _checked=False, kind=kind: self._clicked(kind))
        self.kinds[kind] = button

    @staticmethod
    def _put(grid: QGridLayout, number: int, button: QWidget) -> None:
        """Put a button into the grid, four in a row."""
        grid.addWidget(button, number // 4, number % 4)
        grid.setColumnStretch(number % 4, 1)

    def _clicked(self, kind: MarkKind) -> None:
        """Begin to draw a kind."""
        self._draw(kind)

    def show_more(self, name: str) -> None:
        """Show or hide the kinds behind Sign or More."""
        is_open = self._extra[name].isVisibleTo(self)
        for other, box in self._extra.items():
            box.setVisible(other == name and not is_open)
        self.sign.setChecked(name == "sign" and not is_open)
        self.more.setChecked(name == "more" and not is_open)

    def show_drawing(self, kind: MarkKind | None) -> None:
        """Light the button of the kind that is being drawn."""
        self._drawing = kind
        for other, button in self.kinds.items():
            button.setChecked(other is kind)

    def foot(self) -> Foot:
        """Say what trips still need, or go on to them."""
        one, work = self.desk.open, self.desk.work
        if work is not None:
            return Foot(
                line=f"{work.words}.", button="Stop", act=self.desk.stop_work, share=work.share
            )
        beds = len(list(one.place.of_kind(MarkKind.BED))) if one is not None else 0
        foods = len(list(one.place.of_kind(MarkKind.FOOD))) if one is not None else 0
        ready = bool(beds and foods and one is not None and one.grids is not None)
        if beds and not foods:
            line = "Now draw what they walk to. Trips need one food."
        elif foods and not beds:
            line = "Now draw where they bed. Trips need one bed."
        elif not beds:
            line = "Begin with a bed."
        elif not ready:
            line = "Trips need the grids too."
        else:
            line = "Trips follow as you draw."
        return Foot(
            line=line,
            button="Next: look at the trips",
            act=lambda: self.desk.go_to(Stop.TRIPS),
            is_ready=ready,
            tip="Key Ctrl+Enter." if ready else line,
        )

    def hint(self) -> str:
        """Say what to begin with."""
        one = self.desk.open
        if one is None:
            return ""
        if self.suggested.has_any:
            return "<b>Click</b> a dashed outline: it is only a guess."
        kinds = {mark.kind for mark in one.place.marks}
        if MarkKind.BED not in kinds:
            return "Where do deer bed? Click <b>Bed</b>, then click around the place."
        if MarkKind.FOOD not in kinds:
            return "What do they walk to? Click <b>Food</b>, then click around it."
        return "<b>Click</b> a mark to take it in hand. <b>Drag</b> to look around."

    def refresh(self) -> None:
        """Show counts, and the list or the card."""
        one = self.desk.open
        marks = one.place.marks if one is not None else ()
        for kind in FIRST_KINDS:
            n = sum(mark.kind is kind for mark in marks)
            tile = self.kinds[kind]
            if isinstance(tile, Tile):
                tile.set_line(f"{n} drawn" if n else "none yet")
        in_hand = one.in_hand if one is not None else None
        self.foot_changed.emit()
        self.suggested.refresh()
        if in_hand is not None and self.card is not None and self.card.mark.key == in_hand.key:
            self.card.show_mark(in_hand)
            return
        state = (in_hand, tuple((mark.key, mark.name, mark.who) for mark in marks))
        if state == self._seen:
            return
        self._seen = state
        clear(self._below)
        self.card = None
        if in_hand is not None:
            self._show_card(in_hand, len(marks))
        else:
            self._show_list(marks)

    def _show_card(self, mark: Mark, n_marks: int) -> None:
        """Show the card of the mark in hand."""
        back = link(f"‹ All {said_count(n_marks, 'mark')}", self._back, tip="Put it down. Key Esc.")
        self._below.addWidget(back)
        self._below.addSpacing(4)
        self.card = MarkCard(self.desk, mark)
        self._below.addWidget(self.card)

    def _back(self) -> None:
        """Put the mark down."""
        if self.desk.open is not None:
            self.desk.open.take_in_hand("")

    def _show_list(self, marks: tuple[Mark, ...]) -> None:
        """Show all marks by kind."""
        if not marks:
            self._below.addWidget(label("Nothing drawn yet.", "second"))
            return
        order = list(KINDS)
        for mark in sorted(marks, key=lambda one: order.index(one.kind)):
            row = MarkRow(mark)
            row.clicked.connect(lambda _checked=False, key=mark.key: self._take(key))
            self._below.addWidget(row)

    def _take(self, key: str) -> None:
        """Take a mark in hand."""
        if self.desk.open is not None:
            self.desk.open.take_in_hand(key)
