"""Which points of a tool's outline come near anything on a move, and in which steps.

`filled` of the section says how far along each row anything is left. What is passed over here would
have met empty cells: where a point is kept too long, time is lost and nothing else.
"""

from __future__ import annotations

import math

import numpy as np

from judge.compiled import loop
from judge.raster import SHIFT, Floats, Whole

REACH = 1.01
"""Pixels around a point of the outline within which cells are looked at for it, and a little."""
BLOCK = 64
"""Rows that are passed over at once where none of them reaches as far as a point."""


@loop
def rows_near(z0: float, p: float, z1: float, z2: float, count: int) -> tuple[int, int]:
    """The rows that a point comes near between z1 and z2."""
    room = REACH * p
    first = max(0, math.floor((z1 - room - z0) / p))
    return first, min(count - 1, math.floor((z2 + room - z0) / p))


@loop
def bounds_of(z0: float, p: float, top: Whole, bottom: Whole, az: float, bz: float, outline: Floats,
            edges: Whole) -> tuple[int, int, int, Whole, Whole]:  # fmt: skip
    """Of the rows that a tool comes near from az to bz the first and the last with anything in
    them, and no less than the greatest column with anything in it; then the greatest and the least
    column of each block of rows there."""
    z, least, greatest = outline[0], 1e30, -1e30
    for e in range(len(edges) - 1):
        one, two = z[edges[e]], z[edges[e + 1] - 1]
        least, greatest = min(least, one, two), max(greatest, one, two)
    low, high = rows_near(z0, p, min(az, bz) + least, max(az, bz) + greatest, len(top))
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
    first, last = rows_near(z0, p, min(z, z + dz), max(z, z + dz), len(top))
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
def _leads(nz: float, nr: float, z: float, r: float) -> bool:
    """Whether an edge with this normal goes ahead on the way by (z, r)."""
    length = math.hypot(z, r)
    return nz * (z / length) + nr * (r / length) > 1e-7


@loop
def points_near(
    z0: float, p: float, top: Whole, bottom: Whole, tops: Whole, bottoms: Whole, low: int,
    high: int, most: int, az: float, ar: float, bz: float, br: float, steps: int,
    outline: Floats, edges: Whole, leading: bool, chosen: Whole, firsts: Whole, lasts: Whole,
) -> int:  # fmt: skip
    """Chooses the points of the outline that may come near anything, `leading` or all, and notes
    their first and last steps; says how many they are. The other numbers are those of `bounds_of`.
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
def three_rows(count: int) -> tuple[Whole, Whole, Whole]:
    return np.empty(count, np.int64), np.empty(count, np.int64), np.empty(count, np.int64)
