"""Convex areas of the section in exact arithmetic.

Frame: (z, r), whole nanometres. A line (a, b, c) has a z + b r + c above 0 to its left. A corner is
where two lines meet, (Z, R, W) for z = Z / W and r = R / W, W above 0. Corners are always taken
from the lines that the file gives, never from other corners, so however often an area is split its
numbers stay as short as after the first cut. Every area has more than nothing inside it: what is
only a line or a point is None, so an empty list means that no area is left.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import isqrt

Point = tuple[int, int]
Corner = tuple[int, int, int]
Line = tuple[int, int, int]
Box = tuple[int, int, int, int]


@dataclass(frozen=True, slots=True)
class Convex:
    """A convex area, counter-clockwise: `edges[k]` runs from `corners[k]` to the next."""

    corners: tuple[Corner, ...]
    edges: tuple[Line, ...]
    box: Box
    """Least and most z and r, (z, r, z, r), rounded outwards."""


def line_through(start: Point, end: Point) -> Line:
    """The line from `start` to `end`."""
    a, b = start[1] - end[1], end[0] - start[0]
    return a, b, -a * start[0] - b * start[1]


def value(line: Line, corner: Corner) -> int:
    """More than 0 to the left of the line, 0 on it, less than 0 to its right."""
    return line[0] * corner[0] + line[1] * corner[1] + line[2] * corner[2]


def reversed_line(line: Line) -> Line:
    """The same line run the other way."""
    return -line[0], -line[1], -line[2]


def length_at_least(vector: Point) -> int:
    """The length of a vector, rounded down."""
    return isqrt(vector[0] * vector[0] + vector[1] * vector[1])


def length_at_most(vector: Point) -> int:
    """The length of a vector, rounded up."""
    return length_at_least(vector) + 1


def hull(points: Iterable[Point]) -> Convex | None:
    """The convex hull of points; None where they lie in one line."""
    ordered = sorted(set(points))
    chains: list[list[Point]] = []
    for run in (ordered, ordered[::-1]):
        chain: list[Point] = []
        for p in run:
            while len(chain) > 1 and _turn(chain[-2], chain[-1], p) <= 0:
                chain.pop()
            chain.append(p)
        chains.append(chain[:-1])
    ring = chains[0] + chains[1]
    if len(ring) < 3:
        return None
    edges = tuple(line_through(p, q) for p, q in zip(ring, ring[1:] + ring[:1], strict=True))
    return _convex(tuple((z, r, 1) for z, r in ring), edges)


def rectangle(box: Box) -> Convex | None:
    """The area of a box; None where it has none."""
    z0, r0, z1, r1 = box
    return hull(((z0, r0), (z1, r0), (z1, r1), (z0, r1))) if z0 < z1 and r0 < r1 else None


def split(area: Convex, line: Line) -> tuple[Convex | None, Convex | None]:
    """What of an area lies to the left of a line, and what to its right."""
    signs = [value(line, corner) for corner in area.corners]
    if min(signs) >= 0:
        return area, None
    if max(signs) <= 0:
        return None, area
    return _side(area, signs, line), _side(area, [-s for s in signs], reversed_line(line))


def left_of(area: Convex | None, lines: Iterable[Line]) -> Convex | None:
    """What of an area lies to the left of every line."""
    for line in lines:
        if area is None:
            return None
        area = split(area, line)[0]
    return area


def common(area: Convex, other: Convex) -> Convex | None:
    """What two areas share."""
    return left_of(area, other.edges) if _near(area, other) else None


def without(areas: Iterable[Convex], covers: Iterable[Convex]) -> list[Convex]:
    """What of `areas` no one of `covers` covers."""
    left = list(areas)
    for cover in covers:
        if not left:
            return left
        rest: list[Convex] = []
        for area in left:
            rest.extend(_outside(area, cover))
        left = rest
    return left


def grown(area: Convex, by: int) -> Convex:
    """Every point that a box of half width `by` around an area's points holds; rounded outwards."""
    if by == 0:
        return area
    z0, r0, z1, r1 = area.box
    wide = rectangle((z0 - by, r0 - by, z1 + by, r1 + by))
    lines = [(a, b, c + by * (abs(a) + abs(b))) for a, b, c in area.edges]
    larger = left_of(wide, lines)
    assert larger is not None
    return larger


