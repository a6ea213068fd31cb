"""The window: regions and wiring; no logic of its own."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from PyQt5.QtCore import Qt
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
    QHBoxLayout,
    QMainWindow,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from funnelfinder.marks import MarkKind
from funnelfinder.units import said_clock

from .backdrop_work import BackdropWork
from .canvas.pane import MapPane
from .canvas.show_slip import ShowList
from .canvas.slip import Slip, SlipWords
from .controls import semibold
from .desk import Desk
from .dialogs.files import choose_backdrop, choose_grids, choose_property
from .dialogs.keys import KeysPage
from .drop import DropFrame, dragged_files
from .fitting import Fitting
from .following import Following
from .frame.bench import Bench
from .frame.column import Column
from .frame.header import Header
from .ground_work import GroundWork
from .keys import WindowKeys
from .leaving import Leaving
from .look import program_icon
from .map_work import MapWork
from .menus import WindowMenus
from .opening import Opening
from .panels.cover_table import TITLE as TABLE_TITLE
from .panels.cover_table import CoverTablePage
from .panels.marks import MarksPanel
from .panels.start import StartPage
from .panels.step import StepPanel
from .runs import Runs
from .showing import Showing
from .spot_work import SpotWork
from .steps import make_panels
from .stops import Stop, stop_states
from .tending import Tending


class MainWindow(QMainWindow):
    """Header, column and map, or the start."""

    def __init__(self) -> None:
        super().__init__()
        self.setWindowTitle("Funnelfinder")
        self.setWindowIcon(program_icon())
        self.setAcceptDrops(True)
        self.setMinimumSize(560, 320)
        self.desk = Desk(self)
        self.keys, self.menus = WindowKeys(self), WindowMenus(self)
        self.leaving, self.fitting, self.showing = Leaving(self), Fitting(self), Showing(self)
        self.header, self.column, self.map = Header(), Column(), MapPane()
        self.bench = Bench(self.map, self.desk.changed)
        self.start = StartPage(self.desk.preferences.units)
        self._lay_out()
        self.desk.lay_slip = self._lay_slip
        self.opening = Opening(self.desk)
        self.map_work = MapWork(self.desk, self.map)
        self.backdrop_work = BackdropWork(self.desk, self.map, self.opening, self.map_work)
        self.ground_work = GroundWork(self.desk, self.map)
        self.runs = Runs(self.desk)
        self.following = Following(self.desk, self.runs, self.ground_work)
        self.map_work.tried.connect(self.following.try_mark)
        self.tending = Tending(self.desk, self.runs)
        self.spot_work = SpotWork(self.desk, self.map, self.tending, self.map_work)
        self.panels: dict[Stop, StepPanel] = make_panels(self)
        self.map_work.idle_hint = self._idle_hint
        self.drop_frame = DropFrame(self)
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
        self.below = QWidget()
        self.row = QHBoxLayout(self.below)
        self.row.setContentsMargins(0, 0, 0, 0)
        self.row.setSpacing(0)
        self.row.addWidget(self.column)
        self.row.addWidget(self.map, 1)
        self.row.addWidget(self.bench, 1)
        outer.addWidget(self.below, 1)
        self.pages = QStackedWidget()
        self.pages.addWidget(self.start)
        self.pages.addWidget(self.work_page)
        self.setCentralWidget(self.pages)

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
        desk.grids_changed.connect(self.showing.show_profile)
        desk.findings_changed.connect(self.showing.show_findings)
        desk.hand_changed.connect(self._in_hand)
        desk.kept_changed.connect(self.showing.show_kept)
        desk.went_to.connect(self._show_step)
        desk.work_changed.connect(self.showing.show_work)
        desk.preferences_changed.connect(self._refresh)
        self.opening.waiting_changed.connect(self._refresh)
        self.map_work.drawn.connect(self.marks_panel.show_drawing)
        self.map_work.measuring.connect(self.map.tools.buttons["Measure"].setChecked)
        self.map.view.resized.connect(self.keep_whole)
        self.map.slip_closed.connect(lambda: self.map.tools.buttons["Show"].setChecked(False))
        self.backdrop_work.sketching.connect(self._show_sketching)
        self.start.wanted.connect(self.begin)
        self.start.chosen.connect(lambda path: self.opening.open_property(Path(path)))
        header = self.header
        header.footpath.gone_to.connect(self.go_to)
        header.name_clicked.connect(self.menus.show_name_menu)
        header.undo.clicked.connect(lambda _checked=False: self.undo())
        header.redo.clicked.connect(lambda _checked=False: self.redo())
        header.help.clicked.connect(lambda _checked=False: self.show_keys())
        header.undo.setContextMenuPolicy(Qt.CustomContextMenu)
        header.undo.customContextMenuRequested.connect(lambda _at: self.menus.show_sitting())
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
        self.showing.show_profile()
        self.showing.show_findings()
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
        newer = self.following.newest if self.following.is_newer else None
        states = stop_states(
            one.place,
            one.grids,
            one.findings,
            is_up_to_date=self.runs.is_up_to_date,
            n_pairs=len(newer.demand) if newer is not None else None,
        )
        self.header.footpath.show_states(states, self.desk.here)
        self.ground_work.show_up_to_date(self.following.is_current)
        self.showing.show_kept()
        self.panel.refresh()
        card = self.marks_panel.card
        if card is not None:
            card.show_trips(semibold(self.following.said_use(card.mark)))
        self.map.say(self._hint())

    def _show_step(self, stop: Stop) -> None:
        """Show a step."""
        panel = self.panels[stop]
        before = self.column.panel
        if before is not None and before is not panel:
            before.left()
            self.bench.clear()
        self.column.show_panel(panel)
        if before is not panel:
            panel.entered()
            if stop is not Stop.MARKS:
                self.map_work.put_down()
        self._refresh()
        self.map.say(self._hint())

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
        if words.is_trouble and not self.map.isVisibleTo(self.below):
            self.bench.say_trouble(words)
            return None
        self.map.tools.buttons["Show"].setChecked(False)
        self.fitting.make_way()
        return self.map.tell(words)

    def keep_whole(self) -> None:
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
        if self.fitting.is_narrow():
            self.fitting.is_drawer_open = (
                stop is not self.desk.here or not self.fitting.is_drawer_open
            )
            self.fitting.lay_drawer()
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

    def open_table(self) -> None:
        """Lay the cover table on the bench."""
        self.fitting.make_way()
        self.bench.lay(TABLE_TITLE, CoverTablePage(self.desk), closed=self.panel.refresh)

    def show_keys(self) -> None:
        """Show all keys on one page."""
        page = KeysPage(self)
        page.setAttribute(Qt.WA_DeleteOnClose)
        page.open()

    def begin(self, way: str) -> None:
        """Begin in one of the three ways."""
        if way == "open":
            self.open_files(choose_property(self))
        elif way == "draw":
            self.open_files(choose_backdrop(self))
        else:
            self.opening.open_sample()

    def choose_grids(self) -> None:
        """Ask for grids."""
        paths = choose_grids(self)
        if paths:
            self.opening.add_grids(paths)

    def waiting(self) -> tuple[str, str]:
        """Return the names of the grids that wait for the other kind."""
        return (
            ", ".join(path.name for path in self.opening.elevation),
            ", ".join(path.name for path in self.opening.cover),
        )

    # Events

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Follow the rules for narrow and low windows."""
        super().resizeEvent(event)
        self.fitting.fit()
        self.bench.fit(self.width())

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Use the keys of the whole window."""
        if not self.keys.use(event):
            super().keyPressEvent(event)

    def start_drawing(self, kind: MarkKind) -> None:
        """Go to the marks and draw."""
        if self.desk.here is not Stop.MARKS:
            self.desk.go_to(Stop.MARKS)
        self.draw(kind)

    def draw(self, kind: MarkKind) -> None:
        """Begin to draw; a drawer makes way."""
        self.fitting.make_way()
        self.map_work.draw(kind)

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        """Show whether a file can be opened."""
        paths = dragged_files(event)
        if paths:
            self.drop_frame.show_for(paths, can_read=Opening.can_read(paths))
            event.acceptProposedAction()

    def dragLeaveEvent(self, event: QDragLeaveEvent) -> None:
        """Take the frame away."""
        self.drop_frame.hide()

    def dropEvent(self, event: QDropEvent) -> None:
        """Open what was dropped."""
        self.drop_frame.hide()
        self.open_files(dragged_files(event))
        event.acceptProposedAction()

    def closeEvent(self, event: QCloseEvent) -> None:
        """Leave only when all is written."""
        if self.leaving.close():
            self.runs.close()
            event.accept()
        else:
            event.ignore()
