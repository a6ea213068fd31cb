"""One GeoPackage that holds all of a property: marks, choices, grids and findings.

To keep something more: say it as a `Table`, write it with `write_rows` on the connection that
`in_place` gives, and read it with `read_rows` on the one of `connected`. Files made before have no
such table and read as if it were empty; programs that do not know it leave it alone.
"""

from funnelfinder.files.property_file.brought import (
    Picture,
    forget_grids,
    load_crops,
    load_origins,
    load_picture,
    save_brought,
)
from funnelfinder.files.property_file.cameras import change_cameras, load_cameras
from funnelfinder.files.property_file.findings import (
    load_findings,
    load_run_day,
    save_findings,
)
from funnelfinder.files.property_file.grids import load_grids, save_grids
from funnelfinder.files.property_file.holding import Hold, hold, is_held
from funnelfinder.files.property_file.log import add_visits, load_log, save_log
from funnelfinder.files.property_file.opening import FORMAT, connected, says_property
from funnelfinder.files.property_file.place import load_place, save_place
from funnelfinder.files.property_file.tables import (
    Column,
    Kind,
    Row,
    Table,
    columns_of,
    read_rows,
    values_of,
    write_rows,
)
from funnelfinder.files.property_file.whole import Kept, create, load
from funnelfinder.files.property_file.writing import in_place

__all__ = [
    "FORMAT",
    "Column",
    "Hold",
    "Kept",
    "Kind",
    "Picture",
    "Row",
    "Table",
    "add_visits",
    "change_cameras",
    "columns_of",
    "connected",
    "create",
    "forget_grids",
    "hold",
    "in_place",
    "is_held",
    "load",
    "load_cameras",
    "load_crops",
    "load_findings",
    "load_grids",
    "load_log",
    "load_origins",
    "load_picture",
    "load_place",
    "load_run_day",
    "read_rows",
    "save_brought",
    "save_findings",
    "save_grids",
    "save_log",
    "save_place",
    "says_property",
    "values_of",
    "write_rows",
]
