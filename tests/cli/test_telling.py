"""Progress on a terminal and elsewhere."""

from __future__ import annotations

import io

from funnelfinder.cli.telling import TerminalProgress, telling_progress


class Terminal(io.StringIO):
    def isatty(self):
        return True


def test_a_terminal_sees_one_line_that_changes():
    stream = Terminal()
    progress = TerminalProgress(stream)
    progress.step(0.1, "Weighing the ground")
    progress.step(0.1, "Weighing the ground")
    progress.step(0.55, "Walking the trips")
    progress.clear()
    assert stream.getvalue() == (
        "\rWeighing the ground, 10 %\x1b[K\rWalking the trips, 55 %\x1b[K\r\x1b[K"
    )


def test_elsewhere_every_stage_is_a_line():
    stream = io.StringIO()
    progress = TerminalProgress(stream)
    for count in range(3):
        progress.step(count / 3, f"Trying other costs: {count} of 3")
    progress.step(1.0, "Done")
    progress.clear()
    assert stream.getvalue() == "Trying other costs\nDone\n"


def test_progress_is_told_on_stderr(capsys):
    with telling_progress() as progress:
        progress.step(0.5, "Half of it")
    assert capsys.readouterr() == ("", "Half of it\n")
