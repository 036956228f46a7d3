"""Nose compensation: from the programmed contour to the way of the imaginary tip.

The centre of the nose runs one radius beside the contour; the tip lies at a fixed distance from it,
which the tip direction tells. Ways are chains of points, those of arcs chord by chord.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

from judge.curve import chords
from judge.motion import Leg, Point, Undecided
from judge.rows import stated

_TIPS: dict[int, Point] = {
    0: (0, 0), 1: (1, 1), 2: (-1, 1), 3: (-1, -1), 4: (1, -1),
    5: (1, 0), 6: (0, 1), 7: (-1, 0), 8: (0, -1), 9: (0, 0),
}  # fmt: skip
"""From the centre of the nose to the imaginary tip, in nose radii (z, r)."""
_FLAT = 1e-7
_FINE = 1e-4
"""Sagitta of chords whose offsets are to meet, mm: their directions tell a corner from none."""
_SMOOTH = 0.03
"""Below this sine of its angle an inside corner between chords may be none: the ways are joined."""


@dataclass(frozen=True)
class Nose:
    """A nose and where its tip lies."""

    radius: float
    tip: int

    @property
    def offset(self) -> Point:
        """From the centre to the controlled tip."""
        z, r = _TIPS[self.tip]
        return z * self.radius, r * self.radius


@dataclass(frozen=True)
class _Element:
    """One line or arc of the contour."""

    points: list[Point]
    centre: Point | None
    side: int
    radius: float

    def normal(self, index: int) -> Point:
        """Towards the centre of the nose, at the first (0) or last (-1) point."""
        if self.centre is None:
            a, b = self.points[0], self.points[-1]
        else:
            here = self.points[index]
            out = (here[0] - self.centre[0], here[1] - self.centre[1])
            size = math.hypot(*out)
            a, b = self.points[0], self.points[1]
            turn = (a[0] - self.centre[0]) * (b[1] - a[1]) - (a[1] - self.centre[1]) * (b[0] - a[0])
            # Counter-clockwise (turn > 0) the right-hand side is the outer one.
            sense = self.side * (1.0 if turn > 0 else -1.0)
            return out[0] / size * sense, out[1] / size * sense
        size = math.dist(a, b)
        return self.side * (b[1] - a[1]) / size, -self.side * (b[0] - a[0]) / size

    def tangent(self, index: int) -> Point:
        """The way it goes at its first (0) or last (-1) point."""
        n = self.normal(index)
        return -self.side * n[1], self.side * n[0]

    def offset(self) -> list[Point]:
        """The way of the nose's centre beside it."""
        if self.centre is None:
            n = self.normal(0)
            return [(z + n[0] * self.radius, r + n[1] * self.radius) for z, r in self.points]
        n = self.normal(0)
        first = self.points[0]
        size = math.dist(first, self.centre)
        outward = (first[0] - self.centre[0]) * n[0] + (first[1] - self.centre[1]) * n[1] > 0
        reach = size + self.radius if outward else size - self.radius
        if reach < -1e-9:
            raise Undecided("an arc tighter than the nose")
        share = max(reach, 0.0) / size
        cz, cr = self.centre
        return [(cz + (z - cz) * share, cr + (r - cr) * share) for z, r in self.points]


def _meeting(a: list[Point], b: list[Point]) -> tuple[int, int, Point] | None:
    """Where the end of one way first meets the start of the next: segment of each, and place."""
    for i in reversed(range(len(a) - 1)):
        for j in range(len(b) - 1):
            (az, ar), (bz, br) = a[i], a[i + 1]
            (cz, cr), (dz, dr) = b[j], b[j + 1]
            under = (bz - az) * (dr - cr) - (br - ar) * (dz - cz)
            if abs(under) < 1e-15:
                continue
            t = ((cz - az) * (dr - cr) - (cr - ar) * (dz - cz)) / under
            u = ((cz - az) * (br - ar) - (cr - ar) * (bz - az)) / under
            if -1e-9 <= t <= 1 + 1e-9 and -1e-9 <= u <= 1 + 1e-9:
                return i, j, (az + t * (bz - az), ar + t * (br - ar))
    return None


