"""The keys of the whole window."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from PyQt5.QtCore import Qt
from PyQt5.QtGui import QKeyEvent
from PyQt5.QtWidgets import QApplication, QWidget

from .kinds import KINDS
from .look import text_scale
from .stops import STOPS, Stop

if TYPE_CHECKING:
    from .main_window import MainWindow

_STEP_SIZE: Final = 0.1


class WindowKeys:
    """Uses the keys that no control took."""

    def __init__(self, window: MainWindow) -> None:
        self._window = window

    def use(self, event: QKeyEvent) -> bool:
        """Return whether a key meant something here."""
        if event.key() == Qt.Key_F1:
            self._window.show_keys()
            return True
        has_control = bool(event.modifiers() & Qt.ControlModifier)
        if has_control:
            return self._use_control_key(event)
        if self._window.desk.open is None:
            return False
        return self._use_map_key(event)

    def _use_control_key(self, event: QKeyEvent) -> bool:
        """Use Ctrl with a key."""
        key, is_shift = event.key(), bool(event.modifiers() & Qt.ShiftModifier)
        if key == Qt.Key_Z and not is_shift:
            self._window.undo()
        elif key in (Qt.Key_Y, Qt.Key_Z):
            self._window.redo()
        elif key == Qt.Key_O:
            self._window.begin("open")
        elif key in (Qt.Key_Return, Qt.Key_Enter):
            self._window.column.press()
        elif Qt.Key_1 <= key <= Qt.Key_6 and self._window.desk.open is not None:
            self._window.go_to(STOPS[key - Qt.Key_1])
        elif key in (Qt.Key_Plus, Qt.Key_Equal, Qt.Key_Minus):
            self._window.fitting.set_text_size(
                text_scale() + (-_STEP_SIZE if key == Qt.Key_Minus else _STEP_SIZE)
            )
        else:
            return False
        return True

    def _use_map_key(self, event: QKeyEvent) -> bool:
        """Use a key that works on the map."""
        if self._window.panel.use_key(event):
            return True
        text = event.text().upper()
        kinds = {one.key: kind for kind, one in KINDS.items() if one.key}
        if self._use_looking_key(event.key()) or self._use_card_key(event.key(), text):
            return True
        if self._use_spot_key(event.key(), text):
            return True
        if text == "M":
            self._window.map_work.measure()
        elif text == "S" and self._window.desk.here is Stop.MARKS:
            self._window.marks_panel.show_more("sign")
        elif event.key() == Qt.Key_Delete:
            self._window.map_work.remove_in_hand()
        elif event.key() == Qt.Key_Escape:
            self.step_back()
        elif text in kinds:
            self._window.start_drawing(kinds[text])
        else:
            return False
        return True

    def _use_spot_key(self, key: int, text: str) -> bool:
        """Use a key of the spots."""
        spots = self._window.spot_work
        if self._window.desk.here not in (Stop.SPOTS, Stop.TAKE_ALONG):
            return False
        if key in (Qt.Key_PageUp, Qt.Key_PageDown):
            spots.step(1 if key == Qt.Key_PageDown else -1)
        elif key == Qt.Key_Space and spots.in_hand:
            spots.toggle()
        elif text == "P" and self._window.desk.here is Stop.SPOTS:
            spots.place(by_keys=True)
        elif Qt.Key_1 <= key <= Qt.Key_9:
            spots.hold(key - Qt.Key_0)
        else:
            return False
        return True

    def _use_looking_key(self, key: int) -> bool:
        """Use a key that looks elsewhere."""
        if key == Qt.Key_F6:
            self.next_region()
        elif key in (Qt.Key_Plus, Qt.Key_Equal):
            self._window.map.view.closer(1)
        elif key == Qt.Key_Minus:
            self._window.map.view.closer(-1)
        elif key == Qt.Key_0:
            self._window.map_work.whole()
        else:
            return False
        return True

    def _use_card_key(self, key: int, text: str) -> bool:
        """Use a key of the mark in hand."""
        card = self._window.marks_panel.card
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

    def step_back(self) -> None:
        """Step back once: slip, hand, work, page."""
        if self._window.map.slip is not None:
            self._window.map.close_slip()
        elif self._window.desk.open is not None and self._window.desk.open.in_hand is not None:
            self._window.map_work.put_down()
        elif self._window.desk.work is not None:
            self._window.desk.stop_work()
        else:
            self._window.panel.step_back()

    def next_region(self) -> None:
        """Move the keys to the next region: header, column, foot, map, almanac, slip."""
        regions: list[QWidget] = [
            self._window.header.footpath.buttons[self._window.desk.here],
            self._window.column.pages,
            self._window.column.button,
            self._window.map.view,
        ]
        if self._window.map.foot is not None:
            regions.append(self._window.map.foot)
        if self._window.map.slip is not None:
            regions.append(self._window.map.slip)
        here = QApplication.focusWidget()
        number = next(
            (
                i
                for i, region in enumerate(regions)
                if here is not None and (region is here or region.isAncestorOf(here))
            ),
            -1,
        )
        for step in range(1, len(regions)):
            if self._give_keys(regions[(number + step) % len(regions)]):
                return

    def _give_keys(self, region: QWidget) -> bool:
        """Return whether a region took the keys; a step without controls cannot."""
        if region is self._window.column.pages:
            return self._window.panel.take_focus()
        region.setFocus(Qt.TabFocusReason)
        return region.hasFocus()
