"""The worker process: results, progress, stop, failures."""

from collections.abc import Iterator

import numpy as np
import pytest

from funnelfinder.errors import GridError
from tests.ui.workers import tasks_for_tests as tasks
from ui.workers import BrokenWork, WorkerProcess


@pytest.fixture
def worker(qapp) -> Iterator[WorkerProcess]:
    one = WorkerProcess()
    yield one
    one.close()


def test_fields_go_there_and_back_and_the_shelf_stays(worker: WorkerProcess, qtbot) -> None:
    field = np.arange(300_000, dtype=np.float32).reshape(500, 600)
    ticket = worker.ask(tasks.double, field)
    steps: list[float] = []
    ticket.progress.connect(lambda share, words: steps.append(share))
    with qtbot.waitSignal(ticket.done, timeout=30_000) as got:
        pass
    assert (got.args[0] == field * 2).all()
    assert got.args[0].flags.writeable is False
    assert steps == [0.5]
    with qtbot.waitSignal(worker.ask(tasks.calls).done, timeout=30_000) as got:
        pass
    assert got.args[0] == 1


def test_a_stop_ends_the_task_and_keeps_the_shelf(worker: WorkerProcess, qtbot) -> None:
    with qtbot.waitSignal(worker.ask(tasks.double, np.zeros(3)).done, timeout=30_000):
        pass
    ticket = worker.ask(tasks.until_stopped)
    with qtbot.waitSignal(ticket.progress, timeout=30_000):
        pass
    with qtbot.waitSignal(ticket.stopped, timeout=5_000):
        worker.stop()
    with qtbot.waitSignal(worker.ask(tasks.calls).done, timeout=30_000) as got:
        pass
    assert got.args[0] == 1


def test_a_task_that_hears_nothing_is_ended_with_its_process(worker: WorkerProcess, qtbot) -> None:
    ticket = worker.ask(tasks.deaf)
    with qtbot.waitSignal(ticket.progress, timeout=30_000):
        pass
    before = worker.process_id
    with qtbot.waitSignals([ticket.stopped, worker.emptied], timeout=10_000):
        worker.stop()
    with qtbot.waitSignal(worker.ask(tasks.calls).done, timeout=30_000) as got:
        pass
    assert got.args[0] == 0
    assert worker.process_id != before


def test_failures_come_back_as_what_they_are(worker: WorkerProcess, qtbot) -> None:
    with qtbot.waitSignal(worker.ask(tasks.refuse).failed, timeout=30_000) as told:
        pass
    assert isinstance(told.args[0], GridError)
    assert str(told.args[0]) == "north.tif: It stops halfway. Copy it again."
    with qtbot.waitSignal(worker.ask(tasks.break_down).failed, timeout=30_000) as told:
        pass
    assert isinstance(told.args[0], BrokenWork)
    assert "nobody foresaw this" in str(told.args[0])
