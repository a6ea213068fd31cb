"""Boundaries and marks from the vector files that a person has."""

from funnelfinder.files.outlines_in.boundary import Boundary, read_boundary
from funnelfinder.files.outlines_in.mark_rows import read_marks

__all__ = ["Boundary", "read_boundary", "read_marks"]
