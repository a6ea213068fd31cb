"""Which moves between cells cross a line, where on it, and how much of a gap they own."""

from __future__ import annotations

import numpy as np
from numba import njit

from funnelfinder.kernels import FloatArray, IntArray

#: A cell centre so near a line is on it and is pushed so far to its left [cells].
_ON_LINE, _PUSH = 1e-6, 1e-5
#: Longest piece of a line that is looked at together [cells].
_PIECE = 8.0


def line_crossings(
    points_m: FloatArray,
    west_m: float,
    north_m: float,
    cell_m: float,
    n_rows: int,
    n_cols: int,
    offsets: IntArray,
) -> tuple[IntArray, IntArray, FloatArray, FloatArray, FloatArray]:
    """Return the moves between cell centres that end on the other side of a line.

    A move that crosses the line and comes back on a bend crosses nothing; of three crossings the
    first along the line counts. A cell centre on the line counts as on its left. A move and its
    reverse cross at the same place.

    Parameters
    ----------
    points_m : (n, 2) float64
        Corners of the line, easting first [m].
    west_m, north_m, cell_m : float
        Outer corner of cell (0, 0) and side of a cell [m].
    n_rows, n_cols : int
        Numbers of cells.
    offsets : (m, 2) int64
        Moves as steps of (row, col).

    Returns
    -------
    cells : (k,) int64
        Flat index of the cell that each crossing move leaves, ascending.
    offset_index : (k,) int64
        Which offset it takes.
    along_m : (k,) float64
        Distance from the line's start to where the move crosses [m].
    normal_east, normal_north : (k,) float64
        Unit vector across the line, to its left.

    Examples
    --------
    A line due north between two columns: the move east from each of its cells crosses it.

    >>> line = np.array([[10.0, 0.0], [10.0, 20.0]])
    >>> east = np.array([[0, 1]])
    >>> cells, _, along_m, normal_east, _ = line_crossings(line, 0.0, 20.0, 10.0, 2, 2, east)
    >>> cells, along_m, normal_east
    (array([0, 2]), array([15.,  5.]), array([-1., -1.]))
    """
    points = np.asarray(points_m, dtype=np.float64).reshape(-1, 2)
    rows = (north_m - points[:, 1]) / cell_m - 0.5
    cols = (points[:, 0] - west_m) / cell_m - 0.5
    moves = np.ascontiguousarray(offsets, dtype=np.int64)
    cells, index, along, heading_row, heading_col = _all_crossings(
        rows, cols, n_rows, n_cols, moves
    )
    key = cells * max(len(moves), 1) + index
    order = np.lexsort((along, key))
    _, first, count = np.unique(key[order], return_index=True, return_counts=True)
    kept = order[first[count % 2 == 1]]
    # Rows run south, so the left of a heading (east, north) = (col, -row) is (row, col).
    return (
        cells[kept],
        index[kept],
        along[kept] * cell_m,
        heading_row[kept],
        heading_col[kept],
    )


def crossing_strip_m(
    cell_m: float, offsets: FloatArray | IntArray, normal_east: FloatArray, normal_north: FloatArray
) -> FloatArray:
    """Return how much of the line each crossing move owns [m].

    Parameters
    ----------
    cell_m : float
        Side of a cell [m].
    offsets : (k, 2) int64
        The step of (row, col) of each crossing move.
    normal_east, normal_north : (k,) float64
        Unit vector across the line where it crosses.
    """
    steps = np.asarray(offsets, dtype=np.float64).reshape(-1, 2)
    across = np.abs(steps[:, 1] * normal_east - steps[:, 0] * normal_north)
    return cell_m / np.maximum(across, 1e-9)


def strip_free_share(along_m: FloatArray, strip_m: FloatArray, gaps: FloatArray) -> FloatArray:
    """Return the share of each crossing's strip that lies in gaps.

    Parameters
    ----------
    along_m : (k,) float64
        Middle of each strip, from the line's start [m].
    strip_m : (k,) float64
        Length of each strip [m].
    gaps : (g, 2) float64
        Where each gap starts and ends, from the line's start [m]; they may overlap.

    Examples
    --------
    >>> strip_free_share(np.array([10.0]), np.array([8.0]), np.array([[4.0, 8.0], [7.0, 9.0]]))
    array([0.375])
    """
    low, high = along_m - strip_m / 2, along_m + strip_m / 2
    free_m = np.zeros(len(low))
    for start, end in _merged(np.asarray(gaps, dtype=np.float64).reshape(-1, 2)):
        free_m += np.clip(np.minimum(high, end) - np.maximum(low, start), 0.0, None)
    return np.clip(free_m / strip_m, 0.0, 1.0)


