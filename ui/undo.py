"""Every change of a sitting, in order, to go back to; without limit."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from funnelfinder.ground import Grids
from funnelfinder.marks import Property
from funnelfinder.season import Visit

from .gestures import Outlook

if TYPE_CHECKING:
    from funnelfinder.evidence import CameraLog


@dataclass(frozen=True, slots=True, kw_only=True)
class Held:
    """What a person can change: the property, the grids under it, the log, camera records.

    ``cameras`` is None until the first record.
    """

    place: Property
    grids: Grids | None = None
    log: tuple[Visit, ...] = ()
    cameras: CameraLog | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One change: the deed in words, what was before and after, where one was looking.

    Steps of the same ``group`` that follow each other become one (a value moved in small steps).
    """

    name: str
    before: Held
    after: Held
    outlook: Outlook | None = None
    group: str = ""


class UndoStack:
    """The changes of a sitting; what is shared between steps is held once."""

    def __init__(self) -> None:
        self._steps: list[Step] = []
        self._n_done = 0

    @property
    def names(self) -> tuple[str, ...]:
        """The deeds of all steps, done and undone."""
        return tuple(step.name for step in self._steps)

    @property
    def n_done(self) -> int:
        """How many of them are done."""
        return self._n_done

    @property
    def next_undo(self) -> Step | None:
        """What undo would take back."""
        return self._steps[self._n_done - 1] if self._n_done else None

    @property
    def next_redo(self) -> Step | None:
        """What redo would do again."""
        return self._steps[self._n_done] if self._n_done < len(self._steps) else None

    def did(self, step: Step) -> None:
        """Add a step that was done; undone steps are forgotten."""
        del self._steps[self._n_done :]
        last = self.next_undo
        if last is not None and step.group and last.group == step.group:
            self._steps[-1] = Step(
                name=step.name,
                before=last.before,
                after=step.after,
                outlook=last.outlook,
                group=step.group,
            )
            return
        self._steps.append(step)
        self._n_done += 1

    def undo(self) -> Step | None:
        """Step back; return the step that was taken back."""
        step = self.next_undo
        self._n_done -= step is not None
        return step

    def redo(self) -> Step | None:
        """Step forward; return the step that was done again."""
        step = self.next_redo
        self._n_done += step is not None
        return step
