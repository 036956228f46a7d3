"""The pixel section: its cells, what is painted into it, and how far it is filled.

A cell is a byte: what may be in it, each bit by one reading of what there was at the start. Cell
(i, j) spans z0 + i p to z0 + (i + 1) p along z and (j - SHIFT) p to (j + 1 - SHIFT) p in r; the
shift keeps round numbers of a program off the borders of the cells.

Cutting clears a cell as soon as a cutting point stands in it. So metal that is counted as left is
truly left: a point of the tool inside it by more than the distance between samples is a strike.
And metal counted as gone is gone up to one pixel, which the points held ahead of the tool make up
for; sideways the section is only as fine as its pixel.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from judge.compiled import loop

SHIFT = 0.37
METAL_SHRUNK, METAL, METAL_GROWN = 1, 2, 4
HELD_SHRUNK, HELD_GROWN = 8, 16
METAL_BITS = METAL_SHRUNK | METAL | METAL_GROWN
HELD_BITS = HELD_SHRUNK | HELD_GROWN

STRIKE, MAYBE, HELD_STRIKE, HELD_MAYBE = 1, 2, 4, 8
"""What a move meets, as bits. MAYBE: met by the grown reading only."""

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]
Whole = NDArray[np.int64]
Grid = NDArray[np.uint8]


@loop
def filled(grid: Grid) -> tuple[Whole, Whole, int, int]:
    """For each row along z the greatest and the least column with anything in it, -1 and the number
    of columns where it is empty; then the first and the last row with anything held, the last
    before the first where there is none."""
    rows, columns = grid.shape
    top, bottom = np.full(rows, -1, np.int64), np.full(rows, columns, np.int64)
    first, last = rows, -1
    for i in range(rows):
        found = np.uint8(0)
        for j in range(columns):
            found |= grid[i, j]
        if found == 0:
            continue
        if found & HELD_BITS:
            first, last = min(first, i), i
        top[i], bottom[i] = columns - 1, 0
        narrow(grid, top, bottom, i, i)
    return top, bottom, first, last


@loop
def narrow(grid: Grid, top: Whole, bottom: Whole, first: int, last: int) -> None:
    """Brings the columns of `filled` in to what is left, in the rows from `first` to `last`."""
    for i in range(first, last + 1):
        while top[i] >= 0 and grid[i, top[i]] == 0:
            top[i] -= 1
        if top[i] < 0:
            bottom[i] = grid.shape[1]
            continue
        while grid[i, bottom[i]] == 0:
            bottom[i] += 1


@loop
def front_row(grid: Grid, n: int) -> int:
    """The greatest row at which a square of n by n cells of metal begins, -1 where none does."""
    rows, columns = grid.shape
    # How many cells of metal lie one after the other, from this row towards the front.
    deep = np.zeros(columns, np.int64)
    for i in range(rows - 1, -1, -1):
        greatest = 0
        for j in range(columns):
            deep[j] = (deep[j] + 1) if grid[i, j] & METAL else 0
            greatest = max(greatest, deep[j])
        if greatest < n:
            continue
        run = 0
        for j in range(columns):
            run = run + 1 if deep[j] >= n else 0
            if run == n:
                return i
    return -1


@loop
def paint(grid: Grid, z0: float, p: float, points: Floats, shrunk: int, exact: int, grown: int,
          by: float) -> None:  # fmt: skip
    """Sets the bits of the cells whose centres lie in a polygon shrunk by `by`, as it is, and
    grown by `by`."""
    least_z, greatest_z = points[:, 0].min() - by, points[:, 0].max() + by
    least_r, greatest_r = points[:, 1].min() - by, points[:, 1].max() + by
    i0, i1 = max(0, _row(z0, p, least_z)), min(grid.shape[0] - 1, _row(z0, p, greatest_z))
    j0, j1 = max(0, _column(p, least_r)), min(grid.shape[1] - 1, _column(p, greatest_r))
    if i1 < i0 or j1 < j0:
        return
    while i0 < i1 and z0 + (i0 + 0.5) * p < least_z:
        i0 += 1
    while i0 < i1 and z0 + (i1 + 0.5) * p > greatest_z:
        i1 -= 1
    while j0 < j1 and (j0 + 0.5 - SHIFT) * p < least_r:
        j0 += 1
    while j0 < j1 and (j1 + 0.5 - SHIFT) * p > greatest_r:
        j1 -= 1
    changes = _crossings(z0, p, points, i0, i1, j0, j1)
    near = _near_edges(z0, p, points, i0, i1, j0, j1, by)
    # What is set outside and inside, each by how near the cell lies to an edge.
    bits = np.array([0, grown, grown, exact | grown | shrunk, exact | grown | shrunk,
                     exact | grown], np.uint8)  # fmt: skip
    inside = np.zeros(j1 - j0 + 1, np.uint8)
    for i in range(i1, i0 - 1, -1):
        row, turned, close = grid[i, j0 : j1 + 1], changes[i - i0 + 1], near[i - i0]
        for j in range(len(inside)):
            inside[j] ^= turned[j]
            row[j] |= bits[3 * inside[j] + close[j]]


@loop
def _row(z0: float, p: float, z: float) -> int:
    return math.floor((z - z0) / p)


@loop
def _column(p: float, r: float) -> int:
    return math.floor(r / p + SHIFT)


@loop
def _crossings(z0: float, p: float, points: Floats, i0: int, i1: int, j0: int, j1: int) -> Grid:
    """Where, from the greatest row down, each column goes into the polygon or out of it: 1 in row
    i + 1 - i0 where it does between cell i and the one above."""
    n = len(points)
    changes = np.zeros((i1 - i0 + 2, j1 - j0 + 1), np.uint8)
    for j in range(j0, j1 + 1):
        r = (j + 0.5 - SHIFT) * p
        for k in range(n):
            az, ar = points[k, 0], points[k, 1]
            bz, br = points[(k + 1) % n, 0], points[(k + 1) % n, 1]
            if (ar > r) == (br > r):
                continue
            crossing = az + (r - ar) * (bz - az) / (br - ar)
            # The first cell whose centre does not lie before the crossing.
            i = min(i1 + 1, max(i0, _row(z0, p, crossing)))
            while i > i0 and not z0 + (i - 1 + 0.5) * p < crossing:
                i -= 1
            while i <= i1 and z0 + (i + 0.5) * p < crossing:
                i += 1
            changes[i - i0, j - j0] ^= np.uint8(1)
    return changes


@loop
def _near_edges(z0: float, p: float, points: Floats, i0: int, i1: int, j0: int, j1: int, by: float
                ) -> Grid:  # fmt: skip
    """2 where a cell's centre lies nearer than `by` to an edge, 1 where just so near, else 0."""
    n = len(points)
    near = np.zeros((i1 - i0 + 1, j1 - j0 + 1), np.uint8)
    room = by + p
    for k in range(n):
        az, ar = points[k, 0], points[k, 1]
        bz, br = points[(k + 1) % n, 0], points[(k + 1) % n, 1]
        ez, er = bz - az, br - ar
        size = ez * ez + er * er
        for i in range(max(i0, _row(z0, p, min(az, bz) - room)),
                       min(i1, _row(z0, p, max(az, bz) + room)) + 1):  # fmt: skip
            z = z0 + (i + 0.5) * p
            for j in range(max(j0, _column(p, min(ar, br) - room)),
                           min(j1, _column(p, max(ar, br) + room)) + 1):  # fmt: skip
                r = (j + 0.5 - SHIFT) * p
                t = 0.0
                if size > 0:
                    t = min(1.0, max(0.0, ((z - az) * ez + (r - ar) * er) / size))
                away = math.hypot(z - az - t * ez, r - ar - t * er)
                if away < by:
                    near[i - i0, j - j0] = 2
                elif away <= by:
                    near[i - i0, j - j0] = max(near[i - i0, j - j0], np.uint8(1))
    return near
