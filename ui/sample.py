"""The sample property, to try everything on: copied to a place of the person's own."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from funnelfinder.files import property_file
from funnelfinder.files.grids_in import read_grids
from funnelfinder.files.outlines_in import read_boundary, read_marks
from funnelfinder.marks import Property
from funnelfinder.progress import Part, Progress

from .paths import unused_path


def sample_files() -> Any:
    """Return where the sample's files lie, installed or in the source tree."""
    try:
        from funnelfinder.sample_rasters import sample_files as found
    except ModuleNotFoundError:
        from sample_rasters import sample_files as found
    return found()


def make_sample(folder: Path, progress: Progress) -> Path:
    """Make a property file of the sample and return its path."""
    files = sample_files()
    progress.step(0.02, "Laying out the sample")
    boundary = read_boundary(files.boundary)
    marks, _notes = read_marks(files.marks, epsg=boundary.epsg)
    place = Property(name=boundary.name, epsg=boundary.epsg, boundary=boundary.outline, marks=marks)
    grids, table = read_grids(
        place,
        elevation=[files.elevation],
        cover=[files.cover],
        legend=files.legend,
        progress=Part(progress, 0.1, 0.8),
    )
    path = unused_path(folder, boundary.name)
    progress.step(0.85, "Keeping the sample")
    property_file.create(path, Property(**{**_parts(place), "cover_table": table}))
    property_file.save_grids(path, grids)
    return path


def _parts(place: Property) -> dict[str, Any]:
    """Return the fields of a property."""
    return {name: getattr(place, name) for name in place.__dataclass_fields__}
