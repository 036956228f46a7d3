"""Corner words: a chamfer or a rounding between two straight blocks."""

from __future__ import annotations

import math
from dataclasses import replace

from judge.motion import Arc, Leg, Point, Undecided

Group = list[Leg]
"""What has become of one programmed leg."""


def _along(a: Point, b: Point, by: float) -> Point:
    size = math.dist(a, b)
    if size < by - 1e-6:
        raise Undecided("a corner larger than its block")
    return a[0] + (b[0] - a[0]) * by / size, a[1] + (b[1] - a[1]) * by / size


def with_corners(start: Point, legs: list[Leg]) -> list[Group]:
    """The legs with their corners cut off or rounded: one group for each of them."""
    groups: list[Group] = []
    at = start
    for index, leg in enumerate(legs):
        if leg.corner is None:
            groups.append([leg])
            at = leg.end
            continue
        after = next((b for b in legs[index + 1 :] if b.end != leg.end), None)
        if after is None or after.rapid or leg.rapid or after.arc or leg.arc:
            raise Undecided("a corner word beside a block that is no straight feed")
        word, size = leg.corner
        vertex = leg.end
        back, ahead = math.dist(at, vertex), math.dist(vertex, after.end)
        if back == 0 or ahead == 0:
            raise Undecided("a corner beside a block without motion")
        ua = ((vertex[0] - at[0]) / back, (vertex[1] - at[1]) / back)
        ub = ((after.end[0] - vertex[0]) / ahead, (after.end[1] - vertex[1]) / ahead)
        cross = ua[0] * ub[1] - ua[1] * ub[0]
        turn = math.atan2(cross, ua[0] * ub[0] + ua[1] * ub[1])
        by = size if word == "C" else size * math.tan(abs(turn) / 2)
        first, last = _along(vertex, at, by), _along(vertex, after.end, by)
        arc = None
        if word == "R":
            side = math.copysign(size, cross)
            arc = Arc((first[0] - ua[1] * side, first[1] + ua[0] * side), cross < 0)
        groups.append([
            replace(leg, end=first, corner=None),
            replace(leg, end=last, corner=None, arc=arc),
        ])  # fmt: skip
        at = last
    return groups
