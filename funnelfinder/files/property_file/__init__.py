"""One GeoPackage that holds all of a property: marks, choices, grids and findings."""

from funnelfinder.files.property_file.findings import load_findings, save_findings
from funnelfinder.files.property_file.grids import load_grids, save_grids
from funnelfinder.files.property_file.holding import Hold, hold, is_held
from funnelfinder.files.property_file.opening import FORMAT
from funnelfinder.files.property_file.place import load_place, save_place
from funnelfinder.files.property_file.whole import Kept, create, load

__all__ = [
    "FORMAT",
    "Hold",
    "Kept",
    "create",
    "hold",
    "is_held",
    "load",
    "load_findings",
    "load_grids",
    "load_place",
    "save_findings",
    "save_grids",
    "save_place",
]
