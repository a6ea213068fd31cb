"""The cover that trips can keep to, without the specks that a land-cover grid shows."""

from __future__ import annotations

from typing import Final

import numpy as np
from scipy import ndimage

from funnelfinder.ground import Ground
from funnelfinder.kernels import BoolArray

#: An opening smaller than this leads nobody round it (judgement) [m²].
LEAST_OPENING_M2: Final = 2_000.0
#: A patch of cover smaller than this is no cover (judgement) [m²].
LEAST_COVER_M2: Final = 1_000.0


def cover_of(ground: Ground, *, least_opening_m2: float = LEAST_OPENING_M2) -> BoolArray:
    """Return the woody cover on the travel grid, small openings filled, small patches dropped."""
    area_m2 = ground.grid.cell_m**2
    cover = np.asarray(ground.is_woody & ~ground.is_water)
    cover = cover | _small(~cover & ~ground.is_water, least_opening_m2 / area_m2)
    return np.asarray(cover & ~_small(cover, LEAST_COVER_M2 / area_m2))


def _small(mask: BoolArray, n_cells: float) -> BoolArray:
    """Return the patches of a mask that have fewer cells and lie inside the grid."""
    labels, n = ndimage.label(mask)
    if n == 0:
        return np.zeros(mask.shape, dtype=bool)
    count = np.bincount(labels.ravel(), minlength=n + 1)
    rim = np.unique(np.concatenate([labels[0], labels[-1], labels[:, 0], labels[:, -1]]))
    is_small = count < n_cells
    is_small[rim] = False
    is_small[0] = False
    return np.asarray(is_small[labels])
