"""The window: regions and wiring; no logic of its own."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from typing import Final

from PyQt5.QtCore import QRect, Qt
from PyQt5.QtGui import (
    QCloseEvent,
    QDragEnterEvent,
    QDragLeaveEvent,
    QDropEvent,
    QKeyEvent,
    QResizeEvent,
)
from PyQt5.QtWidgets import (
    QApplication,
    QDialog,
    QHBoxLayout,
    QMainWindow,
    QMenu,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from funnelfinder.marks import MarkKind
from funnelfinder.units import acres, said_area

from .backdrop_work import BackdropWork
from .canvas.pane import MapPane
from .canvas.show_slip import ShowList
from .canvas.slip import Slip, SlipWords
from .desk import Desk
from .dialogs.files import choose_backdrop, choose_grids, choose_property
from .dialogs.keys import KeysPage
from .dialogs.questions import Question
from .drop import DropFrame
from .frame.column import Column
from .frame.header import Header
from .ground_work import GroundWork
from .kinds import KINDS
from .look import program_icon, set_text_scale, text_scale
from .look.said import said_clock, system
from .look.style import sheet
from .map_work import MapWork
from .opening import Opening
from .panels.ground import GroundPanel
from .panels.later import LaterPanel
from .panels.marks import MarksPanel
from .panels.spots import SpotsPanel
from .panels.start import StartPage
from .panels.step import StepPanel
from .panels.take_along import TakeAlongPanel
from .panels.trips import TripsPanel
from .remembered import Recent, remember_property
from .runs import Runs
from .stops import STOPS, Stop, profile, stop_states

_DRAWER_BELOW: Final = 900
_LOW_BELOW: Final = 520
_STEP_SIZE: Final = 0.1


class MainWindow(QMainWindow):
    """Header, column and map, or the start."""

    def __init__(self) -> None:
        super().__init__()
        self.setWindowTitle("Funnelfinder")
        self.setWindowIcon(program_icon())
        self.setAcceptDrops(True)
        self.setMinimumSize(560, 320)
        self.desk = Desk(self)
        self.header = Header()
        self.column = Column()
        self.map = MapPane()
        self.start = StartPage(self.desk.preferences.units)
        self._lay_out()
        self.desk.lay_slip = self._lay_slip
        self.opening = Opening(self.desk)
        self.map_work = MapWork(self.desk, self.map)
        self.backdrop_work = BackdropWork(self.desk, self.map, self.opening, self.map_work)
        self.ground_work = GroundWork(self.desk, self.map)
        self.runs = Runs(self.desk)
        self.panels: dict[Stop, StepPanel] = self._make_panels()
        self.map_work.idle_hint = self._idle_hint
        self.drop_frame = DropFrame(self)
        self._is_drawer_open = False
        #: Something to say at the step where the property was opened, until the first change.
        self._notice: tuple[Stop, str] | None = None
        self._wire()
        self._show_opened()

    # Layout

    def _lay_out(self) -> None:
        """Put header, column and map in their places."""
        self.work_page = QWidget()
        self.work_page.setObjectName("paper")
        outer = QVBoxLayout(self.work_page)
        outer.setContentsMargins(0, 0, 0, 0)
        outer.setSpacing(0)
        outer.addWidget(self.header)
        self._below = QWidget()
        self._row = QHBoxLayout(self._below)
        self._row.setContentsMargins(0, 0, 0, 0)
        self._row.setSpacing(0)
        self._row.addWidget(self.column)
        self._row.addWidget(self.map, 1)
        outer.addWidget(self._below, 1)
        self.pages = QStackedWidget()
        self.pages.addWidget(self.start)
        self.pages.addWidget(self.work_page)
        self.setCentralWidget(self.pages)

    def _make_panels(self) -> dict[Stop, StepPanel]:
        """Return the panel of every stop; a further step is one line here and one file."""
        panels: tuple[StepPanel, ...] = (
            GroundPanel(
                self.desk,
                add_grids=self._choose_grids,
                shape_boundary=self.map_work.shape_boundary,
                waiting=self._waiting,
            ),
            MarksPanel(self.desk, draw=self._draw),
            TripsPanel(
                self.desk,
                run=self.runs.run,
                can_run=lambda: self.runs.can_run,
                is_up_to_date=lambda: self.runs.is_up_to_date,
            ),
            SpotsPanel(self.desk),
            TakeAlongPanel(self.desk),
            LaterPanel(self.desk),
        )
        return {panel.stop: panel for panel in panels}

    @property
    def panel(self) -> StepPanel:
        """The panel of the step that is shown."""
        return self.panels[self.desk.here]

    @property
    def marks_panel(self) -> MarksPanel:
        """The panel of the marks."""
        panel = self.panels[Stop.MARKS]
        assert isinstance(panel, MarksPanel)
        return panel

    def _wire(self) -> None:
        """Connect what tells to what shows."""
        desk = self.desk
        desk.opened.connect(self._show_opened)
        desk.changed.connect(self._refresh)
        desk.grids_changed.connect(self._show_profile)
        desk.findings_changed.connect(self._show_findings)
        desk.hand_changed.connect(self._in_hand)
        desk.kept_changed.connect(self._show_kept)
        desk.went_to.connect(self._show_step)
        desk.work_changed.connect(self._show_work)
        desk.preferences_changed.connect(self._refresh)
        self.opening.waiting_changed.connect(self._refresh)
        self.map_work.drawn.connect(self.marks_panel.show_drawing)
        self.map_work.measuring.connect(self.map.tools.buttons["Measure"].setChecked)
        self.map.view.resized.connect(self._keep_whole)
        self.map.slip_closed.connect(self._slip_closed)
        self.backdrop_work.sketching.connect(self._show_sketching)
        self.start.wanted.connect(self._begin)
        self.start.chosen.connect(lambda path: self.opening.open_property(Path(path)))
        header = self.header
        header.footpath.gone_to.connect(self.go_to)
        header.name_clicked.connect(self._show_name_menu)
        header.undo.clicked.connect(lambda _checked=False: self.undo())
        header.redo.clicked.connect(lambda _checked=False: self.redo())
        header.help.clicked.connect(lambda _checked=False: self.show_keys())
        header.undo.setContextMenuPolicy(Qt.CustomContextMenu)
        header.undo.customContextMenuRequested.connect(lambda _at: self._show_sitting())
        tools = self.map.tools.buttons
        tools["Closer"].clicked.connect(lambda _checked=False: self.map.view.closer(1))
        tools["Farther"].clicked.connect(lambda _checked=False: self.map.view.closer(-1))
        tools["Whole"].clicked.connect(lambda _checked=False: self.map_work.whole())
        tools["Measure"].clicked.connect(lambda _checked=False: self.map_work.measure())
        tools["Show"].clicked.connect(lambda _checked=False: self.show_layers())

    # What is shown

    def _show_opened(self) -> None:
        """Show the start, or the property that was opened."""
        one = self.desk.open
        self.pages.setCurrentWidget(self.start if one is None else self.work_page)
        if one is None:
            self.start.refresh()
            self.setWindowTitle("Funnelfinder")
            return
        self._show_profile()
        self._show_findings()
        self._show_step(self.desk.here)
        self.map.focus_map()
        if one.was_left_open is not None:
            at = said_clock(one.was_left_open)
            self._notice = (
                self.desk.here,
                f"The window closed without a goodbye at {at}. All is here up to your last change.",
            )
            self.map.say(self._hint())

    def _show_sketching(self, is_sketching: bool) -> None:
        """Show the map for a boundary that is drawn before there is a property."""
        if is_sketching:
            self.desk.here = Stop.GROUND
            self.pages.setCurrentWidget(self.work_page)
            self.column.show_panel(self.panels[Stop.GROUND])
            self.panels[Stop.GROUND].refresh()
            self.header.show_name("", "")
            self.header.footpath.show_states(stop_states(None, None, None), Stop.GROUND)
            # The map must have its size before the whole is fitted into it.
            QApplication.processEvents()

    def _refresh(self) -> None:
        """Show the property as it is now."""
        one = self.desk.open
        if one is None:
            return
        self.setWindowTitle(f"{one.place.name} – Funnelfinder")
        history = one.history
        undo, redo = history.next_undo, history.next_redo
        self.header.show_history(undo.name if undo else "", redo.name if redo else "")
        states = stop_states(
            one.place, one.grids, one.findings, is_up_to_date=self.runs.is_up_to_date
        )
        self.header.footpath.show_states(states, self.desk.here)
        self.ground_work.show_up_to_date(self.runs.is_up_to_date)
        self._show_kept()
        self.panel.refresh()
        self.map.say(self._hint())

    def _show_profile(self) -> None:
        """Lay the footpath over the property's own profile."""
        one = self.desk.open
        self.header.footpath.show_profile(profile(one.grids if one is not None else None))

    def _show_findings(self) -> None:
        """Show passage."""
        one = self.desk.open
        if one is None or one.findings is None:
            self.ground_work.show_passage(None)
        else:
            self.ground_work.is_up_to_date = self.runs.is_up_to_date
            self.ground_work.show_passage(one.findings.passage, one.findings.grid)

    def _show_kept(self) -> None:
        """Say that all is kept, or what is held."""
        one = self.desk.open
        if one is None:
            return
        area = said_area(one.place.boundary.area, system(self.desk.preferences.units))
        if one.is_only_looking:
            kept = "Only looking"
        elif one.unkept is not None:
            kept = "Not all is kept yet"
        else:
            kept = f"All kept, {said_clock(one.kept_at)}"
        self.header.show_name(one.place.name, f"{area} · {kept}")
        if one.unkept is not None and self.map.slip is None:
            error, deed = one.unkept
            said = str(error).rstrip(".")
            self._lay_slip(
                SlipWords(
                    title="Not kept yet",
                    body=f"{said}. Your last change, {deed}, is held and written as soon as "
                    "that can be.",
                    actions=(("Try again", one.keeper.try_again),),
                    is_trouble=True,
                )
            )

    def _show_step(self, stop: Stop) -> None:
        """Show a step."""
        panel = self.panels[stop]
        before = self.column.panel
        if before is not None and before is not panel:
            before.left()
        self.column.show_panel(panel)
        if before is not panel:
            panel.entered()
            if stop is not Stop.MARKS:
                self.map_work.put_down()
        self._refresh()
        self.map.say(self._hint())

    def _show_work(self) -> None:
        """Show how far long work is."""
        work = self.desk.work
        self.header.footpath.show_progress(work.share if work is not None else None)
        self.start.note.setText(
            f"{work.words}…"
            if work is not None
            else "Everything stays on this computer. Nothing is sent anywhere."
        )
        self.column.show_foot()

    def _hint(self) -> str:
        """Return what the map says now."""
        gesture = self.map.view.gesture
        return self._idle_hint() if gesture.is_idle else gesture.hint

    def _idle_hint(self) -> str:
        """Return what the map says while the hand is empty."""
        one = self.desk.open
        if one is None:
            return ""
        if self._notice is not None and self._notice[0] is self.desk.here and not one.history.names:
            return self._notice[1]
        self._notice = None
        return self.panel.hint()

    def _in_hand(self, key: str) -> None:
        """Go to the marks when one is taken in hand."""
        if key and self.desk.here is not Stop.MARKS:
            self.desk.go_to(Stop.MARKS)
        self._refresh()

    def _lay_slip(self, words: SlipWords) -> Slip | None:
        """Lay a slip on the map, or say it at the start."""
        if self.desk.open is None and not self.backdrop_work.is_sketching:
            self.start.say_trouble(words)
            return None
        self.map.tools.buttons["Show"].setChecked(False)
        return self.map.tell(words)

    def _slip_closed(self) -> None:
        """Note that the slip went."""
        self.map.tools.buttons["Show"].setChecked(False)

    def _keep_whole(self) -> None:
        """Look at the whole again until the person looked elsewhere."""
        if self.desk.open is not None and not self.map.view.was_moved_by_hand:
            self.map_work.whole()

    def show_layers(self) -> None:
        """Open or close the slip of Show."""
        button = self.map.tools.buttons["Show"]
        slip = self.map.slip
        if slip is not None and isinstance(slip.words.content, ShowList):
            self.map.close_slip()
            return
        layers = ShowList(self.desk.preferences)
        layers.changed.connect(self.desk.show_layer)
        self.map.tell(SlipWords(title="On the map", content=layers, width=290))
        button.setChecked(True)

    # Deeds

    def go_to(self, stop: Stop) -> None:
        """Go to a step; in narrow windows the stop one is at opens and closes the drawer."""
        if self._is_narrow():
            self._is_drawer_open = stop is not self.desk.here or not self._is_drawer_open
            self._lay_drawer()
        self.desk.go_to(stop)

    def undo(self) -> None:
        """Take the last change back."""
        if self.desk.open is not None:
            self.desk.open.undo()

    def redo(self) -> None:
        """Do it again."""
        if self.desk.open is not None:
            self.desk.open.redo()

    def open_files(self, paths: Sequence[Path]) -> None:
        """Open files that were dropped or chosen."""
        if paths:
            self.opening.open_files(list(paths))

    def show_keys(self) -> None:
        """Show all keys on one page."""
        page = KeysPage(self)
        page.setAttribute(Qt.WA_DeleteOnClose)
        page.open()

    def _begin(self, way: str) -> None:
        """Begin in one of the three ways."""
        if way == "open":
            self.open_files(choose_property(self))
        elif way == "draw":
            self.open_files(choose_backdrop(self))
        else:
            self.opening.open_sample()

    def _choose_grids(self) -> None:
        """Ask for grids."""
        paths = choose_grids(self)
        if paths:
            self.opening.add_grids(paths)

    def _waiting(self) -> tuple[str, str]:
        """Return the names of the grids that wait for the other kind."""
        return (
            ", ".join(path.name for path in self.opening.elevation),
            ", ".join(path.name for path in self.opening.cover),
        )

    def _show_name_menu(self) -> None:
        """Offer recent properties, a new one, close, and how numbers are written."""
        menu = QMenu(self)
        menu.addAction("Open…", lambda: self._begin("open"))
        menu.addAction("Walk over the sample", lambda: self._begin("sample"))
        menu.addSeparator()
        metric = menu.addAction("Metres and hectares")
        metric.setCheckable(True)
        metric.setChecked(self.desk.is_metric)
        metric.toggled.connect(self._set_metric)
        menu.addSeparator()
        menu.addAction("Close this property").triggered.connect(
            lambda _checked=False: self.close_property()
        )
        menu.setAttribute(Qt.WA_DeleteOnClose)
        menu.popup(self.header.name.mapToGlobal(self.header.name.rect().bottomLeft()))

    def _set_metric(self, is_metric: bool) -> None:
        """Write numbers in metres or in yards."""
        units = "metric" if is_metric else "yards"
        self.desk.prefer(replace(self.desk.preferences, units=units))

    def _show_sitting(self) -> None:
        """Show the whole sitting as a list to go back to."""
        one = self.desk.open
        if one is None:
            return
        menu = QMenu(self)
        menu.setAttribute(Qt.WA_DeleteOnClose)
        for number, name in reversed(list(enumerate(one.history.names, start=1))):
            deed = menu.addAction(name[:1].upper() + name[1:])
            deed.setEnabled(number != one.history.n_done)
            deed.triggered.connect(lambda _checked=False, number=number: one.go_to(number))
        menu.addAction("As it was opened", lambda: one.go_to(0))
        menu.popup(self.header.undo.mapToGlobal(self.header.undo.rect().bottomLeft()))

    def close_property(self) -> bool:
        """Close the property and show the start; false if the person stays."""
        one = self.desk.open
        if one is None:
            self.desk.set_open(None)
            return True
        self.desk.stop_work()
        self._remember()
        if not one.close():
            stay = Question(
                "A change is not written yet",
                f"{one.unkept[0] if one.unkept else ''} If you leave now, the change is lost.",
                "Stay",
                "Leave without it",
                self,
            )
            if stay.exec_() == QDialog.Accepted:
                return False
            one.keeper.forget()
            one.let_go()
        self.map.close_slip()
        self.desk.set_open(None)
        return True

    def _remember(self) -> None:
        """Remember the property among those of late, with a small picture."""
        one = self.desk.open
        if one is None:
            return
        states = stop_states(
            one.place, one.grids, one.findings, is_up_to_date=self.runs.is_up_to_date
        )
        reached = [state for state in states if state.sign.name != "NOT_YET"]
        recent = Recent(
            path=str(one.path.resolve()),
            name=one.place.name,
            acres=acres(one.place.boundary.area),
            when=datetime.now().isoformat(timespec="minutes"),
            step=self.desk.here.value,
            words=f"{reached[-1].stop.value}: {reached[-1].words}" if reached else "",
        )
        remember_property(recent)
        picture = self.ground_work.small_picture()
        if picture is not None:
            picture.save(str(recent.picture))

    # Events

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Follow the rules for narrow and low windows."""
        super().resizeEvent(event)
        self._fit()

    def _is_narrow(self) -> bool:
        """Return whether the column is a drawer."""
        return self.width() < _DRAWER_BELOW * text_scale()

    def _fit(self) -> None:
        """Give header and column their sizes."""
        scale = text_scale()
        wide, high = self.width() / scale, self.height() / scale
        is_low = high < _LOW_BELOW
        header = 48 if is_low else 76 if high < 800 else 92
        column = 440 if wide >= 2200 else 368 if wide >= 1400 else 320
        self.header.setFixedHeight(round(header * scale))
        self.header.set_low(is_low)
        width = round(column * scale)
        narrow = self._is_narrow()
        left = round(150 * scale) if narrow else width
        self.header.set_left_width(left)
        self.column.setFixedWidth(min(width, self.width() - 60))
        self.column.set_low(high < 800)
        self._lay_drawer()

    def _lay_drawer(self) -> None:
        """Let the column lie over the map in narrow windows."""
        is_drawer = self._is_narrow()
        if is_drawer and self._row.indexOf(self.column) >= 0:
            self._row.removeWidget(self.column)
            self.column.setParent(self._below)
            self._is_drawer_open = True
        elif not is_drawer and self._row.indexOf(self.column) < 0:
            self._row.insertWidget(0, self.column)
        if is_drawer:
            high = self.height() - self.header.height()
            self.column.setGeometry(QRect(0, 0, self.column.width(), high))
            self.column.setVisible(self._is_drawer_open)
            self.column.raise_()
        else:
            self.column.show()
        covers = is_drawer and self._is_drawer_open
        self.map.set_left_cover(self.column.width() if covers else 0)
        self._keep_whole()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Use the keys of the whole window."""
        if not self._use_key(event):
            super().keyPressEvent(event)

    def _use_key(self, event: QKeyEvent) -> bool:
        """Return whether a key meant something here."""
        if event.key() == Qt.Key_F1:
            self.show_keys()
            return True
        has_control = bool(event.modifiers() & Qt.ControlModifier)
        if has_control:
            return self._use_control_key(event)
        if self.desk.open is None:
            return False
        return self._use_map_key(event)

    def _use_control_key(self, event: QKeyEvent) -> bool:
        """Use Ctrl with a key."""
        key, is_shift = event.key(), bool(event.modifiers() & Qt.ShiftModifier)
        if key == Qt.Key_Z and not is_shift:
            self.undo()
        elif key in (Qt.Key_Y, Qt.Key_Z):
            self.redo()
        elif key == Qt.Key_O:
            self._begin("open")
        elif key in (Qt.Key_Return, Qt.Key_Enter):
            self.column.press()
        elif Qt.Key_1 <= key <= Qt.Key_6 and self.desk.open is not None:
            self.go_to(STOPS[key - Qt.Key_1])
        elif key in (Qt.Key_Plus, Qt.Key_Equal, Qt.Key_Minus):
            self.set_text_size(text_scale() + (-_STEP_SIZE if key == Qt.Key_Minus else _STEP_SIZE))
        else:
            return False
        return True

    def _use_map_key(self, event: QKeyEvent) -> bool:
        """Use a key that works on the map."""
        text = event.text().upper()
        kinds = {one.key: kind for kind, one in KINDS.items() if one.key}
        if self._use_looking_key(event.key()) or self._use_card_key(event.key(), text):
            return True
        if text == "M":
            self.map_work.measure()
        elif text == "S" and self.desk.here is Stop.MARKS:
            self.marks_panel.show_more("sign")
        elif event.key() == Qt.Key_Delete:
            self.map_work.remove_in_hand()
        elif event.key() == Qt.Key_Escape:
            self._step_back()
        elif text in kinds:
            self.start_drawing(kinds[text])
        else:
            return False
        return True

    def _use_looking_key(self, key: int) -> bool:
        """Use a key that looks elsewhere."""
        if key == Qt.Key_F6:
            self._next_region()
        elif key in (Qt.Key_Plus, Qt.Key_Equal):
            self.map.view.closer(1)
        elif key == Qt.Key_Minus:
            self.map.view.closer(-1)
        elif key == Qt.Key_0:
            self.map_work.whole()
        else:
            return False
        return True

    def _use_card_key(self, key: int, text: str) -> bool:
        """Use a key of the mark in hand."""
        card = self.marks_panel.card
        if card is None:
            return False
        if key == Qt.Key_F2:
            card.write_name()
        elif text == "N":
            card.write_note()
        elif text in ("[", "]"):
            card.step_use(-1 if text == "[" else 1)
        else:
            return False
        return True

    def start_drawing(self, kind: MarkKind) -> None:
        """Go to the marks and draw."""
        if self.desk.here is not Stop.MARKS:
            self.desk.go_to(Stop.MARKS)
        self._draw(kind)

    def _draw(self, kind: MarkKind) -> None:
        """Begin to draw; a drawer makes way."""
        self._is_drawer_open = False
        self._lay_drawer()
        self.map_work.draw(kind)

    def _step_back(self) -> None:
        """Step back once: slip, hand, work."""
        if self.map.slip is not None:
            self.map.close_slip()
        elif self.desk.open is not None and self.desk.open.in_hand is not None:
            self.map_work.put_down()
        elif self.desk.work is not None:
            self.desk.stop_work()

    def _next_region(self) -> None:
        """Move the keys to the next region: header, column, foot, map, slip."""
        regions: list[QWidget] = [
            self.header.footpath.buttons[self.desk.here],
            self.column.pages,
            self.column.button,
            self.map.view,
        ]
        if self.map.slip is not None:
            regions.append(self.map.slip)
        here = QApplication.focusWidget()
        number = next(
            (
                i
                for i, region in enumerate(regions)
                if here is not None and (region is here or region.isAncestorOf(here))
            ),
            -1,
        )
        target = regions[(number + 1) % len(regions)]
        if target is self.column.pages:
            self.panel.take_focus()
        else:
            target.setFocus(Qt.TabFocusReason)

    def set_text_size(self, scale: float) -> None:
        """Read larger or smaller; the layout follows as in a smaller window."""
        kept = set_text_scale(scale)
        app = QApplication.instance()
        if isinstance(app, QApplication):
            app.setStyleSheet(sheet())
        self.desk.prefer(replace(self.desk.preferences, text_scale=kept))
        self._fit()
        for widget in self.findChildren(QWidget):
            widget.updateGeometry()
            widget.update()
        self.map.lay_out()

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        """Show whether a file can be opened."""
        paths = _dragged(event)
        if paths:
            self.drop_frame.show_for(paths, can_read=Opening.can_read(paths))
            event.acceptProposedAction()

    def dragLeaveEvent(self, event: QDragLeaveEvent) -> None:
        """Take the frame away."""
        self.drop_frame.hide()

    def dropEvent(self, event: QDropEvent) -> None:
        """Open what was dropped."""
        self.drop_frame.hide()
        self.open_files(_dragged(event))
        event.acceptProposedAction()

    def closeEvent(self, event: QCloseEvent) -> None:
        """Leave only when all is written."""
        if self.close_property():
            self.runs.close()
            event.accept()
        else:
            event.ignore()


def _dragged(event: QDropEvent) -> list[Path]:
    """Return the files that a drag carries."""
    return [Path(url.toLocalFile()) for url in event.mimeData().urls() if url.isLocalFile()]
