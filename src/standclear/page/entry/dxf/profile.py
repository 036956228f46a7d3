"""The outside of a part out of a DXF file: one chain of lines, laid along the axis.

The drawing has the part's axis along Y0 and its front face to the right (or to the left, when
asked). The outline of the job file runs from the front face, z = 0, to the back.
"""

from __future__ import annotations

import math
from collections import defaultdict
from dataclasses import dataclass
from itertools import pairwise

from standclear.page.entry.dxf.stretches import Drawn, NoProfile, Point, Stretch, drawn_in

JOIN_MM = 0.01
"""Ends nearer than this meet."""
SAME_MM = 1e-5
"""Points nearer to a face than this lie on it; an arc that runs into it has some at 0.01."""
NEAR_MM = 1.0
"""Ends nearer than this were meant to meet."""
DECIMALS = 6
MM_PER_INCH = 25.4


@dataclass(frozen=True, slots=True)
class Profile:
    """An outline in the unit of the job."""

    outline: tuple[Point, ...]
    """(z, diameter), from the front face to the back."""
    length: float
    notes: tuple[str, ...]
    """Sentences: what was left out or taken for granted."""


def profile_from_dxf(data: bytes, units: str, *, front_left: bool = False) -> Profile:
    """The outside profile in a DXF file, for a job in `units`. Raises NoProfile."""
    mm = MM_PER_INCH if units == "inch" else 1.0
    drawn = drawn_in(data, mm)
    chain, left_out = _chain(drawn.stretches)
    upper = _above_axis(chain)
    if front_left:
        upper = [(-x, y) for x, y in upper]
    outside = _outside(upper)
    front, back = outside[0][0], outside[-1][0]
    outline = tuple(
        (round((x - front) / mm, DECIMALS) + 0.0, round(2 * max(y, 0.0) / mm, DECIMALS) + 0.0)
        for x, y in outside
    )
    return Profile(outline, round((front - back) / mm, DECIMALS), _notes(drawn, left_out, units))


def _notes(drawn: Drawn, left_out: int, units: str) -> tuple[str, ...]:
    notes = []
    if not drawn.unit_stated:
        notes.append(f"The drawing states no unit: {units} was taken.")
    if drawn.passed_over:
        notes.append(f"Left out: {', '.join(drawn.passed_over)}.")
    if left_out:
        notes.append(f"Left out: {left_out} lines that do not belong to the longest outline.")
    return tuple(notes)


def _chain(stretches: tuple[Stretch, ...]) -> tuple[list[Point], int]:
    """The longest chain above the axis, and how many lines are none of it.

    Raises NoProfile where three lines meet, or where ends that were meant to meet do not.
    """
    ends: dict[tuple[int, int], list[int]] = defaultdict(list)
    for index, stretch in enumerate(stretches):
        for point in (stretch.points[0], stretch.points[-1]):
            ends[_node(point, ends)].append(index)
    for indices in ends.values():
        names = list(dict.fromkeys(stretches[i].name for i in indices))
        if len(indices) > 2:
            where = _shown(_end_at(stretches[indices[0]], ends, indices))
            listed = (
                " and ".join((", ".join(names[:-1]), names[-1])) if len(names) > 1 else names[0]
            )
            raise NoProfile(f"{listed} meet at {where}: keep the outline alone, without edges")
    chains = _walked(stretches, ends)
    chains.sort(key=lambda chain: _span(chain[0]), reverse=True)
    best, used = chains[0]
    if math.dist(best[0], best[-1]) > JOIN_MM:
        _complain_of_gap(best, chains[1:], stretches)
    return best, len(stretches) - used


def _node(point: Point, ends: dict[tuple[int, int], list[int]]) -> tuple[int, int]:
    """The cell of a grid that stands for an end, one that is known where it lies next to one."""
    x, y = round(point[0] / JOIN_MM), round(point[1] / JOIN_MM)
    for dx in (0, -1, 1):
        for dy in (0, -1, 1):
            if (x + dx, y + dy) in ends:
                return x + dx, y + dy
    return x, y


def _end_at(stretch: Stretch, ends: dict[tuple[int, int], list[int]], indices: list[int]) -> Point:
    first = stretch.points[0]
    return first if ends.get(_node(first, ends)) is indices else stretch.points[-1]


