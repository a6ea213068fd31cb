"""Camera records from tables: the open exchange format for camera traps, or a plain one of ours."""

from funnelfinder.files.cameras_in.exchange import WHITETAIL, read_exchange_tables
from funnelfinder.files.cameras_in.plain import EXAMPLE, read_plain_table
from funnelfinder.files.cameras_in.read import read_cameras
from funnelfinder.files.cameras_in.rows import CamerasRead

__all__ = [
    "EXAMPLE",
    "WHITETAIL",
    "CamerasRead",
    "read_cameras",
    "read_exchange_tables",
    "read_plain_table",
]
