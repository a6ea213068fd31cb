"""The sample property: an invented place in invented hill country, to try everything on.

Tansy Fork is about 640 acres of ridge and creek bottom: a main ridge with a gap worn through it,
points and draws on both sides, a creek with one good ford, a bean field with corners poking into
the woods, hay and pasture with a wooded draw between, thickets where deer bed. Place, people and
names are made up; the grids lie in UTM zone 17 north because they have to lie somewhere.

``grow.py`` makes every file here from a seed and a plan drawn by hand (``plan.py`` the lie of the
land, ``places.py`` fields and marks): crests, spurs and hollows are joined by a membrane, streams
cut it and slopes creep, then flood plains, channels, a bench and small roughness are worked in.
``built_in.csv`` names the five funnels that were built in, written down before any trip was
computed on this ground.
"""

from __future__ import annotations

from dataclasses import dataclass
from importlib import resources
from pathlib import Path


@dataclass(frozen=True, slots=True, kw_only=True)
class SampleFiles:
    """Where the files of the sample lie.

    ``boundary`` and ``marks`` are GeoJSON, ``elevation`` and ``cover`` GeoTIFF, ``built_in`` a
    table of the funnels that were built into the ground; ``legend`` is that of the cover's codes.
    """

    boundary: Path
    elevation: Path
    cover: Path
    marks: Path
    built_in: Path
    legend: str = "nlcd"


def sample_files() -> SampleFiles:
    """Return where the files of the sample property lie.

    Examples
    --------
    >>> sample_files().boundary.name
    'boundary.geojson'
    """
    folder = Path(str(resources.files(__package__)))
    return SampleFiles(
        boundary=folder / "boundary.geojson",
        elevation=folder / "elevation.tif",
        cover=folder / "cover.tif",
        marks=folder / "marks.geojson",
        built_in=folder / "built_in.csv",
    )
