"""What a run keeps for the next: results of each stage while what made them is the same."""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import Any, TypeVar

from funnelfinder.analysis.findings import Stage
from funnelfinder.analysis.fingerprints import fingerprint
from funnelfinder.ground import Grids, Patch
from funnelfinder.kernels import FloatArray
from funnelfinder.progress import Progress
from funnelfinder.trips import PairTrips, Solver, pair_trips

_T = TypeVar("_T")

#: Pairs kept beyond those in use, so that a bed moved back costs nothing.
_MOST_PAIRS = 64


class Workings:
    """Results of stages, each with the fingerprint of what made it.

    One object belongs to one property that is open; it is not shared between threads. What it
    holds is dear: a moved bed needs only solves because the factorised cost surface stays here.
    """

    def __init__(self) -> None:
        self._kept: dict[str, tuple[str, Any]] = {}
        self._pairs: dict[str, PairTrips] = {}
        self._reaches: dict[str, dict[bytes, FloatArray]] = {}
        self._grids: tuple[Grids, str] | None = None
        self.stages: list[Stage] = []

    def begin(self) -> None:
        """Forget how the last run went; keep what it made."""
        self.stages = []

    def stage(
        self,
        name: str,
        key: str,
        make: Callable[[], _T],
        *,
        progress: Progress,
        share: float,
    ) -> _T:
        """Return a stage's result, made anew only if its fingerprint changed.

        Parameters
        ----------
        name : str
            What people read while it runs.
        key : str
            Fingerprint of what the stage depends on.
        make : callable
            Makes the result.
        progress : Progress
            Told before the stage begins.
        share : float
            How far the whole run is then.
        """
        progress.step(share, name)
        kept = self._kept.get(name)
        if kept is not None and kept[0] == key:
            self.stages.append(Stage(name=name, seconds=0.0, is_skipped=True))
            result: _T = kept[1]
            return result
        begun = time.perf_counter()
        made = make()
        self._kept[name] = (key, made)
        seconds = time.perf_counter() - begun
        self.stages.append(Stage(name=name, seconds=seconds, is_skipped=False))
        return made

    def kept(self, name: str, key: str, make: Callable[[], _T]) -> _T:
        """Return something small that is made anew only if its fingerprint changed."""
        before = self._kept.get(name)
        if before is None or before[0] != key:
            self._kept[name] = before = (key, make())
        result: _T = before[1]
        return result

    def grids_key(self, grids: Grids) -> str:
        """Return the fingerprint of grids; those of the last call are not read again."""
        if self._grids is None or self._grids[0] is not grids:
            self._grids = (grids, fingerprint(grids))
        return self._grids[1]

    def pairs(
        self,
        solver: Solver,
        solver_key: str,
        beds: Sequence[Patch],
        foods: Sequence[Patch],
        shares: FloatArray,
    ) -> tuple[PairTrips, ...]:
        """Return the trips of every pair with a share; only pairs that changed are solved."""
        keys = {
            (i, j): fingerprint(solver_key, beds[i].cells, foods[j].cells)
            for i in range(len(beds))
            for j in range(len(foods))
            if shares[i, j] > 0
        }
        missing = shares.copy()
        for place, key in keys.items():
            if key in self._pairs:
                missing[place] = 0.0
        if (missing > 0).any():
            reaches = self._reaches_of(solver_key)
            for pair in pair_trips(solver, beds, foods, missing, reaches=reaches):
                i = next(k for k, bed in enumerate(beds) if bed is pair.bed)
                j = next(k for k, food in enumerate(foods) if food is pair.food)
                self._pairs[keys[i, j]] = pair
        for (i, j), key in keys.items():
            pair = self._pairs[key]
            self._pairs[key] = pair.sent(beds[i], foods[j], float(shares[i, j]))
        self._forget_pairs(set(keys.values()))
        return tuple(self._pairs[key] for key in keys.values())

    def _reaches_of(self, solver_key: str) -> dict[bytes, FloatArray]:
        """Return what a solver said of foods; the last two solvers' are kept, even ground's too."""
        if solver_key not in self._reaches:
            for old in list(self._reaches)[: max(0, len(self._reaches) - 1)]:
                del self._reaches[old]
            self._reaches[solver_key] = {}
        known = self._reaches[solver_key]
        for old_food in list(known)[: max(0, len(known) - _MOST_PAIRS)]:
            del known[old_food]
        return known

    def _forget_pairs(self, in_use: set[str]) -> None:
        """Drop the oldest pairs that are not in use."""
        spare = [key for key in self._pairs if key not in in_use]
        for key in spare[: max(0, len(spare) - _MOST_PAIRS)]:
            del self._pairs[key]
        for key in spare[max(0, len(spare) - _MOST_PAIRS) :]:
            # A copy has no fields of its own yet: what is cheap to make again is let go.
            self._pairs[key] = replace(self._pairs[key])
