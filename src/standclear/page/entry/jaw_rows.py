"""Steps of a jaw, by length, height and relief, into the profile of the job file and back.

Steps run from the jaw's front to the stop's face. A profile is (z, h): z from the stop's face, +
away from the spindle, h radial, outwards from the gripping surface.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

Point = tuple[float, float]
SAME = 1e-6
DECIMALS = 6


class StepMisfit(ValueError):
    """A step of a jaw that cannot be; `row` counts from 0."""

    def __init__(self, row: int, key: str, found: str, accepted: str) -> None:
        super().__init__(f"step {row + 1}, {key}: {found}: {accepted}")
        self.row, self.key, self.found, self.accepted = row, key, found, accepted


@dataclass(frozen=True, slots=True)
class JawStep:
    """One stretch of a jaw along the axis."""

    length: float
    height: float
    relief: float = 0.0


def profile_of(steps: Sequence[JawStep]) -> tuple[list[Point], list[int]]:
    """The profile, and for each of its points the step that it belongs to. Raises StepMisfit."""
    for index, step in enumerate(steps):
        if step.length <= 0:
            raise StepMisfit(index, "length", f"{step.length:g}", "give more than 0")
        if step.relief < 0:
            raise StepMisfit(index, "relief", f"{step.relief:g}", "give 0 or more")
        if step.height <= step.relief:
            accepted = f"give more than the relief, {step.relief:g}"
            raise StepMisfit(index, "height", f"{step.height:g}", accepted)
    z = [0.0]
    for step in reversed(steps):
        z.insert(0, round(z[0] + step.length, DECIMALS))
    lower: list[tuple[Point, int]] = []
    upper: list[tuple[Point, int]] = []
    for index, (step, ends) in enumerate(zip(steps, pairwise(z), strict=True)):
        for end in ends:
            lower.append(((end, step.relief), index))
            upper.append(((end, step.height), index))
    # From the back along the gripping side to the front, and back along the outside.
    ring = _thinned([*reversed(lower), *upper])
    return [point for point, _ in ring], [index for _, index in ring]


def _thinned(ring: list[tuple[Point, int]]) -> list[tuple[Point, int]]:
    """Without repeats and without points on a straight line."""
    kept: list[tuple[Point, int]] = []
    for place in ring:
        if kept and math.dist(kept[-1][0], place[0]) < SAME:
            continue
        kept.append(place)
        while len(kept) > 2 and _straight(kept[-3][0], kept[-2][0], kept[-1][0]):
            del kept[-2]
    return kept


def _straight(a: Point, b: Point, c: Point) -> bool:
    cross = (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
    return abs(cross) < SAME


def jaw_steps_of(profile: Sequence[Point]) -> list[JawStep] | None:
    """The steps of a profile; None where no steps give it."""
    cuts = sorted({round(z, DECIMALS) for z, _ in profile}, reverse=True)
    if len(cuts) < 2 or abs(cuts[-1]) > SAME:
        return None
    steps: list[JawStep] = []
    for front, back in pairwise(cuts):
        heights = sorted(_crossings(profile, (front + back) / 2))
        if len(heights) != 2:
            return None
        made = JawStep(round(front - back, DECIMALS), heights[1], heights[0] + 0.0)
        steps.append(made)
    try:
        ring, _ = profile_of(steps)
    except StepMisfit:
        return None
    return steps if _same_ring(ring, profile) else None


def _crossings(profile: Sequence[Point], z: float) -> list[float]:
    found = []
    for (z0, h0), (z1, h1) in zip(profile, [*profile[1:], profile[0]], strict=True):
        if min(z0, z1) < z < max(z0, z1):
            found.append(round(h0 + (h1 - h0) * (z - z0) / (z1 - z0), DECIMALS))
    return found


def _same_ring(one: Sequence[Point], other: Sequence[Point]) -> bool:
    """Whether two closed outlines have the same corners, wherever and whichever way they run."""
    if len(one) != len(other):
        return False
    for ring in (list(one), list(one)[::-1]):
        for shift in range(len(ring)):
            turned = [*ring[shift:], *ring[:shift]]
            if all(math.dist(a, b) < SAME for a, b in zip(turned, other, strict=True)):
                return True
    return False
