"""The verb that shows the whole job on the sample property."""

from __future__ import annotations

import tempfile
from contextlib import ExitStack
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Final

import typer

from funnelfinder.cli.telling import tell, tell_notes, telling_progress

if TYPE_CHECKING:
    from funnelfinder.ground import Grids
    from funnelfinder.marks import Property
    from funnelfinder.progress import Progress
    from funnelfinder.sample_rasters import SampleFiles

#: What the sample property is called, and its files.
NAME: Final = "Tansy Fork"
PROPERTY_PATH: Final = Path("property") / "tansy-fork.gpkg"


def add_to(app: typer.Typer) -> None:
    """Add this verb to the program."""
    app.command("demo", epilog="Example: funnelfinder demo build/demo")(demo)


def demo(
    folder: Annotated[
        Path, typer.Argument(metavar="FOLDER", help="New, empty, or of an earlier demo.")
    ] = Path("funnelfinder-demo"),
    *,
    redraws: Annotated[
        int | None, typer.Option(min=0, max=200, metavar="N", help="As of run.")
    ] = None,
) -> None:
    """Take the sample property from its boundary to a GPS file, a map and a report."""
    from funnelfinder.sample_rasters import sample_files

    _check_folder(folder)
    with ExitStack() as stack:
        progress = stack.enter_context(telling_progress())
        folder.parent.mkdir(parents=True, exist_ok=True)
        made = tempfile.TemporaryDirectory(dir=folder.parent, prefix=f".{folder.name}-")
        beside = Path(stack.enter_context(made))
        _build(beside, sample_files(), redraws, progress)
        _move_in(beside, folder)
    for path in sorted(path for path in folder.rglob("*") if path.is_file()):
        tell(f"{path}: {max(1, round(path.stat().st_size / 1000))} KB")
    tell("Look at the map first; an invented place with invented names.")


def _check_folder(folder: Path) -> None:
    """Raise `ExportError` where other things lie that a demo could overwrite."""
    from funnelfinder.errors import ExportError

    if not folder.exists() or (folder.is_dir() and not any(folder.iterdir())):
        return
    if not folder.is_dir() or not (folder / PROPERTY_PATH).is_file():
        raise ExportError(
            "It holds other things than an earlier demo; nothing was written.",
            where=str(folder),
            remedy="Name a new folder.",
        )


def _build(folder: Path, files: SampleFiles, redraws: int | None, progress: Progress) -> None:
    """Do the whole job into a folder, as the verbs do it one by one."""
    from funnelfinder.analysis import run
    from funnelfinder.files.map_picture import draw_map
    from funnelfinder.files.property_file import (
        create,
        load_run_day,
        save_findings,
        save_grids,
    )
    from funnelfinder.files.take_along import write_points
    from funnelfinder.progress import Part
    from funnelfinder.report import report_text

    place, grids = _sample(files, Part(progress, 0.0, 0.1))
    findings = run(place, grids, n_redraws=redraws, progress=Part(progress, 0.1, 0.9))
    progress.step(0.9, "Writing property, points, map and report")
    # The points have a GeoPackage of the same name, so the property has a folder of its own.
    kept = folder / PROPERTY_PATH
    kept.parent.mkdir()
    create(kept, place)
    save_grids(kept, grids)
    save_findings(kept, findings)
    write_points(
        place,
        findings,
        folder,
        stem=kept.stem,
        elevation=grids.elevation,
        report=report_text(place, findings),
    )
    for ending in ("png", "pdf"):
        draw_map(place, grids, findings, folder / f"map.{ending}", run_on=load_run_day(kept))
    tell_notes(findings.notes)


def _sample(files: SampleFiles, progress: Progress) -> tuple[Property, Grids]:
    """Return the sample property and its grids, from the files that it is shipped as."""
    from dataclasses import replace

    from funnelfinder.files.grids_in import read_grids
    from funnelfinder.files.outlines_in import read_boundary, read_marks
    from funnelfinder.marks import Property

    outline = read_boundary(files.boundary)
    bare = Property(name=outline.name or NAME, epsg=outline.epsg, boundary=outline.outline)
    marks, notes = read_marks(files.marks, epsg=bare.epsg)
    tell_notes((*outline.notes, *notes))
    grids, table = read_grids(
        bare,
        elevation=[files.elevation],
        cover=[files.cover],
        legend=files.legend,
        progress=progress,
    )
    return replace(bare, marks=marks, cover_table=table), grids


def _move_in(beside: Path, folder: Path) -> None:
    """Put everything that was built in its place, each file at once."""
    from funnelfinder.errors import ExportError

    try:
        for path in sorted(path for path in beside.rglob("*") if path.is_file()):
            target = folder / path.relative_to(beside)
            target.parent.mkdir(parents=True, exist_ok=True)
            path.replace(target)
    except OSError as error:
        raise ExportError(
            f"It could not be written: {error.strerror}.",
            where=str(folder),
            remedy="Name another folder.",
        ) from error