def _merged(gaps: FloatArray) -> list[tuple[float, float]]:
    """Return gaps that do not overlap and leave the same stretches open."""
    merged: list[tuple[float, float]] = []
    for start, end in sorted((float(a), float(b)) for a, b in gaps):
        if merged and start <= merged[-1][1]:
            merged[-1] = (merged[-1][0], max(end, merged[-1][1]))
        else:
            merged.append((start, end))
    return merged


@njit(cache=True, nogil=True)
def _all_crossings(rows, cols, n_rows, n_cols, offsets):  # type: ignore[no-untyped-def]
    """Return every crossing of every move with every piece, lengths in cells."""
    rows, cols, start = _pieces(rows, cols)
    row0, row1, col0, col1, pushed_row, pushed_col = _pushed(
        rows, cols, n_rows, n_cols, _widest(offsets)
    )
    room = 1024
    cells, index = np.empty(room, np.int64), np.empty(room, np.int64)
    along, head_row, head_col = np.empty(room), np.empty(room), np.empty(room)
    found = 0
    grow = _widest(offsets)
    for piece in range(len(rows) - 1):
        ar, ac, br, bc = rows[piece], cols[piece], rows[piece + 1], cols[piece + 1]
        length = np.hypot(br - ar, bc - ac)
        for r in range(
            max(row0, int(np.floor(min(ar, br))) - grow),
            min(row1, int(np.ceil(max(ar, br))) + grow + 1),
        ):
            for c in range(
                max(col0, int(np.floor(min(ac, bc))) - grow),
                min(col1, int(np.ceil(max(ac, bc))) + grow + 1),
            ):
                for k in range(len(offsets)):
                    r2, c2 = r + offsets[k, 0], c + offsets[k, 1]
                    if r2 < row0 or r2 >= row1 or c2 < col0 or c2 >= col1:
                        continue
                    # A move and its reverse are measured the same way round.
                    if r2 > r or (r2 == r and c2 > c):
                        pr, pc, qr, qc = r, c, r2, c2
                    else:
                        pr, pc, qr, qc = r2, c2, r, c
                    i, j = pr - row0, pc - col0
                    py, px = pr + pushed_row[i, j], pc + pushed_col[i, j]
                    i, j = qr - row0, qc - col0
                    qy, qx = qr + pushed_row[i, j], qc + pushed_col[i, j]
                    side_a = (qx - px) * (ar - py) - (qy - py) * (ac - px)
                    side_b = (qx - px) * (br - py) - (qy - py) * (bc - px)
                    if (side_a >= 0.0) == (side_b >= 0.0):
                        continue
                    side_p = (bc - ac) * (py - ar) - (br - ar) * (px - ac)
                    side_q = (bc - ac) * (qy - ar) - (br - ar) * (qx - ac)
                    if (side_p <= 0.0) == (side_q <= 0.0):
                        continue
                    if found == room:
                        room *= 2
                        cells, index = _longer(cells, room), _longer(index, room)
                        along = _longer(along, room)
                        head_row, head_col = _longer(head_row, room), _longer(head_col, room)
                    cells[found], index[found] = r * n_cols + c, k
                    along[found] = start[piece] + length * side_a / (side_a - side_b)
                    head_row[found], head_col[found] = (br - ar) / length, (bc - ac) / length
                    found += 1
    return (
        cells[:found].copy(),
        index[:found].copy(),
        along[:found].copy(),
        head_row[:found].copy(),
        head_col[:found].copy(),
    )


@njit(cache=True, nogil=True)
def _widest(offsets):  # type: ignore[no-untyped-def]
    """Return the largest step of a row or column among the offsets."""
    widest = 0
    for k in range(len(offsets)):
        widest = max(widest, abs(offsets[k, 0]), abs(offsets[k, 1]))
    return widest


