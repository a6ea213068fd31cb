"""The windows of each kind, taken from source after source, and what must be said of them."""

from __future__ import annotations

import tempfile
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Final

import numpy as np

from funnelfinder.errors import SourceError
from funnelfinder.files.grids_in.codes import said_percent
from funnelfinder.files.map_systems import compass_word
from funnelfinder.files.sources.area import Area
from funnelfinder.files.sources.cut import Cut
from funnelfinder.files.sources.faults import Fault, WireError
from funnelfinder.files.sources.plan import Request, area_of, said_bytes, wanted_cell_m
from funnelfinder.files.sources.reading import Bench, Taken, take
from funnelfinder.files.sources.table import Bring, Source
from funnelfinder.files.sources.wire import Wire
from funnelfinder.ground import Origin
from funnelfinder.kernels import BoolArray
from funnelfinder.marks import Property
from funnelfinder.progress import Progress

#: Smaller shares of an area are not worth a note.
_WORTH_A_NOTE: Final = 0.001


class Meter:
    """Counts the bytes and tells of them."""

    def __init__(self, progress: Progress, requests: Iterable[Request]) -> None:
        self._progress = progress
        self._about = max(1, sum(one.about_bytes for one in requests if not one.is_fallback))
        self._n_bytes = 0
        self.name = "Bringing in"

    def watch(self, n_bytes: int) -> None:
        """Count bytes and tell."""
        self._n_bytes += n_bytes
        about = max(self._about, self._n_bytes)
        words = f"{said_bytes(self._n_bytes)} of about {said_bytes(about)}"
        self._progress.step(self._n_bytes / about, f"{self.name}: {words}")


@dataclass(frozen=True, kw_only=True)
class Windows:
    """The windows of one kind, in order, with what must be said of them."""

    cuts: tuple[Cut, ...]
    origins: tuple[Origin, ...]
    notes: tuple[str, ...]


@dataclass(kw_only=True)
class _Found:
    """Windows found so far, what went wrong, and what kept a source from giving all it has."""

    cuts: list[Cut] = field(default_factory=list)
    errors: list[WireError] = field(default_factory=list)
    half_by: WireError | None = None

    @property
    def is_offline(self) -> bool:
        """Whether the network was missed."""
        return any(one.is_offline for one in self.errors)

    def noted(self, taken: Taken) -> tuple[Cut, ...]:
        """Note what went wrong with a source, and return its windows."""
        self.errors += taken.errors
        self.half_by = self.half_by or taken.half_by
        return taken.cuts


@dataclass(frozen=True, kw_only=True)
class Work:
    """What all kinds share."""

    place: Property
    sources: tuple[Source, ...]
    wire: Wire
    folder: Path
    kept: Path

    @property
    def area(self) -> Area:
        """All cells that are wanted."""
        return area_of(self.place)

    def of_kind(self, kind: Bring) -> Iterator[Source]:
        """Yield the sources that are worth asking."""
        area = self.area
        return (one for one in self.sources if one.kind is kind and area.is_within(one.covers_deg))

    def bench(self, source: Source) -> Bench:
        """Return what a reader works with."""
        folder = Path(tempfile.mkdtemp(dir=self.folder))
        return Bench(
            wire=self.wire,
            area=self.area,
            wanted_cell_m=wanted_cell_m(self.place, source),
            folder=folder,
            kept=self.kept,
        )

    def windows(self, kind: Bring, meter: Meter) -> Windows:
        """Return the windows of one kind from the first sources that have them."""
        with named(meter, kind):
            found = self._filled(kind) if kind is Bring.ELEVATION else self._fullest(kind)
        if not found.cuts:
            raise nothing_found(kind, found.errors)
        missing = 1.0 - float(_known(found.cuts, self.area).mean())
        if missing > 0 and found.half_by is not None:
            raise _only_half(kind, missing, found.half_by)
        return _told(kind, found.cuts, found.errors, self.area)

    def _filled(self, kind: Bring) -> _Found:
        """Return windows of source after source until all cells are known."""
        found = _Found()
        known = np.zeros(self.area.grid.shape, dtype=bool)
        for source in self.of_kind(kind):
            part = self.area.missing(known)
            if part is None:
                break
            for cut in found.noted(self._taken(source, part, found)):
                if (cut.is_known & ~known).any():
                    found.cuts.append(cut)
                    known |= cut.is_known
        return found

    def _fullest(self, kind: Bring) -> _Found:
        """Return the windows of the first source that covers all, else of the one with most."""
        found = _Found()
        most = 0
        for source in self.of_kind(kind):
            cuts = found.noted(self._taken(source, self.area, found))
            n_known = int(_known(cuts, self.area).sum())
            if n_known > most:
                found.cuts, most = list(cuts), n_known
            if most == self.area.grid.n_cells:
                break
        return found

    def _taken(self, source: Source, part: Area, found: _Found) -> Taken:
        """Return what a source has; after the network was missed once nobody is asked."""
        return take(source, self.bench(source), part, is_offline=found.is_offline)


