"""The detectors that are installed, and what they find on a ground."""

from __future__ import annotations

from importlib.metadata import EntryPoint, entry_points
from typing import Final

from funnelfinder.errors import DetectorError, Stopped
from funnelfinder.features import Detector, Feature
from funnelfinder.ground import Ground
from funnelfinder.marks import Property
from funnelfinder.progress import QUIET, Progress

#: Group of entry points that built-in and outside detectors are registered in.
GROUP: Final = "funnelfinder.detectors"
_OWN_PACKAGE: Final = f"{GROUP}."


def load_detectors() -> tuple[tuple[Detector, ...], tuple[str, ...]]:
    """Return the installed detectors, our own first, and notes on those that were skipped.

    A detector is skipped if it cannot be loaded, is no `Detector`, or repeats a name.
    """
    detectors: dict[str, Detector] = {}
    notes: list[str] = []
    for entry in sorted(entry_points(group=GROUP), key=_order):
        try:
            detector = _loaded(entry)
        except DetectorError as error:
            notes.append(f"{error} It is skipped.")
            continue
        if detector.name not in detectors:
            detectors[detector.name] = detector
        elif detectors[detector.name] is not detector:
            notes.append(
                f"detector {entry.name} ({entry.value}): Another one is called {detector.name!r}. "
                "It is skipped."
            )
    return tuple(detectors.values()), tuple(notes)


def _order(entry: EntryPoint) -> tuple[bool, str, str]:
    """Return where an entry stands: our own first, then by name."""
    return not entry.value.startswith(_OWN_PACKAGE), entry.name, entry.value


def _loaded(entry: EntryPoint) -> Detector:
    """Return what an entry point names, or raise `DetectorError` on whatever went wrong."""
    where = f"detector {entry.name} ({entry.value})"
    try:
        found = entry.load()
    except Exception as error:  # an outside package may fail in any way when it is imported
        raise DetectorError(
            f"It could not be loaded: {_said(error)}.",
            where=where,
            remedy="Mend or remove the package that brings it.",
        ) from error
    if not isinstance(found, Detector):
        raise DetectorError(
            f"It is a {type(found).__name__}, not a detector.",
            where=where,
            remedy="Its entry point must name a Detector.",
        )
    return found


def _said(error: Exception) -> str:
    """Return what a foreign exception says, with its kind, without a full stop."""
    return f"{type(error).__name__}: {error}".rstrip(" .:")


def find_features(
    ground: Ground,
    place: Property,
    detectors: tuple[Detector, ...],
    progress: Progress = QUIET,
) -> tuple[tuple[Feature, ...], tuple[str, ...]]:
    """Return what the detectors find, and notes on those that failed.

    Parameters
    ----------
    ground : Ground
        The ground to look at.
    place : Property
        Its marks, and in ``detectors_off`` the names of those not to run.
    detectors : tuple of Detector
        What `load_detectors` returned.
    progress : Progress
        Told before each detector.

    Raises
    ------
    Stopped
        If the person stopped the work.
    """
    features: list[Feature] = []
    notes: list[str] = []
    used = [one for one in detectors if one.name not in place.detectors_off]
    for index, detector in enumerate(used):
        progress.step(index / len(used), f"Looking for features: {detector.name}")
        try:
            features += _found(detector, ground, place)
        except DetectorError as error:
            notes.append(f"{error} It is skipped.")
    return tuple(features), tuple(notes)


def _found(detector: Detector, ground: Ground, place: Property) -> list[Feature]:
    """Return what one detector finds, or raise `DetectorError` on whatever went wrong in it."""
    where = f"detector {detector.name}"
    try:
        found = list(detector.find(ground, place))
    except Stopped:
        raise
    except Exception as error:  # an outside detector may fail in any way
        raise DetectorError(f"It failed: {_said(error)}.", where=where) from error
    wrong = next((one for one in found if not isinstance(one, Feature)), None)
    if wrong is not None:
        raise DetectorError(f"It returned a {type(wrong).__name__}, not a feature.", where=where)
    return found