def swept(area: Convex, by: Point) -> Convex:
    """What an area covers on a straight way, rounded outwards beside the way."""
    z, r = by
    if z == 0 and r == 0:
        return area
    lines = [(a, b, c - min(0, a * z + b * r)) for a, b, c in area.edges]
    beside = [(-r * Z + z * R, W) for Z, R, W in area.corners]
    lines.append((-r, z, -min(v // w for v, w in beside)))
    lines.append((r, -z, max(-(-v // w) for v, w in beside)))
    z0, r0, z1, r1 = area.box
    room = rectangle((z0 + min(z, 0), r0 + min(r, 0), z1 + max(z, 0), r1 + max(r, 0)))
    whole = left_of(room, lines)
    assert whole is not None
    return whole


def moved(area: Convex, by: Point) -> Convex:
    """An area shifted."""
    z, r = by
    z0, r0, z1, r1 = area.box
    return Convex(
        tuple((Z + z * W, R + r * W, W) for Z, R, W in area.corners),
        tuple((a, b, c - a * z - b * r) for a, b, c in area.edges),
        (z0 + z, r0 + r, z1 + z, r1 + r),
    )


def mirrored(area: Convex) -> Convex:
    """An area turned over at the axis: r becomes -r."""
    z0, r0, z1, r1 = area.box
    corners = [(z, -r, w) for z, r, w in area.corners]
    edges = [(a, -b, c) for a, b, c in area.edges]
    return Convex(tuple(corners[:1] + corners[:0:-1]), tuple(edges[::-1]), (z0, -r1, z1, -r0))


def inside_of(area: Convex) -> Corner:
    """A point inside an area: the middle of three of its corners."""
    (z0, r0, w0), (z1, r1, w1), (z2, r2, w2) = area.corners[:3]
    return (
        z0 * w1 * w2 + z1 * w0 * w2 + z2 * w0 * w1,
        r0 * w1 * w2 + r1 * w0 * w2 + r2 * w0 * w1,
        3 * w0 * w1 * w2,
    )


def winds_around(ring: Sequence[Point], corner: Corner) -> bool:
    """Whether a closed outline runs around a point that is not on it."""
    _, r, w = corner
    turns = 0
    for start, end in zip(ring, [*ring[1:], ring[0]], strict=True):
        up, below = start[1] * w <= r, end[1] * w <= r
        if up != below:
            left = value(line_through(start, end), corner)
            turns += (left > 0) if up else -(left < 0)
    return turns != 0


def meets_outline(area: Convex, ring: Sequence[Point]) -> bool:
    """Whether an area shares area with that of a closed outline."""
    z0, r0, z1, r1 = area.box
    for start, end in zip(ring, [*ring[1:], ring[0]], strict=True):
        if max(start[0], end[0]) <= z0 or min(start[0], end[0]) >= z1:
            continue
        if max(start[1], end[1]) <= r0 or min(start[1], end[1]) >= r1:
            continue
        if _crosses(area, start, end):
            return True
    return winds_around(ring, inside_of(area))


def _crosses(area: Convex, start: Point, end: Point) -> bool:
    """Whether some point of a stretch lies inside an area, its border not counted."""
    enter, leave = (0, 1), (1, 1)  # shares of the way, as fractions
    for line in area.edges:
        v0, v1 = value(line, (*start, 1)), value(line, (*end, 1))
        if v0 <= 0 and v1 <= 0:
            return False
        if v0 < 0 or v1 < 0:
            share = (abs(v0), abs(v0 - v1))
            if v0 < 0 and share[0] * enter[1] > enter[0] * share[1]:
                enter = share
            if v1 < 0 and share[0] * leave[1] < leave[0] * share[1]:
                leave = share
    return enter[0] * leave[1] < leave[0] * enter[1]


def _turn(a: Point, b: Point, c: Point) -> int:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def _near(area: Convex, other: Convex) -> bool:
    a, b = area.box, other.box
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]


def _outside(area: Convex, cover: Convex) -> list[Convex]:
    if not _near(area, cover):
        return [area]
    parting: list[Line] = []
    for line in cover.edges:
        values = [value(line, corner) for corner in area.corners]
        if max(values) <= 0:
            return [area]
        if min(values) < 0:
            parting.append(line)
    parts: list[Convex] = []
    rest = area
    for line in parting:
        inside, beyond = split(rest, line)
        if beyond is not None:
            parts.append(beyond)
        if inside is None:
            return [area]
        rest = inside
    return parts


def _side(area: Convex, signs: Sequence[int], line: Line) -> Convex:
    """What lies to the left of a line that parts the area; `signs` are its corners' values."""
    corners: list[Corner] = []
    edges: list[Line] = []
    n = len(signs)
    for k, (corner, edge, here) in enumerate(zip(area.corners, area.edges, signs, strict=True)):
        there = signs[(k + 1) % n]
        if here >= 0:
            corners.append(corner)
            edges.append(edge if here > 0 or there >= 0 else line)
        if here > 0 > there:
            corners.append(_meet(edge, line))
            edges.append(line)
        elif here < 0 < there:
            corners.append(_meet(edge, line))
            edges.append(edge)
    return _convex(tuple(corners), tuple(edges))


def _meet(one: Line, other: Line) -> Corner:
    (a, b, c), (d, e, f) = one, other
    w = a * e - b * d
    z, r = b * f - c * e, c * d - a * f
    return (z, r, w) if w > 0 else (-z, -r, -w)


def _convex(corners: tuple[Corner, ...], edges: tuple[Line, ...]) -> Convex:
    return Convex(
        corners,
        edges,
        (
            min(z // w for z, _, w in corners),
            min(r // w for _, r, w in corners),
            max(-(-z // w) for z, _, w in corners),
            max(-(-r // w) for _, r, w in corners),
        ),
    )
