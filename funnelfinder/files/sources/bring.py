"""Brings in what a property needs from the sources, the best first, and says where it is from.

What this program knows of the public services was read from their documentation and from public
code. It was tried only against a server of its own with the same layout, never against the live
services.
"""

from __future__ import annotations

import tempfile
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from typing import Final

import numpy as np

from funnelfinder.errors import GridError, Stopped
from funnelfinder.files.grids_in import read_grids
from funnelfinder.files.grids_in.codes import HOLE, codes_layer, said_percent
from funnelfinder.files.grids_in.grid_file import looked_at
from funnelfinder.files.grids_in.mosaic import laid
from funnelfinder.files.property_file import Picture
from funnelfinder.files.sources.cut import write_checked
from funnelfinder.files.sources.faults import WireError
from funnelfinder.files.sources.kept_bytes import cache_folder, tidy
from funnelfinder.files.sources.pictures import take_picture
from funnelfinder.files.sources.plan import Request, planned
from funnelfinder.files.sources.table import Bring, Source
from funnelfinder.files.sources.windows import Meter, Windows, Work, named, nothing_found
from funnelfinder.files.sources.wire import Patience, Wire
from funnelfinder.grid import frozen
from funnelfinder.ground import Grids, Origin, Raster
from funnelfinder.land_cover import CoverTable
from funnelfinder.marks import Property
from funnelfinder.progress import QUIET, Part, Progress

#: Share of the work that bringing in takes; the rest reads what came.
_BRINGING: Final = 0.8


@dataclass(frozen=True, kw_only=True)
class BroughtIn:
    """What came: None for what was not wanted.

    ``table`` is the legend of new cover; ``origins`` are of crops and picture, those of the grids
    are in `grids`; ``notes`` say which part came from where.
    """

    grids: Grids | None
    table: CoverTable | None
    crops: Raster | None
    picture: Picture | None
    origins: tuple[Origin, ...]
    notes: tuple[str, ...]


def yes(requests: tuple[Request, ...]) -> bool:
    """Say yes to all requests."""
    return True


def bring_in(
    place: Property,
    *,
    kinds: Sequence[Bring],
    sources: Sequence[Source],
    ask: Callable[[tuple[Request, ...]], bool],
    has: Grids | None = None,
    progress: Progress = QUIET,
    kept: Path | None = None,
    patience: Patience | None = None,
    pause: Callable[[float], None] | None = None,
) -> BroughtIn:
    """Return elevation, land cover, crops and picture of a property from the sources.

    Only the window of boundary and surround is read. Where a source has nothing, fails, or ends,
    the next one of its kind is asked for the rest; land cover and crops come from one source
    alone, since legends do not mix.

    Parameters
    ----------
    place : Property
        Boundary and settings.
    kinds : sequence of Bring
        What is wanted.
    sources : sequence of Source
        In order of preference.
    ask : callable
        Told of all requests beforehand; unless it says yes, nothing is asked of anybody.
    has : Grids, optional
        What the property has, for the half of the grids that is not wanted.
    progress : Progress
        Told of the bytes; may stop the work.
    kept : Path, optional
        Folder of the bytes that are kept for the next time.
    patience : Patience, optional
        How long to wait.
    pause : callable, optional
        Waits for so many seconds between tries.

    Raises
    ------
    SourceError
        If no source has what is wanted, or there is no network.
    GridError
        If only one half of the grids is wanted and the property lacks the other.
    Stopped
        If ``ask`` says no, or a person stopped the work.
    """
    _check_halves(kinds, has)
    requests = planned(place, sources, kinds)
    if not ask(requests):
        raise Stopped("Nothing was asked of anybody.", remedy="Everything is as it was before.")
    folder = kept or cache_folder()
    tidy(folder)
    meter = Meter(Part(progress, 0.0, _BRINGING), requests)
    wire = Wire(patience=patience, watch=meter.watch, pause=pause)
    with tempfile.TemporaryDirectory(prefix="funnelfinder-") as windows:
        work = Work(
            place=place, sources=tuple(sources), wire=wire, folder=Path(windows), kept=folder
        )
        found = _all_windows(work, kinds, meter)
        picture, origins, notes = _picture(work, meter, is_wanted=Bring.PICTURE in kinds)
        grids, table = _grids(work, found, has, Part(progress, _BRINGING, 1.0))
        crops = found.get(Bring.CROPS)
        return BroughtIn(
            grids=grids,
            table=table,
            crops=None if crops is None else _crops(work, crops),
            picture=picture,
            origins=(*origins, *(crops.origins if crops else ())),
            notes=(*(note for one in found.values() for note in one.notes), *notes),
        )


