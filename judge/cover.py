"""A tool anywhere in a rectangle: where a rapid's way is not known."""

from __future__ import annotations

import math

from judge.compiled import loop
from judge.raster import (
    HELD_GROWN,
    HELD_MAYBE,
    HELD_SHRUNK,
    HELD_STRIKE,
    MAYBE,
    METAL_GROWN,
    METAL_SHRUNK,
    SHIFT,
    STRIKE,
    Floats,
    Grid,
    Whole,
)


@loop
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


@loop
def cover(
    grid: Grid, z0: float, p: float, top: Whole, bottom: Whole, az: float, ar: float, bz: float,
    br: float, points: Floats,
) -> int:  # fmt: skip
    """All of the tool at every place of the rectangle from (az, ar) to (bz, br)."""
    z1, z2, r1, r2 = min(az, bz), max(az, bz), min(ar, br), max(ar, br)
    tz1, tz2 = points[:, 0].min() + z1, points[:, 0].max() + z2
    tr1, tr2 = points[:, 1].min() + r1, points[:, 1].max() + r2
    # The rectangle's columns, with a pixel to spare.
    nearest = 0.0 if tr1 <= 0.0 <= tr2 else min(abs(tr1), abs(tr2))
    low = math.floor(nearest / p + SHIFT) - 1
    high = math.floor(max(abs(tr1), abs(tr2)) / p + SHIFT) + 1
    answer = 0
    inset = 0.7 * p
    for i in range(grid.shape[0]):
        z = z0 + (i + 0.5) * p
        if z < tz1 or z > tz2:
            continue
        for j in range(max(low, bottom[i]), min(high, top[i]) + 1):
            here = int(grid[i, j])
            if here == 0:
                continue
            for side in range(2):
                r = (j + 0.5 - SHIFT) * p
                if side == 1:
                    r = -r
                if r < tr1 - p or r > tr2 + p:
                    continue
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
