"""Later: the hub of short paths that begin where the first evening ends."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from typing import TYPE_CHECKING

from PyQt5.QtCore import QRectF, Qt
from PyQt5.QtGui import (
    QColor,
    QKeyEvent,
    QPainter,
    QPaintEvent,
)
from PyQt5.QtWidgets import QVBoxLayout

from ..controls import link, semibold
from ..controls.tall_row import WRAPS, TallRow
from ..look import colours
from ..look.fonts import font, scaled
from ..look.icons import draw_icon
from ..stops import Stop
from .later_pages import LaterPage
from .step import Foot, StepPanel

if TYPE_CHECKING:
    from ..desk import Desk

_ICON_PX = 30.0


class PathRow(TallRow):
    """The way to a page: icon, name, and in words how far it is."""

    left_px, right_px, name_px, least_px, narrow_px = 54.0, 22.0, 17.0, 60, 180

    def __init__(self, page: LaterPage) -> None:
        super().__init__(page.name)
        self._icon = page.icon
        self.setObjectName(f"path-{page.name.lower()}")

    def show_line(self, line: str) -> None:
        """Say how far it is."""
        self.setAccessibleName(f"{self.text()}: {line}")
        self.set_line(line)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw icon, name, words, and the way in."""
        painter = QPainter(self)
        try:
            self.draw_ground(painter, QRectF(self.rect()).adjusted(1, 1, -1, -1), has_edge=True)
            draw_icon(painter, self._icon, QRectF(13, 13, _ICON_PX, _ICON_PX), self.ink(), line=1.5)
            painter.setPen(self.ink())
            painter.setFont(font(17, bold=True))
            wide = self.width() - self.left_px - self.right_px
            name = QRectF(self.left_px, 7, wide, scaled(17) + 6)
            painter.drawText(name, int(Qt.AlignLeft | Qt.AlignVCenter), self.text())
            painter.setFont(font(20))
            way = QRectF(self.width() - self.right_px, 0, 16, self.height())
            painter.drawText(way, Qt.AlignCenter, "›")
            painter.setPen(QColor(colours.GREY_INK))
            painter.setFont(font(15))
            painter.drawText(QRectF(self.left_px, name.bottom() + 1, wide, 1000), WRAPS, self._line)
        finally:
            painter.end()


class LaterPanel(StepPanel):
    """The rows of the pages, or one of them with the way back above it."""

    stop = Stop.LATER
    title = "Later"

    def __init__(self, desk: Desk, pages: Sequence[LaterPage]) -> None:
        super().__init__(desk)
        self.pages = {page.name: page for page in pages}
        self.page: LaterPage | None = None
        self.back = link("‹ Later", lambda: self.show_page(""), tip="Back to all of it. Key Esc.")
        column = self.layout()
        assert isinstance(column, QVBoxLayout)
        column.insertWidget(0, self.back)
        self.rows = {page.name: PathRow(page) for page in pages}
        for page in pages:
            self.rows[page.name].clicked.connect(
                lambda _checked=False, name=page.name: self.show_page(name)
            )
            self.content.addWidget(self.rows[page.name])
            self.content.addWidget(page)
            page.hide()
            page.foot_changed.connect(partial(self._page_changed, page))
        self.back.hide()

    def show_page(self, name: str) -> None:
        """Open a page by its name; an empty name goes back to the rows."""
        page = self.pages.get(name)
        if page is self.page:
            return
        if self.page is not None:
            self.page.hide()
            self.page.left()
        before, self.page = self.page, page
        for row in self.rows.values():
            row.setVisible(page is None)
        self.back.setVisible(page is not None)
        if page is not None:
            page.show()
            page.entered()
        self.refresh()
        self.desk.hinted.emit()
        if before is not None and page is None:
            self.rows[before.name].setFocus(Qt.OtherFocusReason)
        elif page is not None:
            # The next Tab comes to the way back.
            self.setFocus(Qt.OtherFocusReason)

    def _page_changed(self, page: LaterPage) -> None:
        """Show the words and foot of the page that is open."""
        if page is self.page:
            self._say()
            self.foot_changed.emit()

    def _say(self) -> None:
        """Show the title and the words under it."""
        if self.page is None:
            self.heading.setText(self.title)
            self.say("Where to sit, on which wind, and what the season asks of you.")
        else:
            self.heading.setText(self.page.title())
            self.say(semibold(self.page.words()))

    def foot(self) -> Foot:
        """Return the foot of the page, or the way back to the spots."""
        if self.page is not None:
            return self.page.foot()
        one = self.desk.open
        n = sum(pick.is_taken for pick in one.place.picks) if one is not None else 0
        if not n:
            return Foot(
                line="Stands and winds need picked spots.",
                button="Back to the spots",
                act=lambda: self.desk.go_to(Stop.SPOTS),
            )
        first = next(iter(self.pages))
        return Foot(
            line="Trees for the spots that you picked.",
            button=f"Next: {first.lower()}",
            act=lambda: self.show_page(first),
        )

    def hint(self) -> str:
        """Say what the hand can do."""
        return self.page.hint() if self.page is not None else ""

    def refresh(self) -> None:
        """Show the property as it is now."""
        if self.page is not None:
            self.page.refresh()
        else:
            for name, row in self.rows.items():
                row.show_line(self.pages[name].state_line())
        self._say()
        self.foot_changed.emit()

    def left(self) -> None:
        """Close the page."""
        self.show_page("")

    def step_back(self) -> None:
        """Go back within the page, then to the rows."""
        if self.page is None or not self.page.step_back():
            self.show_page("")

    def use_key(self, event: QKeyEvent) -> bool:
        """Offer a key to the page."""
        return self.page is not None and self.page.use_key(event)
