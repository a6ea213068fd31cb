"""The card of the mark in hand: name, who or crop, use, note, sizes, take away."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PyQt5.QtCore import QRectF, Qt, pyqtSignal
from PyQt5.QtGui import QColor, QKeyEvent, QPainter, QPaintEvent
from PyQt5.QtWidgets import (
    QComboBox,
    QDoubleSpinBox,
    QFrame,
    QHBoxLayout,
    QLineEdit,
    QPlainTextEdit,
    QVBoxLayout,
    QWidget,
)

from funnelfinder.errors import FunnelFinderError
from funnelfinder.marks import WHO, WOODS_FOOD, Mark, MarkKind
from funnelfinder.units import FOOT_M, YARD_M, said_area, said_length

from .. import edits
from ..controls import (
    USE_STOPS,
    USE_WORDS,
    FiveStops,
    Segments,
    label,
    link,
    nearest_use,
    rule,
    semibold,
)
from ..kinds import KINDS
from ..look import colours
from ..look.icons import draw_icon
from ..look.said import system

if TYPE_CHECKING:
    from ..desk import Desk

_CROPS = (
    "",
    "corn",
    "soybeans",
    "clover",
    "alfalfa",
    "hay",
    "winter wheat",
    "oats",
    "brassicas",
    *sorted(WOODS_FOOD),
)
_WEIGHTED = (MarkKind.BED, MarkKind.FOOD)
_WIDE = (MarkKind.CREEK, MarkKind.GAP, MarkKind.CROSSING)


class _Sign(QWidget):
    """The icon of a kind."""

    def __init__(self, icon: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._icon = icon
        self.setFixedSize(30, 30)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw it in petrol: it is in the hand."""
        painter = QPainter(self)
        try:
            draw_icon(painter, self._icon, QRectF(1, 1, 28, 28), QColor(colours.PETROL))
        finally:
            painter.end()


