"""An outline read as steps with corners, where steps give just that outline."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby, pairwise

from standclear.page.entry.part_rows import (
    SAME,
    SHARP,
    Corner,
    CornerMisfit,
    Point,
    Step,
    length_of,
    outline_of,
)

ANGLES = (45.0, 30.0, 60.0, 15.0, 20.0, 75.0, 10.0)
"""Of chamfers that a drawing usually has; another one is read as a taper."""

MOST_TAPERS = 4
"""Tapers that follow one another; more are the chords of a curve, which is no step."""


@dataclass(frozen=True, slots=True)
class _Run:
    """Stretches of one kind in a row: `face`, `straight` or `slant`."""

    kind: str
    points: tuple[Point, ...]


def steps_of(outline: Sequence[Point], length: float, sagitta: float) -> list[Step] | None:
    """The steps of `outline` over `length`; None where no steps give it."""
    if len(outline) < 2 or any(z1 > z0 + SAME for (z0, _), (z1, _) in pairwise(outline)):
        return None
    runs = list(_runs(outline))
    steps: list[Step] = []
    for index, run in enumerate(runs):
        before = runs[index - 1] if index else None
        after = runs[index + 1] if index + 1 < len(runs) else None
        if run.kind == "straight":
            steps.append(_straight(run, before, after, runs, index))
        elif run.kind == "slant" and _corner(run, before, after) is None:
            if len(run.points) > MOST_TAPERS + 1:
                return None
            steps += [
                Step(_clean(p[1]), _clean(p[0] - q[0]), _clean(q[1]))
                for p, q in pairwise(run.points)
            ]
    try:
        made, _ = outline_of(steps, sagitta)
    except CornerMisfit:
        return None
    same = len(made) == len(outline) and all(
        math.dist(one, other) < SAME for one, other in zip(made, outline, strict=True)
    )
    return steps if steps and same and abs(length_of(steps) - length) < SAME else None


def _runs(outline: Sequence[Point]) -> Iterator[_Run]:
    def kind(pair: tuple[Point, Point]) -> str:
        (z0, d0), (z1, d1) = pair
        if abs(z1 - z0) < SAME:
            return "face"
        return "straight" if abs(d1 - d0) < SAME else "slant"

    for name, pairs in groupby(pairwise(outline), kind):
        several = list(pairs)
        yield _Run(name, (several[0][0], *(pair[1] for pair in several)))


def _straight(
    run: _Run,
    before: _Run | None,
    after: _Run | None,
    runs: Sequence[_Run],
    index: int,
) -> Step:
    start, stop = run.points[0][0], run.points[-1][0]
    front = back = SHARP
    if before is not None and before.kind == "slant":
        earlier = runs[index - 2] if index > 1 else None
        found = _corner(before, earlier, run)
        if found:
            front, start = found, before.points[0][0]
    if after is not None and after.kind == "slant":
        later = runs[index + 2] if index + 2 < len(runs) else None
        found = _corner(after, run, later)
        if found:
            back, stop = found, after.points[-1][0]
    return Step(_clean(run.points[0][1]), _clean(start - stop), front=front, back=back)


def _corner(run: _Run, before: _Run | None, after: _Run | None) -> Corner | None:
    """The corner that a slant is, between a straight stretch and a face or an end of the part;
    None where it is a taper."""
    at_front = (before is None or before.kind == "face") and _is_straight(after)
    at_back = (after is None or after.kind == "face") and _is_straight(before)
    if not (at_front or at_back):
        return None
    (z0, d0), (z1, d1) = run.points[0], run.points[-1]
    along, high = z0 - z1, abs(d1 - d0) / 2
    if len(run.points) == 2:
        rises = ((angle, along * math.tan(math.radians(angle))) for angle in ANGLES)
        angle = next((angle for angle, rise in rises if abs(rise - high) < SAME), None)
        return None if angle is None else Corner(_clean(along), angle)
    # An arc of a quarter takes as much of the shoulder as of the surface.
    return Corner(_clean(along), round=True) if abs(along - high) < SAME else None


def _is_straight(run: _Run | None) -> bool:
    return run is not None and run.kind == "straight"


def _clean(value: float) -> float:
    return round(value, 6) + 0.0
