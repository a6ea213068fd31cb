"""Everything is written at once, and what cannot be is held."""

import threading

from funnelfinder.errors import PropertyFileError
from ui.keeper import Keeper


def test_what_is_kept_is_written_in_order_and_told(qtbot) -> None:
    keeper = Keeper()
    written: list[str] = []
    with qtbot.waitSignal(keeper.kept):
        keeper.keep("place", lambda: written.append("a"), "draw a")
    with qtbot.waitSignal(keeper.kept):
        keeper.keep("place", lambda: written.append("b"), "draw b")
    assert written == ["a", "b"]


def test_only_the_newest_of_a_sort_waits(qtbot) -> None:
    keeper = Keeper()
    gate, began, written = threading.Event(), threading.Event(), []

    def slow() -> None:
        began.set()
        gate.wait(10)

    keeper.keep("grids", slow, "open the grids")
    assert began.wait(10)
    for name in "abc":
        keeper.keep("place", lambda name=name: written.append(name), f"draw {name}")
    with qtbot.waitSignal(keeper.kept):
        gate.set()
    assert written == ["c"]


def test_what_cannot_be_written_is_held_told_and_tried_again(qtbot) -> None:
    keeper = Keeper()
    written: list[str] = []
    is_full = True

    def write() -> None:
        if is_full:
            raise PropertyFileError("The disk is full.")
        written.append("place")

    with qtbot.waitSignal(keeper.failed) as told:
        keeper.keep("place", write, "the Bean field")
    error, deed = told.args
    assert (error.what, deed) == ("The disk is full.", "the Bean field")
    assert keeper.is_waiting
    assert not keeper.finish(0.5)
    is_full = False
    with qtbot.waitSignal(keeper.kept):
        keeper.try_again()
    assert written == ["place"]
