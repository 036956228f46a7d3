"""The loops that move a tool straight over the pixel section.

A tool is a row of points along its outline. Along a move only those points are looked at that come
to where anything is left, and only while they do.
"""

from __future__ import annotations

import math

import numpy as np

from judge.compiled import loop
from judge.near import bounds_of, points_near, rows_near, three_rows
from judge.raster import (
    HELD_GROWN,
    HELD_MAYBE,
    HELD_SHRUNK,
    HELD_STRIKE,
    MAYBE,
    METAL,
    METAL_BITS,
    METAL_GROWN,
    METAL_SHRUNK,
    SHIFT,
    STRIKE,
    Bools,
    Floats,
    Grid,
    Whole,
    narrow,
)

LEAVE = np.uint8(0xFF ^ METAL_BITS)


@loop
def _cell(grid: Grid, z0: float, p: float, z: float, r: float) -> int:
    """The byte at a place, 0 outside the section."""
    i = math.floor((z - z0) / p)
    j = math.floor(abs(r) / p + SHIFT)
    if i < 0 or j < 0 or i >= grid.shape[0] or j >= grid.shape[1]:
        return 0
    return int(grid[i, j])


@loop
def _clear(grid: Grid, z0: float, p: float, z: float, r: float) -> None:
    i = math.floor((z - z0) / p)
    j = math.floor(abs(r) / p + SHIFT)
    if 0 <= i < grid.shape[0] and j < grid.shape[1]:
        grid[i, j] &= LEAVE


@loop
def _clear_along(
    grid: Grid, z0: float, p: float, az: float, ar: float, bz: float, br: float, steps: int,
    first: int, last: int, z: float, r: float,
) -> None:  # fmt: skip
    """Clears what one point of the outline passes between two steps, on one side of the axis."""
    if az != bz and ar != br:
        for step in range(first, last + 1):
            share = step / steps
            _clear(grid, z0, p, az + (bz - az) * share + z, ar + (br - ar) * share + r)
        return
    # Along one axis no cell between two steps is passed over.
    one, two = first / steps, last / steps
    i1 = math.floor((az + (bz - az) * one + z - z0) / p)
    i2 = math.floor((az + (bz - az) * two + z - z0) / p)
    j1 = math.floor(abs(ar + (br - ar) * one + r) / p + SHIFT)
    j2 = math.floor(abs(ar + (br - ar) * two + r) / p + SHIFT)
    for i in range(max(0, min(i1, i2)), min(grid.shape[0] - 1, max(i1, i2)) + 1):
        for j in range(max(0, min(j1, j2)), min(grid.shape[1] - 1, max(j1, j2)) + 1):
            grid[i, j] &= LEAVE


@loop
def advance(
    grid: Grid, z0: float, p: float, top: Whole, bottom: Whole, held_first: int, held_last: int,
    az: float, ar: float, bz: float, br: float, outline: Floats, edges: Whole,
    cut: Bools, iok: Bools, active: bool,
) -> int:  # fmt: skip
    """Moves the tool straight from (az, ar) to (bz, br); stops at the first sure strike.

    Only points of the outline that lead are looked at: what follows stands where leading points
    have been.
    """
    length = math.hypot(bz - az, br - ar)
    if length < 1e-12:
        return 0
    dz, dr = (bz - az) / length, (br - ar) / length
    sz, sr, iz, ir = outline[0], outline[1], outline[4], outline[5]
    steps = max(1, math.ceil(length / (0.5 * p)))
    low, high, most, tops, bottoms = bounds_of(z0, p, top, bottom, az, bz, outline, edges)
    if most < 0:
        return 0
    chosen, cutters, watched = three_rows(len(sz))
    firsts, lasts, _ = three_rows(len(sz))
    count = points_near(
        z0, p, top, bottom, tops, bottoms, low, high, most, az, ar, bz, br, steps, outline, edges,
        True, chosen, firsts, lasts,
    )  # fmt: skip
    cutting = watching = 0
    begin, end = steps, 0
    for c in range(count):
        k = chosen[c]
        begin, end = min(begin, firsts[k]), max(end, lasts[k])
        cuts = active and cut[k]
        if cuts:
            cutters[cutting] = k
            cutting += 1
        one, two = rows_near(z0, p, min(az, bz) + sz[k], max(az, bz) + sz[k], len(top))
        near_held = one <= held_last and two >= held_first
        if not cuts or near_held or min(ar, br) + sr[k] < 0:
            watched[watching] = k
            watching += 1
    answer = 0
    if watching == 0:
        for c in range(cutting):
            k = cutters[c]
            _clear_along(grid, z0, p, az, ar, bz, br, steps, firsts[k], lasts[k], sz[k], sr[k])
    else:
        for step in range(begin, end + 1):
            share = step / steps
            z, r = az + (bz - az) * share, ar + (br - ar) * share
            for c in range(cutting):
                k = cutters[c]
                if firsts[k] <= step <= lasts[k] and r + sr[k] >= -1e-9:
                    _clear(grid, z0, p, z + sz[k], r + sr[k])
            for c in range(watching):
                k = watched[c]
                if step < firsts[k] or step > lasts[k]:
                    continue
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
    if cutting:
        narrow(grid, top, bottom, low, high)
    return answer


@loop
def thread(
    grid: Grid, z0: float, p: float, top: Whole, bottom: Whole, az: float, ar: float, bz: float,
    br: float, outline: Floats, edges: Whole, cut: Bools, iok: Bools, outward: float,
    crest_z: float, crest_r: float, slope: float,
) -> int:  # fmt: skip
    """Moves the tool along a thread pass or the withdrawal after it: nothing is cut away.

    Cutting points may stand in metal; where `outward` is not 0, in no metal further out than the
    crest, which passes through (`crest_z`, `crest_r`). All other points of the outline, those that
    follow too, meet what stands there. Stops at the first sure strike.
    """
    length = math.hypot(bz - az, br - ar)
    sz, sr, iz, ir = outline[0], outline[1], outline[4], outline[5]
    steps = max(1, math.ceil(length / (0.5 * p)))
    low, high, most, tops, bottoms = bounds_of(z0, p, top, bottom, az, bz, outline, edges)
    if most < 0:
        return 0
    watched, firsts, lasts = three_rows(len(sz))
    watching = points_near(
        z0, p, top, bottom, tops, bottoms, low, high, most, az, ar, bz, br, steps, outline, edges,
        False, watched, firsts, lasts,
    )  # fmt: skip
    begin, end = steps, 0
    for c in range(watching):
        begin, end = min(begin, firsts[watched[c]]), max(end, lasts[watched[c]])
    answer = 0
    for step in range(begin, end + 1):
        share = step / steps
        z, r = az + (bz - az) * share, ar + (br - ar) * share
        for c in range(watching):
            k = watched[c]
            if step < firsts[k] or step > lasts[k]:
                continue
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