def _round(vertex: Point, a: _Element, b: _Element, square: bool) -> list[Point]:
    """The way round an outside corner, without its first point."""
    na, nb, r = a.normal(-1), b.normal(0), a.radius
    first = (vertex[0] + na[0] * r, vertex[1] + na[1] * r)
    last = (vertex[0] + nb[0] * r, vertex[1] + nb[1] * r)
    dot = max(-1.0, min(1.0, na[0] * nb[0] + na[1] * nb[1]))
    turn = math.acos(dot)
    if square:
        by = r * math.tan(turn / 2) if turn <= math.pi / 2 + 1e-9 else r
        ta, tb = a.tangent(-1), b.tangent(0)
        one = (first[0] + ta[0] * by, first[1] + ta[1] * by)
        two = (last[0] - tb[0] * by, last[1] - tb[1] * by)
        return [one, two, last]
    # Right of travel an outside corner turns left, and the centre goes round counter-clockwise.
    return chords(first, last, a.side < 0, vertex)


def _elements(start: Point, legs: list[Leg], nose: Nose, side: int) -> list[_Element]:
    found = []
    at = start
    for leg in legs:
        way = [at, *chords(at, leg.end, leg.arc.clockwise, leg.arc.centre, _FINE)] if leg.arc else [
            at, leg.end
        ]  # fmt: skip
        centre = leg.arc.centre if leg.arc else None
        found.append(_Element(way, centre, side, nose.radius))
        at = leg.end
    return found


def compensated(start: Point, legs: list[Leg], leaving: Leg | None, nose: Nose,
                control: Mapping[str, Any]) -> list[list[Point]]:  # fmt: skip
    """The way of the tip for each of a run of legs under compensation, chord by chord.

    `start` is where the tip stands; the first leg is the entry, `leaving` the one that ends the
    compensation and is not part of the answer. Raises `Undecided` where the contour is tighter than
    the nose, where the side changes, and for open rows.
    """
    side = legs[0].side
    if any(leg.side != side for leg in legs):
        raise Undecided("compensation that changes its side")
    if legs[0].arc is not None or (leaving is not None and leaving.arc is not None):
        raise Undecided("compensation that begins or ends in an arc")
    at_end = stated(control, "compensation_entry") == "at-end"
    square = stated(control, "compensation_corner") == "square"
    tz, tr = nose.offset
    elements = _elements(start, legs, nose, side)
    if math.dist(*elements[0].points) < nose.radius:
        raise Undecided("an entry shorter than the nose")
    if leaving is not None and math.dist(legs[-1].end, leaving.end) < nose.radius:
        raise Undecided("an exit shorter than the nose")
    joined = elements if at_end else elements[1:] or elements
    if at_end and leaving is not None:
        joined = joined + _elements(legs[-1].end, [leaving], nose, side)
    ways = [element.offset() for element in joined]
    for index, (a, b) in enumerate(pairwise(joined)):
        vertex = a.points[-1]
        ta, tb = a.tangent(-1), b.tangent(0)
        cross = ta[0] * tb[1] - ta[1] * tb[0]
        if abs(cross) < 1e-3 and ta[0] * tb[0] + ta[1] * tb[1] > 0:
            continue
        if cross * side > _FLAT or abs(cross) <= _FLAT:
            ways[index] += _round(vertex, a, b, square)
            continue
        if at_end and (index == 0 or (index == len(legs) - 1 and leaving is not None)):
            # Inside a corner compensation is reached and left square to the contour either way.
            if index == 0:
                ways[0] = [ways[0][0], ways[1][0]]
            continue
        met = _meeting(ways[index], ways[index + 1])
        if met is None and abs(cross) < _SMOOTH:
            continue
        if met is None:
            raise Undecided("a contour tighter than the nose")
        i, j, place = met
        ways[index] = [*ways[index][: i + 1], place]
        ways[index + 1] = [place, *ways[index + 1][j + 1 :]]
    if at_end:
        ways = [way[1:] for way in ways[: len(legs)]]
    elif len(elements) > 1:
        ways = [[ways[0][0]], *(way[1:] for way in ways)]
    else:
        ways = [[ways[0][-1]]]
    return [[(z + tz, r + tr) for z, r in way] for way in ways]
