"""What the command line says when it refuses, and what the window says."""

from __future__ import annotations

import html
import re

from tests.cli import made
from ui.main_window import MainWindow


def refused(*words: object) -> str:
    """Give words to the command line, which must refuse them; return what it says."""
    result = made.funnelfinder(*words)
    assert result.exit_code == 1
    return result.stderr.strip().splitlines()[-1]


def said(window: MainWindow) -> str:
    """Return what the window says of trouble, on its map or at its start."""
    if window.desk.open is None:
        return html.unescape(re.sub("<[^>]+>", "", window.start.trouble.text()))
    assert window.map.slip is not None
    assert window.map.slip.words.is_trouble
    return window.map.slip.words.body.replace("Your property is as before. ", "")
