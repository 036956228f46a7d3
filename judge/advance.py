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
BLOCK = 64
"""Rows that are passed over at once where none of them reaches as far as a point."""
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
def _bounds(z0: float, p: float, top: Whole, bottom: Whole, az: float, bz: float, outline: Floats,
            edges: Whole) -> tuple[int, int, int, Whole, Whole]:  # fmt: skip
    """Of the rows that a tool comes near from az to bz the first and the last with anything in
    them, and no less than the greatest column with anything in it; then the greatest and the least
    column of each block of rows there."""
    z, least, greatest = outline[0], 1e30, -1e30
    for e in range(len(edges) - 1):
        one, two = z[edges[e]], z[edges[e + 1] - 1]
        least, greatest = min(least, one, two), max(greatest, one, two)
    low, high = _rows(z0, p, min(az, bz) + least, max(az, bz) + greatest, len(top))
    while low <= high and top[low] < 0:
        low += 1
    while low <= high and top[high] < 0:
        high -= 1
    blocks = (len(top) + BLOCK - 1) // BLOCK
    tops, bottoms = np.full(blocks, -1, np.int64), np.zeros(blocks, np.int64)
    most = -1
    for block in range(low // BLOCK, high // BLOCK + 1):
        rows = slice(block * BLOCK, (block + 1) * BLOCK)
        tops[block], bottoms[block] = top[rows].max(), bottom[rows].min()
        most = max(most, tops[block])
    return low, high, most, tops, bottoms


@loop
def _part(a: float, b: float, low: float, high: float) -> tuple[float, float]:
    """Between which shares of the way from a to b a value lies from low to high."""
    if a == b:
        return (0.0, 1.0) if low <= a <= high else (1.0, 0.0)
    one, two = (low - a) / (b - a), (high - a) / (b - a)
    return max(0.0, min(one, two)), min(1.0, max(one, two))


@loop
def _steps_near(
    z0: float, p: float, top: Whole, bottom: Whole, tops: Whole, bottoms: Whole, most: int,
    z: float, r: float, dz: float, dr: float, steps: int,
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
        block = first // BLOCK
        empty = first % BLOCK == 0 and (tops[block] < low or bottoms[block] > high)
        first += BLOCK if empty else 1
    while first <= last and (top[last] < low or bottom[last] > high):
        block = last // BLOCK
        empty = (last + 1) % BLOCK == 0 and (tops[block] < low or bottoms[block] > high)
        last -= BLOCK if empty else 1
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
def _points_near(
    z0: float, p: float, top: Whole, bottom: Whole, tops: Whole, bottoms: Whole, low: int,
    high: int, most: int, az: float, ar: float, bz: float, br: float, steps: int,
    outline: Floats, edges: Whole, leading: bool, chosen: Whole, firsts: Whole, lasts: Whole,
) -> int:  # fmt: skip
    """Chooses the points of the outline that may come near anything, `leading` or all, and notes
    their first and last steps; says how many they are. The other numbers are those of `_bounds`.
    """
    sz, sr, nz, nr = outline[0], outline[1], outline[2], outline[3]
    room = REACH * p
    reach = (most + 1 - SHIFT) * p + room
    least_z = z0 + low * p - room - max(az, bz)
    greatest_z = z0 + (high + 1) * p + room - min(az, bz)
    least_r, greatest_r = -reach - max(ar, br), reach - min(ar, br)
    count = 0
    for e in range(len(edges) - 1):
        first, last = edges[e], edges[e + 1] - 1
        if leading and not _leads(nz[first], nr[first], bz - az, br - ar):
            continue
        one, two = _part(sz[first], sz[last], least_z, greatest_z)
        three, four = _part(sr[first], sr[last], least_r, greatest_r)
        begin, end = max(one, three), min(two, four)
        if begin > end:
            continue
        long = last - first
        for k in range(max(first, first + math.floor(begin * long) - 1),
                       min(last, first + math.ceil(end * long) + 1) + 1):  # fmt: skip
            begins, ends = _steps_near(
                z0, p, top, bottom, tops, bottoms, most, az + sz[k], ar + sr[k], bz - az, br - ar,
                steps,
            )  # fmt: skip
            if begins <= ends:
                chosen[count], firsts[k], lasts[k] = k, begins, ends
                count += 1
    return count


@loop
def _leads(nz: float, nr: float, z: float, r: float) -> bool:
    """Whether an edge with this normal goes ahead on the way by (z, r)."""
    length = math.hypot(z, r)
    return nz * (z / length) + nr * (r / length) > 1e-7


@loop
def _three(count: int) -> tuple[Whole, Whole, Whole]:
    return np.empty(count, np.int64), np.empty(count, np.int64), np.empty(count, np.int64)


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
    low, high, most, tops, bottoms = _bounds(z0, p, top, bottom, az, bz, outline, edges)
    if most < 0:
        return 0
    chosen, cutters, watched = _three(len(sz))
    firsts, lasts, _ = _three(len(sz))
    count = _points_near(
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
    low, high, most, tops, bottoms = _bounds(z0, p, top, bottom, az, bz, outline, edges)
    if most < 0:
        return 0
    watched, firsts, lasts = _three(len(sz))
    watching = _points_near(
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
