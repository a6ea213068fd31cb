"""What sort of grid a file is: heights, cover codes, or a picture."""

from __future__ import annotations

from enum import Enum
from pathlib import Path
from typing import Final

import numpy as np
from rasterio.errors import RasterioError

from funnelfinder.files.grids_in.grid_file import cut_short, opened
from funnelfinder.land_cover import LEGENDS, shipped_table

#: A file is looked at on this many cells a side at most.
_LOOK_CELLS: Final = 256
#: More classes than this are heights in whole metres, not codes.
_MOST_CLASSES: Final = 40


class GridKind(Enum):
    """What a grid file holds; the value is what people read."""

    ELEVATION = "elevation"
    COVER = "land cover"
    PICTURE = "picture"


def kind_of_grid(path: Path) -> GridKind:
    """Return what a grid file holds, by its bands and its values.

    Three bands or more of bytes are a picture; a single band of whole numbers that a legend
    knows is land cover; everything else is elevation.

    Raises
    ------
    GridError
        If the file cannot be read as a grid.
    """
    with opened(path) as dataset:
        if dataset.count >= 3 and dataset.dtypes[0] == "uint8":
            return GridKind.PICTURE
        if np.dtype(dataset.dtypes[0]).kind == "f":
            return GridKind.ELEVATION
        shape = (min(dataset.height, _LOOK_CELLS), min(dataset.width, _LOOK_CELLS))
        try:
            values = dataset.read(1, out_shape=shape, masked=True)
        except RasterioError as error:
            raise cut_short(path.name) from error
    codes = set(np.unique(values.compressed()).tolist())
    known = {one.code for legend in LEGENDS for one in shipped_table(legend).classes}
    is_cover = len(codes) <= _MOST_CLASSES and (
        str(values.dtype) == "uint8" or len(codes & known) >= max(len(codes) / 2, 1)
    )
    return GridKind.COVER if is_cover else GridKind.ELEVATION
