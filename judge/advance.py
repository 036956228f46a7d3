"""The loops that move a tool straight over the pixel section.

A tool is a row of points along its outline. Along a move only those points are looked at that come
to where anything is left, and only while they do: `filled` says how far that reaches, and cutting
brings it in. What is passed over would have met empty cells.
"""

from __future__ import annotations

import math

import numpy as np

from judge.compiled import loop
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

REACH = 1.01
"""Pixels around a point of the outline within which cells are looked at for it, and a little."""
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
def _rows(z0: float, p: float, z1: float, z2: float, count: int) -> tuple[int, int]:
    """The rows that a point comes near between z1 and z2."""
    room = REACH * p
    first = max(0, math.floor((z1 - room - z0) / p))
    return first, min(count - 1, math.floor((z2 + room - z0) / p))


@loop
def _tallest(top: Whole, first: int, last: int) -> int:
    """The greatest column with anything in it in these rows."""
    most = -1
    for i in range(first, last + 1):
        most = max(most, top[i])
    return most


@loop
def _steps_near(
    z0: float, p: float, top: Whole, bottom: Whole, most: int, z: float, r: float, dz: float,
    dr: float, steps: int,
) -> tuple[int, int]:  # fmt: skip
    """The first and the last step at which a point that starts at (z, r) and goes by (dz, dr) may
    come near anything; the last before the first where it never does."""
    room = REACH * p
    r1, r2 = min(r, r + dr), max(r, r + dr)
    inner = 0.0 if r1 <= 0.0 <= r2 else min(abs(r1), abs(r2))
    low = math.floor((inner - room) / p + SHIFT)
    if low > most:
        return 1, 0
    high = math.floor((max(abs(r1), abs(r2)) + room) / p + SHIFT)
    first, last = _rows(z0, p, min(z, z + dz), max(z, z + dz), len(top))
    while first <= last and (top[first] < low or bottom[first] > high):
        first += 1
    while first <= last and (top[last] < low or bottom[last] > high):
        last -= 1
    if first > last:
        return 1, 0
    begin, end = 0.0, 1.0
    if dz != 0:
        one, two = (z0 + first * p - room - z) / dz, (z0 + (last + 1) * p + room - z) / dz
        begin, end = max(begin, min(one, two)), min(end, max(one, two))
    if dr != 0:
        reach = (most + 1 - SHIFT) * p + room
        one, two = (-reach - r) / dr, (reach - r) / dr
        begin, end = max(begin, min(one, two)), min(end, max(one, two))
    if begin > end:
        return 1, 0
    return max(0, math.floor(begin * steps) - 1), min(steps, math.ceil(end * steps) + 1)


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
    az: float, ar: float, bz: float, br: float, outline: Floats, cut: Bools, iok: Bools,
    active: bool,
) -> int:  # fmt: skip
    """Moves the tool straight from (az, ar) to (bz, br); stops at the first sure strike.

    Only points of the outline that lead are looked at: what follows stands where leading points
    have been.
    """
    length = math.hypot(bz - az, br - ar)
    if length < 1e-12:
        return 0
    dz, dr = (bz - az) / length, (br - ar) / length
    sz, sr, nz, nr, iz, ir = (
        outline[0], outline[1], outline[2], outline[3], outline[4], outline[5],
    )  # fmt: skip
    steps = max(1, math.ceil(length / (0.5 * p)))
    low, high = _rows(z0, p, min(az, bz) + sz.min(), max(az, bz) + sz.max(), len(top))
    most = _tallest(top, low, high)
    cutters, watched = np.empty(len(sz), np.int64), np.empty(len(sz), np.int64)
    firsts, lasts = np.empty(len(sz), np.int64), np.empty(len(sz), np.int64)
    cutting = watching = 0
    begin, end = steps, 0
    for k in range(len(sz)):
        if nz[k] * dz + nr[k] * dr <= 1e-7:
            continue
        first, last = _steps_near(z0, p, top, bottom, most, az + sz[k], ar + sr[k], bz - az,
                                  br - ar, steps)  # fmt: skip
        if last < first:
            continue
        firsts[k], lasts[k] = first, last
        begin, end = min(begin, first), max(end, last)
        cuts = active and cut[k]
        if cuts:
            cutters[cutting] = k
            cutting += 1
        one, two = _rows(z0, p, min(az, bz) + sz[k], max(az, bz) + sz[k], len(top))
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
    br: float, outline: Floats, cut: Bools, iok: Bools, outward: float, crest_z: float,
    crest_r: float, slope: float,
) -> int:  # fmt: skip
    """Moves the tool along a thread pass or the withdrawal after it: nothing is cut away.

    Cutting points may stand in metal; where `outward` is not 0, in no metal further out than the
    crest, which passes through (`crest_z`, `crest_r`). All other points of the outline, those that
    follow too, meet what stands there. Stops at the first sure strike.
    """
    length = math.hypot(bz - az, br - ar)
    sz, sr, iz, ir = outline[0], outline[1], outline[4], outline[5]
    steps = max(1, math.ceil(length / (0.5 * p)))
    low, high = _rows(z0, p, min(az, bz) + sz.min(), max(az, bz) + sz.max(), len(top))
    most = _tallest(top, low, high)
    watched = np.empty(len(sz), np.int64)
    firsts, lasts = np.empty(len(sz), np.int64), np.empty(len(sz), np.int64)
    watching = 0
    begin, end = steps, 0
    for k in range(len(sz)):
        first, last = _steps_near(z0, p, top, bottom, most, az + sz[k], ar + sr[k], bz - az,
                                  br - ar, steps)  # fmt: skip
        if first <= last:
            firsts[k], lasts[k] = first, last
            begin, end = min(begin, first), max(end, last)
            watched[watching] = k
            watching += 1
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
