"""The pages of Later in the order of their rows; a further page is one line here and one file."""

from __future__ import annotations

from typing import TYPE_CHECKING

from .panels.later_pages import LaterPage
from .panels.stands import StandsPage

if TYPE_CHECKING:
    from .main_window import MainWindow


def make_pages(window: MainWindow) -> tuple[LaterPage, ...]:
    """Return the pages."""
    return (StandsPage(window.desk),)
