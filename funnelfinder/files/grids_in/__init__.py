"""Elevation and land cover from the files that a person has."""

from funnelfinder.files.grids_in.height_units import HEIGHT_UNITS_M
from funnelfinder.files.grids_in.read import read_grids

__all__ = ["HEIGHT_UNITS_M", "read_grids"]
