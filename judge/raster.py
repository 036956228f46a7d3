"""The pixel section and the loops that move a tool over it.

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

import numba
import numpy as np
from numpy.typing import NDArray

SHIFT = 0.37
METAL_SHRUNK, METAL, METAL_GROWN = 1, 2, 4
HELD_SHRUNK, HELD_GROWN = 8, 16
METAL_BITS = METAL_SHRUNK | METAL | METAL_GROWN

STRIKE, MAYBE, HELD_STRIKE, HELD_MAYBE = 1, 2, 4, 8
"""What `advance`, `thread` and `cover` answer, as bits. MAYBE: met by the grown reading only."""

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]
Grid = NDArray[np.uint8]


@numba.njit(cache=True)
def _cell(grid: Grid, z0: float, p: float, z: float, r: float) -> int:
    """The byte at a place, 0 outside the section."""
    i = math.floor((z - z0) / p)
    j = math.floor(abs(r) / p + SHIFT)
    if i < 0 or j < 0 or i >= grid.shape[0] or j >= grid.shape[1]:
        return 0
    return int(grid[i, j])


@numba.njit(cache=True)
def advance(
    grid: Grid, z0: float, p: float, az: float, ar: float, bz: float, br: float,
    sz: Floats, sr: Floats, nz: Floats, nr: Floats, cut: Bools,
    iz: Floats, ir: Floats, iok: Bools, active: bool, box: Floats,
) -> int:  # fmt: skip
    """Moves the tool straight from (az, ar) to (bz, br); stops at the first sure strike.

    `box` is (least z, greatest z, greatest r) of all that is in the section. Only points of the
    outline that lead are looked at: what follows stands where leading points have been.
    """
    length = math.hypot(bz - az, br - ar)
    if length < 1e-12:
        return 0
    dz, dr = (bz - az) / length, (br - ar) / length
    room = 3 * p
    chosen = np.empty(len(sz), np.int64)
    count = 0
    for k in range(len(sz)):
        if nz[k] * dz + nr[k] * dr <= 1e-7:
            continue
        z1, z2 = min(az, bz) + sz[k], max(az, bz) + sz[k]
        r1, r2 = min(ar, br) + sr[k], max(ar, br) + sr[k]
        if z2 < box[0] - room or z1 > box[1] + room or r1 > box[2] + room or r2 < -box[2] - room:
            continue
        chosen[count] = k
        count += 1
    if count == 0:
        return 0
    answer = 0
    steps = max(1, math.ceil(length / (0.5 * p)))
    for step in range(steps + 1):
        share = step / steps
        z, r = az + (bz - az) * share, ar + (br - ar) * share
        for c in range(count):
            k = chosen[c]
            if active and cut[k] and r + sr[k] >= -1e-9:
                i = math.floor((z + sz[k] - z0) / p)
                j = math.floor(abs(r + sr[k]) / p + SHIFT)
                if 0 <= i < grid.shape[0] and j < grid.shape[1]:
                    grid[i, j] &= np.uint8(0xFF ^ METAL_BITS)
        for c in range(count):
            k = chosen[c]
            cuts = active and cut[k]
            here = _cell(grid, z0, p, z + sz[k], r + sr[k])
            if here & HELD_GROWN:
                answer |= HELD_MAYBE
            past = r + sr[k] < -1e-9
            if not cuts or past:
                if here & METAL_GROWN:
                    answer |= MAYBE
                if not cuts:
                    ahead = _cell(grid, z0, p, z + sz[k] + p * dz, r + sr[k] + p * dr)
                    if ahead & METAL:
                        answer |= MAYBE
            if iok[k]:
                inner = _cell(grid, z0, p, z + iz[k], r + ir[k])
                if inner & HELD_SHRUNK:
                    return answer | HELD_STRIKE
                if inner & METAL_SHRUNK and (not cuts or (past and r + ir[k] < 0)):
                    return answer | STRIKE
    return answer


@numba.njit(cache=True)
def thread(
    grid: Grid, z0: float, p: float, az: float, ar: float, bz: float, br: float,
    sz: Floats, sr: Floats, cut: Bools, iz: Floats, ir: Floats, iok: Bools,
    outward: float, crest_z: float, crest_r: float, slope: float,
) -> int:  # fmt: skip
    """Moves the tool along a thread pass or the withdrawal after it: nothing is cut away.

    Cutting points may stand in metal; where `outward` is not 0, in no metal further out than the
    crest, which passes through (`crest_z`, `crest_r`). All other points of the outline, those that
    follow too, meet what stands there. Stops at the first sure strike.
    """
    length = math.hypot(bz - az, br - ar)
    answer = 0
    steps = max(1, math.ceil(length / (0.5 * p)))
    for step in range(steps + 1):
        share = step / steps
        z, r = az + (bz - az) * share, ar + (br - ar) * share
        for k in range(len(sz)):
            beyond = True
            deep = True
            if cut[k]:
                if outward == 0:
                    beyond = False
                else:
                    crest = crest_r + slope * (z + sz[k] - crest_z)
                    over = (r + sr[k] - crest) * outward
                    beyond, deep = over > 1e-6, over > p
            here = _cell(grid, z0, p, z + sz[k], r + sr[k])
            if here & HELD_GROWN:
                answer |= HELD_MAYBE
            if beyond and here & METAL_GROWN:
                answer |= MAYBE
            if iok[k]:
                inner = _cell(grid, z0, p, z + iz[k], r + ir[k])
                if inner & HELD_SHRUNK:
                    return answer | HELD_STRIKE
                if beyond and deep and inner & METAL_SHRUNK:
                    return answer | STRIKE
    return answer


@numba.njit(cache=True)
def _box_meets(points: Floats, z1: float, z2: float, r1: float, r2: float) -> bool:
    """Whether a polygon and a box along the axes have a point in common."""
    n = len(points)
    inside = False
    for k in range(n):
        az, ar = points[k, 0], points[k, 1]
        bz, br = points[(k + 1) % n, 0], points[(k + 1) % n, 1]
        low, high = 0.0, 1.0
        dz, dr = bz - az, br - ar
        missed = False
        for axis in range(2):
            d = dz if axis == 0 else dr
            a = az if axis == 0 else ar
            one = z1 if axis == 0 else r1
            two = z2 if axis == 0 else r2
            if d == 0:
                if a < one or a > two:
                    missed = True
            else:
                t1, t2 = (one - a) / d, (two - a) / d
                low = max(low, min(t1, t2))
                high = min(high, max(t1, t2))
        if not missed and low <= high:
            return True
        if (ar > r1) != (br > r1) and z1 < az + (r1 - ar) * dz / dr:
            inside = not inside
    return inside


@numba.njit(cache=True)
def cover(grid: Grid, z0: float, p: float, az: float, ar: float, bz: float, br: float,
          points: Floats) -> int:  # fmt: skip
    """All of the tool at every place of the rectangle from (az, ar) to (bz, br)."""
    z1, z2, r1, r2 = min(az, bz), max(az, bz), min(ar, br), max(ar, br)
    tz1, tz2 = points[:, 0].min() + z1, points[:, 0].max() + z2
    answer = 0
    inset = 0.7 * p
    for i in range(grid.shape[0]):
        z = z0 + (i + 0.5) * p
        if z < tz1 or z > tz2:
            continue
        for j in range(grid.shape[1]):
            here = int(grid[i, j])
            if here == 0:
                continue
            for side in range(2):
                r = (j + 0.5 - SHIFT) * p
                if side == 1:
                    r = -r
                if not _box_meets(points, z - z2, z - z1, r - r2, r - r1):
                    continue
                if here & METAL_GROWN:
                    answer |= MAYBE
                if here & HELD_GROWN:
                    answer |= HELD_MAYBE
                if here & (METAL_SHRUNK | HELD_SHRUNK):
                    deep = True
                    for corner in range(4):
                        qz = z + (inset if corner & 1 else -inset)
                        qr = r + (inset if corner & 2 else -inset)
                        if not _box_meets(points, qz - z2, qz - z1, qr - r2, qr - r1):
                            deep = False
                            break
                    if deep:
                        return answer | (STRIKE if here & METAL_SHRUNK else HELD_STRIKE)
    return answer


@numba.njit(cache=True)
def paint(grid: Grid, z0: float, p: float, points: Floats, shrunk: int, exact: int, grown: int,
          by: float) -> None:  # fmt: skip
    """Sets the bits of the cells whose centres lie in a polygon shrunk by `by`, as it is, and
    grown by `by`."""
    n = len(points)
    least_z, greatest_z = points[:, 0].min() - by, points[:, 0].max() + by
    least_r, greatest_r = points[:, 1].min() - by, points[:, 1].max() + by
    for i in range(grid.shape[0]):
        z = z0 + (i + 0.5) * p
        if z < least_z or z > greatest_z:
            continue
        for j in range(grid.shape[1]):
            r = (j + 0.5 - SHIFT) * p
            if r < least_r or r > greatest_r:
                continue
            inside = False
            nearest = 1e30
            for k in range(n):
                az, ar = points[k, 0], points[k, 1]
                bz, br = points[(k + 1) % n, 0], points[(k + 1) % n, 1]
                ez, er = bz - az, br - ar
                if (ar > r) != (br > r) and z < az + (r - ar) * ez / er:
                    inside = not inside
                size = ez * ez + er * er
                t = 0.0
                if size > 0:
                    t = min(1.0, max(0.0, ((z - az) * ez + (r - ar) * er) / size))
                nearest = min(nearest, math.hypot(z - az - t * ez, r - ar - t * er))
            if inside:
                grid[i, j] |= np.uint8(exact | grown)
                if nearest >= by:
                    grid[i, j] |= np.uint8(shrunk)
            elif nearest <= by:
                grid[i, j] |= np.uint8(grown)