@njit(cache=True, nogil=True)
def _longer(array, room):  # type: ignore[no-untyped-def]
    """Return a copy with room for more."""
    copy = np.empty(room, array.dtype)
    copy[: len(array)] = array
    return copy


@njit(cache=True, nogil=True)
def _pieces(rows, cols):  # type: ignore[no-untyped-def]
    """Return the corners of pieces of at most 8 cells and each one's distance along the line."""
    total = 1
    for i in range(len(rows) - 1):
        total += int(np.ceil(np.hypot(rows[i + 1] - rows[i], cols[i + 1] - cols[i]) / _PIECE))
    piece_rows, piece_cols, start = np.empty(total), np.empty(total), np.zeros(total)
    if len(rows) == 0:
        return piece_rows[:0], piece_cols[:0], start[:0]
    piece_rows[0], piece_cols[0] = rows[0], cols[0]
    k, gone = 1, 0.0
    for i in range(len(rows) - 1):
        length = np.hypot(rows[i + 1] - rows[i], cols[i + 1] - cols[i])
        parts = int(np.ceil(length / _PIECE))
        for part in range(1, parts + 1):
            share = part / parts
            # The corner itself is kept to the last bit.
            piece_rows[k] = (
                rows[i + 1] if part == parts else rows[i] * (1 - share) + rows[i + 1] * share
            )
            piece_cols[k] = (
                cols[i + 1] if part == parts else cols[i] * (1 - share) + cols[i + 1] * share
            )
            start[k] = gone + length * share
            k += 1
        gone += length
    return piece_rows, piece_cols, start


@njit(cache=True, nogil=True)
def _pushed(rows, cols, n_rows, n_cols, grow):  # type: ignore[no-untyped-def]
    """Return the cells near the line and how far centres that lie on it are pushed to its left."""
    if len(rows) < 2:
        return 0, 0, 0, 0, np.zeros((0, 0)), np.zeros((0, 0))
    row0 = int(max(0, np.floor(rows.min()) - grow))
    row1 = int(min(n_rows, np.ceil(rows.max()) + grow + 1))
    col0 = int(max(0, np.floor(cols.min()) - grow))
    col1 = int(min(n_cols, np.ceil(cols.max()) + grow + 1))
    height, width = max(row1 - row0, 0), max(col1 - col0, 0)
    pushed_row, pushed_col = np.zeros((height, width)), np.zeros((height, width))
    last = len(rows) - 1
    for i in range(last):
        length = np.hypot(rows[i + 1] - rows[i], cols[i + 1] - cols[i])
        ur, uc = (rows[i + 1] - rows[i]) / length, (cols[i + 1] - cols[i]) / length
        for r in range(
            max(row0, int(np.floor(min(rows[i], rows[i + 1])))),
            min(row1, int(np.ceil(max(rows[i], rows[i + 1]))) + 1),
        ):
            for c in range(
                max(col0, int(np.floor(min(cols[i], cols[i + 1])))),
                min(col1, int(np.ceil(max(cols[i], cols[i + 1]))) + 1),
            ):
                ahead = (r - rows[i]) * ur + (c - cols[i]) * uc
                aside = (r - rows[i]) * uc - (c - cols[i]) * ur
                if abs(aside) > _ON_LINE or ahead < -_ON_LINE or ahead > length + _ON_LINE:
                    continue
                # At a corner the left of both pieces is between their two lefts.
                left_row, left_col = -uc, ur
                j = i
                if ahead > length - _ON_LINE and i + 1 < last:
                    j = i + 1
                elif ahead < _ON_LINE and i > 0:
                    j = i - 1
                if j != i:
                    near = np.hypot(rows[j + 1] - rows[j], cols[j + 1] - cols[j])
                    left_row -= (cols[j + 1] - cols[j]) / near
                    left_col += (rows[j + 1] - rows[j]) / near
                size = max(np.hypot(left_row, left_col), 1e-12)
                pushed_row[r - row0, c - col0] = _PUSH * left_row / size
                pushed_col[r - row0, c - col0] = _PUSH * left_col / size
    return row0, row1, col0, col1, pushed_row, pushed_col