def _all_windows(work: Work, kinds: Sequence[Bring], meter: Meter) -> dict[Bring, Windows]:
    """Return the windows of each kind that comes as a grid."""
    found: dict[Bring, Windows] = {}
    for kind in kinds:
        if kind is not Bring.PICTURE:
            found[kind] = work.windows(kind, meter)
    return found


def _check_halves(kinds: Sequence[Bring], has: Grids | None) -> None:
    """Raise `GridError` where one half of the grids would stay without the other."""
    halves = {Bring.ELEVATION, Bring.COVER} & set(kinds)
    if len(halves) == 1 and has is None:
        lacking = ({Bring.ELEVATION, Bring.COVER} - halves).pop()
        raise GridError(
            f"The property has no {lacking.words} yet.",
            remedy="Bring in elevation and land cover together the first time.",
        )


def _grids(
    work: Work, found: dict[Bring, Windows], has: Grids | None, progress: Progress
) -> tuple[Grids | None, CoverTable | None]:
    """Return the grids made of windows; the half that was not wanted stays as it was."""
    elevation, cover = found.get(Bring.ELEVATION), found.get(Bring.COVER)
    if elevation is None and cover is None:
        return None, None
    legend = cover.cuts[0].source.legend or None if cover else work.place.cover_table
    read, table = read_grids(
        work.place,
        elevation=_paths(work, elevation, has.elevation if has else None),
        cover=_paths(work, cover, has.cover if has else None),
        legend=legend,
        progress=progress,
    )
    origins = [one for part in (elevation, cover) if part for one in part.origins]
    wanted = {one.kind for one in origins}
    origins += [one for one in (has.origins if has else ()) if one.kind not in wanted]
    halves = {
        "elevation": _named_raster(read.elevation, elevation, has.elevation if has else None),
        "cover": _named_raster(read.cover, cover, has.cover if has else None),
    }
    notes = [note for part in (elevation, cover) if part for note in part.notes]
    grids = replace(read, **halves, notes=(*notes, *read.notes), origins=tuple(origins))
    return replace(grids, notes=(*grids.notes, *grids.credits)), table if cover else None


def _named_raster(read: Raster, part: Windows | None, had: Raster | None) -> Raster:
    """Return a grid with the names of its sources; what was there before stays itself."""
    if part is None:
        return had or read
    names = dict.fromkeys(cut.source.name for cut in part.cuts)
    return replace(read, source=", ".join(names))


def _paths(work: Work, part: Windows | None, had: Raster | None) -> list[Path]:
    """Return the windows' paths; what was there before is written out to be read again."""
    if part is not None:
        return [cut.path for cut in part.cuts]
    if had is None:
        return []
    path = Path(tempfile.mkdtemp(dir=work.folder)) / "before.tif"
    profile = {
        "crs": f"EPSG:{had.grid.epsg}",
        "transform": had.grid.transform,
        "nodata": float("nan") if had.values.dtype.kind == "f" else None,
        "unit": "metre" if had.values.dtype.kind == "f" else "",
        "scale": 1.0,
        "offset": 0.0,
    }
    write_checked(path, had.values, profile, had.source)
    return [path]


def _crops(work: Work, part: Windows) -> Raster:
    """Return crop codes on the travel grid; 0 is a hole."""
    grid = work.area.grid
    files = [looked_at(cut.path, grid) for cut in part.cuts]
    codes = laid(files, grid, codes_layer(), QUIET).values
    values = np.where((codes == HOLE) | (codes > 255), 0, codes).astype(np.uint8)
    return Raster(
        grid=grid,
        values=frozen(values),
        source=part.cuts[0].source.name,
        source_cell_m=max(cut.cell_m for cut in part.cuts),
    )


def _picture(
    work: Work, meter: Meter, *, is_wanted: bool
) -> tuple[Picture | None, tuple[Origin, ...], tuple[str, ...]]:
    """Return the aerial picture of the first source that has one."""
    if not is_wanted:
        return None, (), ()
    errors: list[WireError] = []
    for source in work.of_kind(Bring.PICTURE):
        try:
            with named(meter, Bring.PICTURE):
                picture, missing = take_picture(source, work.bench(source), work.area)
        except WireError as error:
            errors.append(error)
            continue
        origin = Origin(
            kind=Bring.PICTURE.value,
            source=source.name,
            file=source.name,
            address=source.address,
            on=date.today().isoformat(),
            licence=source.licence,
            credit=source.credit,
            share=1.0 - missing,
        )
        notes = [f"The aerial picture is from {source.name}."]
        if missing:
            notes.append(f"{source.name} has no picture of {said_percent(missing)} of the extent.")
        return picture, (origin,), (*notes, *(f"{one.where}: {one.what}" for one in errors))
    raise nothing_found(Bring.PICTURE, errors)
