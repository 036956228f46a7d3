"""Arcs as chords, and where a chain of chords is first met by a level."""

from __future__ import annotations

import math
from itertools import pairwise

from judge.motion import Point, Undecided

SAGITTA = 0.002
"""mm; far below the pixel, so the chords cannot change a verdict outside the doubt band."""


def chords(start: Point, end: Point, clockwise: bool, centre: Point, sagitta: float = SAGITTA
           ) -> list[Point]:  # fmt: skip
    """End points of the chords of an arc; clockwise as drawn with Z to the right and X up."""
    radius = math.hypot(start[0] - centre[0], start[1] - centre[1])
    if abs(math.hypot(end[0] - centre[0], end[1] - centre[1]) - radius) > 0.01:
        raise Undecided("the two radii of an arc disagree")
    first = math.atan2(start[1] - centre[1], start[0] - centre[0])
    turn = math.atan2(end[1] - centre[1], end[0] - centre[0]) - first
    if clockwise:
        turn = -((-turn) % (2 * math.pi))
    else:
        turn %= 2 * math.pi
    step = 2 * math.acos(max(-1.0, 1 - sagitta / radius))
    count = max(1, math.ceil(abs(turn) / step))
    inner = [
        (
            centre[0] + radius * math.cos(first + turn * i / count),
            centre[1] + radius * math.sin(first + turn * i / count),
        )
        for i in range(1, count)
    ]
    return [*inner, end]


def centre_of(start: Point, end: Point, clockwise: bool, radius: float) -> Point:
    """Centre of an arc given by its radius: up to half a circle when positive, else more."""
    dz, dr = end[0] - start[0], end[1] - start[1]
    chord = math.hypot(dz, dr)
    if chord == 0 or abs(radius) < chord / 2 - 0.005:
        raise Undecided("an arc whose radius does not span its ends")
    height = math.sqrt(max(0.0, radius * radius - chord * chord / 4))
    # Clockwise and no more than half a circle: the centre lies to the right of the chord.
    side = height if clockwise == (radius > 0) else -height
    return (
        (start[0] + end[0]) / 2 + side * dr / chord,
        (start[1] + end[1]) / 2 - side * dz / chord,
    )


def first_meeting(path: list[Point], level: float, axis: int, along: float) -> float | None:
    """First place along `along` (+1 or -1) where the chain reaches the level.

    `axis` is the coordinate the level holds constant (1: a radius, met along z; 0: a z, met
    along r). None where the chain never does.
    """
    other = 1 - axis
    best: float | None = None
    for a, b in pairwise(path):
        low, high = sorted((a[axis], b[axis]))
        if not low - 1e-9 <= level <= high + 1e-9:
            continue
        if high - low < 1e-9:
            hits = [a[other], b[other]]
        else:
            share = (level - a[axis]) / (b[axis] - a[axis])
            hits = [a[other] + share * (b[other] - a[other])]
        for hit in hits:
            if best is None or (hit - best) * along < 0:
                best = hit
    return best


def tail_from(path: list[Point], level: float, axis: int, meeting: float,
              stop_at: float) -> list[Point]:  # fmt: skip
    """The chain from where it lies at (`level`, `meeting`) until its `axis` coordinate reaches
    `stop_at`, or to its end."""
    other = 1 - axis
    way: list[Point] = []
    for a, b in pairwise(path):
        if not way:
            low, high = sorted((a[axis], b[axis]))
            near, far = sorted((a[other], b[other]))
            if not (low - 1e-9 <= level <= high + 1e-9 and near - 1e-6 <= meeting <= far + 1e-6):
                continue
            way.append((meeting, level) if axis == 1 else (level, meeting))
        last = way[-1]
        if min(last[axis], b[axis]) - 1e-9 <= stop_at <= max(last[axis], b[axis]) + 1e-9:
            span = b[axis] - last[axis]
            share = 1.0 if abs(span) < 1e-12 else (stop_at - last[axis]) / span
            way.append((last[0] + share * (b[0] - last[0]), last[1] + share * (b[1] - last[1])))
            return way
        way.append(b)
    return way