class NoteEdit(QPlainTextEdit):
    """A note that is kept when one leaves it."""

    left = pyqtSignal()

    def focusOutEvent(self, event: object) -> None:
        """Keep what was written."""
        super().focusOutEvent(event)  # type: ignore[arg-type]
        self.left.emit()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Leave on Escape and Ctrl+Enter."""
        is_end = event.key() in (Qt.Key_Return, Qt.Key_Enter) and (
            event.modifiers() & Qt.ControlModifier
        )
        if event.key() == Qt.Key_Escape or is_end:
            self.clearFocus()
            self.left.emit()
            return
        super().keyPressEvent(event)


class MarkCard(QFrame):
    """All that is said of one mark."""

    def __init__(self, desk: Desk, mark: Mark) -> None:
        super().__init__()
        self.setObjectName("card")
        self._desk = desk
        self.mark = mark
        self._is_showing = False
        words = KINDS[mark.kind]
        self.setAccessibleName(f"{words.word} in hand")
        column = QVBoxLayout(self)
        column.setContentsMargins(13, 12, 13, 12)
        column.setSpacing(8)
        column.addLayout(self._head())
        self._who: Segments | None = None
        self._crop: QComboBox | None = None
        self.use: FiveStops | None = None
        self._sizes: dict[str, QDoubleSpinBox] = {}
        if mark.kind is MarkKind.BED:
            column.addWidget(self._who_row())
        if mark.kind is MarkKind.FOOD:
            column.addLayout(self._crop_row())
        if mark.kind in _WEIGHTED:
            column.addLayout(self._use_rows())
        if mark.kind is MarkKind.FENCE:
            column.addLayout(self._size_row("height_m", "Height", "ft", FOOT_M, 14))
        if mark.kind in _WIDE:
            column.addLayout(self._size_row("width_m", "Width", "yd", YARD_M, 60))
        if mark.kind is MarkKind.COVER:
            column.addLayout(self._cover_row())
        self.trips = label("", "plain")
        self.trips.hide()
        column.addWidget(self.trips)
        self.note = NoteEdit()
        self.note.setAccessibleName("Note")
        self.note.setPlaceholderText("A note")
        self.note.setFixedHeight(74)
        self.note.setTabChangesFocus(True)
        self.note.left.connect(self._noted)
        column.addWidget(self.note)
        self.note.setVisible(bool(mark.note))
        column.addWidget(rule())
        column.addLayout(self._deeds())
        self.show_mark(mark)

    def _head(self) -> QHBoxLayout:
        """Return icon, name and size."""
        head = QHBoxLayout()
        head.setSpacing(8)
        head.addWidget(_Sign(KINDS[self.mark.kind].icon))
        self.name = QLineEdit()
        self.name.setProperty("kind", "thing")
        self.name.setAccessibleName("Name")
        self.name.setPlaceholderText(KINDS[self.mark.kind].word)
        self.name.setToolTip("Click to name it. Key F2.")
        self.name.editingFinished.connect(self._named)
        head.addWidget(self.name, 1)
        self.extent = label("", "small", is_wrapped=False)
        head.addWidget(self.extent)
        return head

    def _who_row(self) -> Segments:
        """Return the choice of who beds."""
        self._who = Segments(WHO, name="Who beds here")
        self._who.chosen.connect(lambda who: self._describe("who beds at", who=who))
        return self._who

    def _crop_row(self) -> QHBoxLayout:
        """Return the choice of what grows."""
        row = QHBoxLayout()
        row.addWidget(label("What grows", "plain", is_wrapped=False))
        self._crop = QComboBox()
        self._crop.setEditable(True)
        self._crop.addItems(_CROPS)
        self._crop.setAccessibleName("What grows here")
        self._crop.setToolTip("Acorns, apples and browse leave the woods standing; crops do not.")
        self._crop.activated.connect(lambda _index: self._cropped())
        self._crop.lineEdit().editingFinished.connect(self._cropped)
        row.addWidget(self._crop, 1)
        return row

    def _use_rows(self) -> QVBoxLayout:
        """Return the slider of how much it is used."""
        rows = QVBoxLayout()
        rows.setSpacing(0)
        head = QHBoxLayout()
        head.addWidget(label("Used", "plain", is_wrapped=False))
        head.addStretch(1)
        self._use_words = label("", "plain", is_wrapped=False)
        head.addWidget(self._use_words)
        rows.addLayout(head)
        self.use = FiveStops(name="How much it is used")
        self.use.setToolTip("From a quarter of the others to four times as much. Keys [ and ].")
        self.use.moved.connect(
            lambda stop: self._use_words.setText(semibold(f"<b>{USE_WORDS[stop]}</b>"))
        )
        self.use.chosen.connect(self._used)
        rows.addWidget(self.use)
        ends = QHBoxLayout()
        ends.addWidget(label(USE_WORDS[0], "small", is_wrapped=False))
        ends.addStretch(1)
        ends.addWidget(label(USE_WORDS[-1], "small", is_wrapped=False))
        rows.addLayout(ends)
        return rows

    def _size_row(
        self, field: str, word: str, unit: str, unit_m: float, most: float
    ) -> QHBoxLayout:
        """Return the entry of a height or width; empty is unknown."""
        row = QHBoxLayout()
        row.addWidget(label(word, "plain", is_wrapped=False))
        row.addStretch(1)
        box = QDoubleSpinBox()
        box.setRange(0.0, most)
        box.setDecimals(1)
        box.setButtonSymbols(QDoubleSpinBox.NoButtons)
        box.setSingleStep(0.5)
        box.setSuffix(f" {unit}")
        box.setSpecialValueText("not known")
        box.setAccessibleName(f"{word} in {unit}")
        box.setProperty("unit_m", unit_m)
        box.setKeyboardTracking(False)
        box.valueChanged.connect(
            lambda value, field=field, word=word: self._describe(
                f"the {word.lower()} of",
                group=f"{field} {self.mark.key}",
                **{field: value * unit_m if value > 0 else None},
            )
        )
        self._sizes[field] = box
        row.addWidget(box)
        return row

    def _cover_row(self) -> QHBoxLayout:
        """Return the choice of the class that the cover is painted with."""
        row = QHBoxLayout()
        row.addWidget(label("Paint as", "plain", is_wrapped=False))
        self._cover = QComboBox()
        self._cover.setAccessibleName("Paint the cover as")
        one = self._desk.open
        classes = one.place.cover_table.classes if one is not None else ()
        self._cover.addItem("choose…", None)
        for known in classes:
            if not known.is_hole:
                self._cover.addItem(known.name, known.code)
        self._cover.activated.connect(
            lambda _index: self._describe("the cover of", cover_class=self._cover.currentData())
        )
        row.addWidget(self._cover, 1)
        return row

    def _deeds(self) -> QHBoxLayout:
        """Return note and take away."""
        row = QHBoxLayout()
        self.add_note = link("Add a note", self.write_note, tip="Key N.")
        row.addWidget(self.add_note)
        row.addStretch(1)
        word = KINDS[self.mark.kind].word.lower()
        take = link("Take it away", self._remove, tip="Undo brings it back. Key Delete.")
        take.setAccessibleName(f"Take this {word} away")
        row.addWidget(take)
        return row

    def show_mark(self, mark: Mark) -> None:
        """Show another state of the same mark."""
        self._is_showing = True
        self.mark = mark
        if not self.name.hasFocus():
            self.name.setText(mark.name)
            self.name.setCursorPosition(0)
        units = system(self._desk.preferences.units)
        area, length = mark.geometry.area, mark.geometry.length
        self.extent.setText(
            said_area(area, units) if area else said_length(length, units) if length else ""
        )
        if self._who is not None:
            self._who.choose(mark.who)
        if self._crop is not None and not self._crop.lineEdit().hasFocus():
            self._crop.setCurrentText(mark.crop)
        if self.use is not None:
            self.use.choose(nearest_use(mark.weight))
            self._use_words.setText(semibold(f"<b>{USE_WORDS[self.use.stop]}</b>"))
        for field, box in self._sizes.items():
            value = getattr(mark, field)
            box.setValue(0.0 if value is None else value / box.property("unit_m"))
        if mark.kind is MarkKind.COVER:
            self._cover.setCurrentIndex(max(self._cover.findData(mark.cover_class), 0))
        if not self.note.hasFocus():
            self.note.setPlainText(mark.note)
            self.note.setVisible(bool(mark.note))
        self.add_note.setText("Change the note" if mark.note else "Add a note")
        self._is_showing = False

    def show_trips(self, words: str) -> None:
        """Say how many trips start or end here; the words are the findings'."""
        self.trips.setText(words)
        self.trips.setVisible(bool(words))

    def write_name(self) -> None:
        """Begin to name it."""
        self.name.setFocus(Qt.ShortcutFocusReason)
        self.name.selectAll()

    def write_note(self) -> None:
        """Begin to write a note."""
        self.note.show()
        self.note.setFocus(Qt.ShortcutFocusReason)

    def step_use(self, step: int) -> None:
        """Use it more or less."""
        if self.use is not None:
            stop = min(max(self.use.stop + step, 0), len(USE_STOPS) - 1)
            self._used(stop)

    def _describe(self, what: str, *, group: str = "", **changes: object) -> None:
        """Change what is said of the mark."""
        if self._is_showing:
            return
        edit = edits.describe_mark(self.mark, f"{what} {self.mark.label}", group=group, **changes)
        self._desk.do(edit)

    def _named(self) -> None:
        """Keep a typed name."""
        name = self.name.text().strip()
        if not self._is_showing and name != self.mark.name:
            self._desk.do(edits.rename_mark(self.mark, name))

    def _cropped(self) -> None:
        """Keep what grows."""
        if self._crop is not None and self._crop.currentText().strip() != self.mark.crop:
            self._describe("what grows at", crop=self._crop.currentText().strip())

    def _used(self, stop: int) -> None:
        """Keep how much it is used."""
        try:
            self._describe("the use of", group=f"use {self.mark.key}", weight=USE_STOPS[stop])
        except FunnelFinderError as error:
            self._desk.tell_error(error)

    def _noted(self) -> None:
        """Keep the note."""
        text = self.note.toPlainText().strip()
        if text != self.mark.note:
            self._describe("the note on", note=text)
        self.note.setVisible(bool(text))

    def _remove(self) -> None:
        """Take the mark away."""
        self._desk.do(edits.remove_mark(self.mark))
