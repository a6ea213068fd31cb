"""Undo without limit."""

from dataclasses import replace

from tests.ui.hollow import hollow
from ui.undo import Held, Step, UndoStack


def step(before: str, after: str, group: str = "") -> Step:
    place = hollow()
    return Step(
        name=f"name {after}",
        before=Held(place=replace(place, name=before)),
        after=Held(place=replace(place, name=after)),
        group=group,
    )


def test_steps_go_back_and_forth_in_order() -> None:
    stack = UndoStack()
    for n in range(500):
        stack.did(step(str(n), str(n + 1)))
    backs = [stack.undo().before.place.name for _ in range(500)]
    assert backs == [str(n) for n in reversed(range(500))]
    assert stack.undo() is None
    assert stack.redo().after.place.name == "1"


def test_a_new_step_forgets_what_was_undone() -> None:
    stack = UndoStack()
    stack.did(step("a", "b"))
    stack.undo()
    stack.did(step("a", "c"))
    assert stack.redo() is None
    assert stack.names == ("name c",)


def test_steps_of_one_group_are_one() -> None:
    stack = UndoStack()
    stack.did(step("a", "b", "slider"))
    stack.did(step("b", "c", "slider"))
    assert stack.n_done == 1
    assert stack.undo().before.place.name == "a"
