"""Tiles whose cells belong to one larger grid: read as one, so that no seam is left."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from affine import Affine
from rasterio.windows import Window

from funnelfinder.files.grids_in.grid_file import GridFile

#: Tiles belong together if their cells are equally large and lie on each other, by this share of
#: a cell.
_SAME_PLACE: Final = 0.01
_SAME_SIZE: Final = 1e-7


@dataclass(frozen=True, kw_only=True)
class Member:
    """One tile of a stack; ``row`` and ``col`` are where its first cell lies in the whole."""

    file: GridFile
    row: int
    col: int

    def under(self, window: Window) -> Window | None:
        """Return the tile's own cells under a window of the whole, None if there are none."""
        row0 = max(window.row_off, self.row)
        col0 = max(window.col_off, self.col)
        row1 = min(window.row_off + window.height, self.row + self.file.n_rows)
        col1 = min(window.col_off + window.width, self.col + self.file.n_cols)
        if row0 >= row1 or col0 >= col1:
            return None
        return Window(col0 - self.col, row0 - self.row, col1 - col0, row1 - row0)


@dataclass(frozen=True, kw_only=True)
class Stack:
    """Tiles that follow each other in the list of files and share their cells.

    ``whole`` is the grid around all of them.
    """

    whole: GridFile
    members: tuple[Member, ...]

    def __iter__(self) -> Iterator[Member]:
        return iter(self.members)

    @property
    def said_names(self) -> str:
        """The name of the tile, or of the first and how many more."""
        more = len(self.members) - 1
        return self.members[0].file.name + (f" and {more} more" if more else "")


def stacked(files: Sequence[GridFile]) -> list[Stack]:
    """Return the files in stacks, in their order; a file that fits no other is one alone."""
    groups: list[list[GridFile]] = []
    for file in files:
        if groups and _offset(groups[-1][0], file) is not None:
            groups[-1].append(file)
        else:
            groups.append([file])
    return [_stack(group) for group in groups]


def _offset(first: GridFile, other: GridFile) -> tuple[int, int] | None:
    """Return the row and column of another file's first cell in a file's cells, if they match."""
    if not first.crs.equals(other.crs):
        return None
    a, b = first.transform, other.transform
    sizes = np.array([[a.a, a.b, a.d, a.e], [b.a, b.b, b.d, b.e]])
    if np.abs(sizes[0] - sizes[1]).max() > _SAME_SIZE * np.abs(sizes[0]).max():
        return None
    col, row = ~a @ (b.c, b.f)
    if max(abs(col - round(col)), abs(row - round(row))) > _SAME_PLACE:
        return None
    return round(row), round(col)


def _stack(files: list[GridFile]) -> Stack:
    """Return files of one set of cells as a stack."""
    places = np.array([_offset(files[0], file) for file in files])
    row0, col0 = places.min(axis=0).tolist()
    ends = places + [[file.n_rows, file.n_cols] for file in files]
    row1, col1 = ends.max(axis=0).tolist()
    whole = replace(
        files[0],
        transform=files[0].transform @ Affine.translation(col0, row0),
        n_rows=row1 - row0,
        n_cols=col1 - col0,
    )
    members = [
        Member(file=file, row=int(row) - row0, col=int(col) - col0)
        for file, (row, col) in zip(files, places, strict=True)
    ]
    return Stack(whole=whole, members=tuple(members))
