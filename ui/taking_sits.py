"""Stands and ways in and out as a file of their own beside the points."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from funnelfinder.files.gpx_ways import write_ways
from funnelfinder.files.take_along import Written
from funnelfinder.stands import Sit, Stand, Way

_ENDING = ".gpx"


@dataclass(frozen=True, kw_only=True)
class SitPack:
    """Stands, and their walks by what they are, like IN-EVENING and OUT-EVENING."""

    stands: tuple[Stand, ...]
    ways: Mapping[str, Mapping[str, Way]]
    epsg: int
    name: str
    stem: str

    @property
    def n_ways(self) -> int:
        """How many walks there are."""
        return sum(len(found) for found in self.ways.values())


def pack_of(sits: tuple[Sit, ...], half: str, *, epsg: int, name: str, stem: str) -> SitPack:
    """Return what goes along of the sits: the person's own stands, or all where none is chosen."""
    own = [one for one in sits if one.stand.is_chosen] or list(sits)
    end = half.upper()
    return SitPack(
        stands=tuple(one.stand for one in own),
        ways={
            f"IN-{end}": {one.stand.name: one.way for one in own if one.way is not None},
            f"OUT-{end}": {one.stand.name: one.way_out for one in own if one.way_out is not None},
        },
        epsg=epsg,
        name=name,
        stem=stem,
    )


def write_sits(pack: SitPack, folder: Path) -> Written:
    """Write the stands and ways beside what is there, and return the file.

    Raises
    ------
    ExportError
        If it cannot be written.
    """
    path = _free_path(folder, f"{pack.stem}-stands")
    write_ways(path, pack.stands, pack.ways, epsg=pack.epsg, name=pack.name)
    return Written(path=path, n_bytes=path.stat().st_size, n_points=len(pack.stands))


def _free_path(folder: Path, stem: str) -> Path:
    """Return a path that nothing has: nothing there is written over."""
    path, number = folder / f"{stem}{_ENDING}", 2
    while path.exists():
        path, number = folder / f"{stem}-{number}{_ENDING}", number + 1
    return path