@contextmanager
def named(meter: Meter, kind: Bring) -> Iterator[None]:
    """Let the meter say what comes."""
    before, meter.name = meter.name, f"Bringing in {kind.words}"
    try:
        yield
    finally:
        meter.name = before


def nothing_found(kind: Bring, errors: Sequence[WireError]) -> SourceError:
    """Return the error for a kind that no source has here."""
    if not errors:
        return SourceError(
            f"No source has {kind.words} here.",
            remedy="Add one to a table of sources, or open files that you have.",
        )
    faults = [one for one in errors if not one.is_no_coverage]
    telling = faults[0] if faults else errors[-1]
    if len({one.where for one in faults}) > 1 and {one.fault for one in faults} == {Fault.NO_NAME}:
        # One unknown name is a changed address; if no name at all is known, nobody answers.
        telling = WireError(Fault.NO_NETWORK, where="")
    return SourceError(
        f"No {kind.words} could be brought in. {telling.what}",
        where=telling.where,
        remedy=telling.remedy,
    )


def _only_half(kind: Bring, missing: float, error: WireError) -> SourceError:
    """Return the error for a kind of which a part is there and the rest may come another time."""
    return SourceError(
        f"{kind.words.capitalize()} came in part only: {said_percent(missing)} of the extent is"
        f" missing, so none of it was put into the property. {error.what}",
        where=error.where,
        remedy=error.remedy,
    )


def _known(cuts: Iterable[Cut], area: Area) -> BoolArray:
    """Return which cells of an area windows have values for."""
    known = np.zeros(area.grid.shape, dtype=bool)
    for cut in cuts:
        known |= cut.is_known
    return known


def _told(kind: Bring, cuts: Sequence[Cut], errors: Sequence[WireError], area: Area) -> Windows:
    """Return windows with their origins, and notes on which part came from where."""
    origins, first_known = [], np.zeros(area.grid.shape, dtype=bool)
    parts: dict[str, BoolArray] = {}
    for cut in cuts:
        new = cut.is_known & ~first_known
        first_known |= cut.is_known
        parts[cut.source.name] = parts.get(cut.source.name, np.zeros_like(new)) | new
        origins.append(_origin(kind, cut, float(new.mean())))
    notes = [_part_note(kind, name, part, area) for name, part in parts.items()]
    missing = 1.0 - float(first_known.mean())
    if missing > _WORTH_A_NOTE:
        notes.append(f"No source has {kind.words} for {said_percent(missing)} of the extent.")
    notes += [f"{one.where}: {one.what}" for one in errors]
    by_name = {cut.source.name: cut.source for cut in cuts}
    notes += [f"{one.name}: {one.caution}" for one in by_name.values() if one.caution]
    return Windows(cuts=tuple(cuts), origins=tuple(origins), notes=tuple(dict.fromkeys(notes)))


def _origin(kind: Bring, cut: Cut, share: float) -> Origin:
    """Return where a window is from."""
    return Origin(
        kind=kind.value,
        source=cut.source.name,
        file=cut.name,
        address=cut.address,
        on=cut.on.isoformat(),
        licence=cut.source.licence,
        credit=cut.source.credit,
        fingerprint=cut.fingerprint,
        version=cut.version,
        share=share,
    )


def _part_note(kind: Bring, name: str, part: BoolArray, area: Area) -> str:
    """Return which part of the extent a source gave, and on which side it lies."""
    what = kind.words.capitalize()
    share = float(part.mean())
    if share > 1.0 - _WORTH_A_NOTE:
        return f"{what} of the whole extent is from {name}."
    rows, cols = np.nonzero(part)
    if not rows.size:
        return f"{what} of {name} was not needed."
    north = area.grid.n_rows / 2 - rows.mean()
    east = cols.mean() - area.grid.n_cols / 2
    is_central = np.hypot(north, east) < min(area.grid.shape) / 20
    side = (
        "middle" if is_central else compass_word(float(np.degrees(np.arctan2(east, north))) % 360)
    )
    return f"{what} of {said_percent(share)} of the extent, in the {side}, is from {name}."