def _walked(
    stretches: tuple[Stretch, ...], ends: dict[tuple[int, int], list[int]]
) -> list[tuple[list[Point], int]]:
    """Every chain as its points, with the number of its lines."""
    left = set(range(len(stretches)))
    chains = []
    loose = [indices[0] for indices in ends.values() if len(indices) == 1]
    for start in (*loose, *range(len(stretches))):
        if start not in left:
            continue
        left.discard(start)
        points = list(stretches[start].points)
        if len(ends[_node(points[-1], ends)]) == 1:
            points.reverse()
        count = 1
        while True:
            here = ends[_node(points[-1], ends)]
            onward = next((i for i in here if i in left), None)
            if onward is None:
                break
            left.discard(onward)
            more = list(stretches[onward].points)
            if math.dist(more[0], points[-1]) > math.dist(more[-1], points[-1]):
                more.reverse()
            points += more[1:]
            count += 1
        chains.append((points, count))
    return chains


def _complain_of_gap(
    best: list[Point], others: list[tuple[list[Point], int]], stretches: tuple[Stretch, ...]
) -> None:
    for end in (best[0], best[-1]):
        for chain, _ in others:
            for start in (chain[0], chain[-1]):
                gap = math.dist(end, start)
                if gap < NEAR_MM:
                    one, other = _named(end, stretches), _named(start, stretches)
                    raise NoProfile(
                        f"{one} ends at {_shown(end)} and {other} begins at {_shown(start)}, "
                        f"{gap:.3f} mm away: join them"
                    )


def _named(point: Point, stretches: tuple[Stretch, ...]) -> str:
    return next(s.name for s in stretches if point in (s.points[0], s.points[-1]))


def _span(points: list[Point]) -> float:
    return max(x for x, _ in points) - min(x for x, _ in points)


def _above_axis(points: list[Point]) -> list[Point]:
    """The chain itself where it lies above Y0; the upper half of a whole outline.

    Raises NoProfile where the axis is not along Y0.
    """
    low, high = min(y for _, y in points), max(y for _, y in points)
    if low >= -JOIN_MM:
        return points
    if abs(low + high) > NEAR_MM / 10 or math.dist(points[0], points[-1]) > JOIN_MM:
        raise NoProfile(
            f"the outline lies between Y{low:.3f} and Y{high:.3f} mm: draw it with the part's "
            "axis along Y0, the outline above it"
        )
    from shapely import Polygon, box

    half = Polygon(points).intersection(box(-1e7, 0.0, 1e7, 1e7))
    if half.geom_type != "Polygon":
        raise NoProfile("the outline crosses the axis more than twice: draw its upper half alone")
    return [(float(x), float(y)) for x, y in half.exterior.coords]


def _outside(points: list[Point]) -> list[Point]:
    """From the outer end of the front face along the outside to that of the back face."""
    right, left = max(x for x, _ in points), min(x for x, _ in points)
    if right - left < NEAR_MM:
        raise NoProfile(f"the outline is only {right - left:.3f} mm long along the axis")
    closed = math.dist(points[0], points[-1]) <= JOIN_MM
    ring = points[:-1] if closed else points

    def outermost(x: float) -> int:
        return max(
            (i for i, p in enumerate(ring) if abs(p[0] - x) <= SAME_MM), key=lambda i: ring[i][1]
        )

    start, end = outermost(right), outermost(left)
    if not closed:
        part = ring[start : end + 1] if start <= end else ring[end : start + 1][::-1]
    else:
        ways = [_around(ring, start, end, step) for step in (1, -1)]
        part = max(ways, key=_mean_height)
    ends = {0: right, len(part) - 1: left}
    return [(ends.get(i, x), y) for i, (x, y) in enumerate(part)]


def _around(ring: list[Point], start: int, end: int, step: int) -> list[Point]:
    found = [ring[start]]
    while start != end:
        start = (start + step) % len(ring)
        found.append(ring[start])
    return found


def _mean_height(points: list[Point]) -> float:
    """Of the way, by its length."""
    pairs = list(pairwise(points))
    length = sum(math.dist(a, b) for a, b in pairs)
    total = sum(math.dist(a, b) * (a[1] + b[1]) / 2 for a, b in pairs)
    return total / length if length else points[0][1]


def _shown(point: Point) -> str:
    return f"X{point[0]:.3f} Y{point[1]:.3f} mm"
