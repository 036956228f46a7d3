"""The judge's own expansion of pecking and drilling cycles into legs."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

from judge.cycles import TINY, sign
from judge.motion import Leg, Point, Undecided
from judge.rows import stated


def _depths(start: float, bottom: float, peck: float) -> list[float]:
    """Where each peck ends; counted from the start, the last one at the bottom."""
    down = sign(bottom - start)
    total = abs(bottom - start)
    if peck <= 0:
        return [bottom]
    count = math.ceil(total / peck - TINY)
    return [start + down * peck * k for k in range(1, count)] + [bottom]


def peck(s: Point, end: Point, peck_depth: float, step: float, back: float, relief: float,
         across: bool) -> list[Leg]:  # fmt: skip
    """G74 (pecks along z, steps in r), or G75 when `across` (pecks along r, steps in z)."""
    peck_axis = 1 if across else 0
    step_axis = 1 - peck_axis

    def at(depth: float, side: float) -> Point:
        return (side, depth) if across else (depth, side)

    start, bottom = s[peck_axis], end[peck_axis]
    down = sign(bottom - start)
    side, last = s[step_axis], end[step_axis]
    sideways = sign(last - side)
    legs: list[Leg] = []
    while True:
        for depth in _depths(start, bottom, peck_depth):
            legs.append(Leg(False, at(depth, side)))
            if depth != bottom:
                legs.append(Leg(True, at(depth - down * back, side)))
        out = side
        if relief > 0:
            out = side - (sideways or 1.0) * relief
            legs.append(Leg(True, at(bottom, out)))
        legs.append(Leg(True, at(start, out)))
        if sideways == 0 or abs(last - side) <= TINY:
            break
        if step <= 0:
            raise Undecided("steps of a pecking cycle without their size")
        side = last if abs(last - side) <= step + TINY else side + sideways * step
        legs.append(Leg(True, at(start, side)))
    legs.append(Leg(True, s))
    return legs


def drilling(word: str, s: Point, side: float, bottom: float, level: float | None, by: float,
             returns: str | None, control: Mapping[str, Any], back: float, zero: float = 0.0
             ) -> list[Leg]:  # fmt: skip
    """G83, G84 or G85 along Z at the radius `side`: rapid across and to the R level, in by feed,
    out to the initial or the R level.

    `level` is the R word as written, in mm: a distance from the initial level or a place counted
    from `zero`. `returns`
    is `initial` or `r-level` where a word says so.
    """
    initial = s[0]
    ready = initial
    if level is not None:
        ready = initial + level if stated(control, "drilling_r") == "incremental" else zero + level
    legs = [Leg(True, (initial, side)), Leg(True, (ready, side))]
    down = sign(bottom - ready)
    if down == 0:
        raise Undecided("a drilling cycle without depth")
    tapping = word == "G84"
    for depth in _depths(ready, bottom, by if word == "G83" else 0.0):
        legs.append(Leg(False, (depth, side), tapping=tapping))
        if depth != bottom:
            legs.append(Leg(True, (ready, side)))
            legs.append(Leg(True, (depth - down * back, side)))
    out = returns or stated(control, "drilling_return")
    if word in ("G84", "G85"):
        legs.append(Leg(False, (ready, side), tapping=tapping))
    legs.append(Leg(True, (initial if out == "initial" else ready, side)))
    return legs
