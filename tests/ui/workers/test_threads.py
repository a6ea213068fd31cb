"""Work in a thread."""

import threading

from PyQt5.QtCore import QObject, pyqtSignal

from ui.workers import start_job


class Ear(QObject):
    done = pyqtSignal(object)
    failed = pyqtSignal(object)
    stopped = pyqtSignal()
    progress = pyqtSignal(float, str)


def start(ear: Ear, work):
    return start_job(
        work,
        done=ear.done.emit,
        failed=ear.failed.emit,
        progress=ear.progress.emit,
        stopped=ear.stopped.emit,
    )


def test_a_result_and_progress_come_back(qtbot) -> None:
    ear = Ear()
    with qtbot.waitSignals([ear.done, ear.progress]):
        start(ear, lambda progress: progress.step(0.5, "half") or 7)


def test_a_failure_comes_back(qtbot) -> None:
    ear = Ear()
    with qtbot.waitSignal(ear.failed) as told:
        start(ear, lambda progress: 1 / 0)
    assert isinstance(told.args[0], ZeroDivisionError)


def test_work_ends_when_it_is_stopped(qtbot) -> None:
    ear = Ear()
    pause = threading.Event()

    def work(progress) -> None:
        while True:
            progress.step(0.1, "on")
            pause.wait(0.005)

    job = start(ear, work)
    with qtbot.waitSignal(ear.stopped):
        job.stop()
