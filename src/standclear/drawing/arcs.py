"""Arcs found again in the chords of a polyline, for writers that know arcs."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from standclear.drawing.shapes import Point

LEAST_CHORDS = 3
"""Fewer chords than these are taken for straight lines that happen to lie on a circle."""
OFF_CIRCLE = 2e-3
"""How far a point may lie off its circle, mm on paper."""
WIDEST_CHORD = math.radians(40.0)
"""A chord that spans more of its circle is a straight line."""
HALF_TURN = math.pi + 1e-6
LARGEST = 5_000.0
"""A greater radius on paper is a straight line, mm."""


@dataclass(frozen=True, slots=True)
class Piece:
    """A stretch from one point to the next: straight where `bulge` is 0, else an arc.

    `bulge` is the tangent of a quarter of the arc's angle, above 0 counter-clockwise.
    """

    start: Point
    end: Point
    bulge: float = 0.0


def pieces(points: Sequence[Point]) -> tuple[Piece, ...]:
    """The polyline as straight pieces and arcs, each arc through at least four of its points and at
    most half a circle long."""
    found: list[Piece] = []
    at = 0
    while at < len(points) - 1:
        last, bulge = _arc_from(points, at)
        found.append(Piece(points[at], points[last], bulge))
        at = last
    return tuple(found)


def circle_of(points: Sequence[Point]) -> tuple[Point, float] | None:
    """Centre and radius where all corners of a closed polyline lie on one circle."""
    if len(points) < 12:
        return None
    third = len(points) // 3
    found = _circle(points[0], points[third], points[2 * third])
    if found is None:
        return None
    centre, radius = found
    near = all(abs(math.dist(centre, p) - radius) <= OFF_CIRCLE for p in points)
    ends = [*points[1:], points[0]]
    wide = 2 * radius * math.sin(WIDEST_CHORD / 2)
    short = all(math.dist(a, b) <= wide for a, b in zip(points, ends, strict=True))
    return found if near and short else None


def _arc_from(points: Sequence[Point], first: int) -> tuple[int, float]:
    """Last point and bulge of the longest arc that starts here; one straight chord without one."""
    straight = first + 1, 0.0
    if first + LEAST_CHORDS >= len(points):
        return straight
    middle, end = points[first + 1], points[first + LEAST_CHORDS]
    found = _circle(points[first], middle, end)
    if found is None:
        return straight
    centre, radius = found
    turn = _angle(centre, points[first], middle)
    total, last = 0.0, first
    while last + 1 < len(points):
        step = _angle(centre, points[last], points[last + 1])
        on = abs(math.dist(centre, points[last + 1]) - radius) <= OFF_CIRCLE
        if not on or abs(step) > WIDEST_CHORD or step * turn <= 0 or abs(total + step) > HALF_TURN:
            break
        total, last = total + step, last + 1
    if last - first < LEAST_CHORDS:
        return straight
    return last, math.tan(total / 4)


def _angle(centre: Point, a: Point, b: Point) -> float:
    """From a to b seen from the centre, radians, counter-clockwise above 0."""
    ax, ay, bx, by = a[0] - centre[0], a[1] - centre[1], b[0] - centre[0], b[1] - centre[1]
    return math.atan2(ax * by - ay * bx, ax * bx + ay * by)


def _circle(a: Point, b: Point, c: Point) -> tuple[Point, float] | None:
    """The circle through three points; None where they lie on a line, or nearly."""
    bx, by, cx, cy = b[0] - a[0], b[1] - a[1], c[0] - a[0], c[1] - a[1]
    twice = 2 * (bx * cy - by * cx)
    if twice == 0:
        return None
    b2, c2 = bx * bx + by * by, cx * cx + cy * cy
    x, y = (cy * b2 - by * c2) / twice, (bx * c2 - cx * b2) / twice
    radius = math.hypot(x, y)
    return ((a[0] + x, a[1] + y), radius) if radius <= LARGEST else None
