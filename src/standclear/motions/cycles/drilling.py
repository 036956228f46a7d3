"""Drilling on the centre line: G83 with or without pecks, G84 tapping, G85 boring.

Common practice across makes of lathe: rapid to the hole's X at the level where the tool stands (the
initial level), rapid along Z to the R level, feed to the bottom, back to the initial or R level.

Pecks count from the R level. Between them the tool comes back by a little or all the way to the R
level, and down again to where it has cut, which differs between controls and their settings: the
whole way is tested as rapids, which holds every other. A tap turns back and comes out by feed, a
reamer too: to the R level, credited with no cutting. Nor is the way in of a tap credited: between
the crests of a thread the hole keeps the size that it was drilled to.
"""

from __future__ import annotations

from math import ceil

from standclear.motions.cycles.path import (
    MOST_STEPS,
    TOUCH,
    Result,
    only_moving,
    rapid,
    sign,
)
from standclear.motions.step import CycleFault, Position, Reading, Step
from standclear.motions.table import Kind


def drill(
    start: Position, r: float, level: float, bottom: float, peck: float, end: float
) -> Result:
    """G83, G84 and G85: a hole along Z, and back to `end`.

    `start` (z, r) is where the tool stands, its z the initial level; `r` radial, of the hole;
    `level` the z of the R level, `bottom` of the bottom, `end` of the level returned to; `peck`
    along Z, 0 for one plunge. Millimetres.

    Faults, all unproven: `profile-stands-still` where the bottom does not lie beyond both levels,
    `cannot-follow` for a peck below zero or more than `MOST_STEPS` pecks.
    """
    way = sign(bottom - level)
    count = max(ceil((abs(bottom - level) - TOUCH) / peck), 1) if peck > 0 else 1
    if fault := _refusal(start[0], level, bottom, peck, count):
        return (Reading((), ()),), (fault,)
    steps = [rapid((start[0], r)), rapid((level, r))]
    for k in range(1, count):
        reached = (level + way * peck * k, r)
        steps += [Step(Kind.FEED, reached), rapid((level, r)), rapid(reached)]
    steps += [Step(Kind.FEED, (bottom, r)), rapid((end, r))]
    return (Reading((), only_moving(start, steps)),), ()


def bore(start: Position, r: float, level: float, bottom: float, end: float) -> Result:
    """G85: a hole along Z in one feed, and out of it by feed. As `drill`."""
    return _in_and_out(start, r, level, bottom, end, credited=True)


def tap(start: Position, r: float, level: float, bottom: float, end: float) -> Result:
    """G84: a thread along Z, and out of it by feed. As `drill`; nothing is credited."""
    return _in_and_out(start, r, level, bottom, end, credited=False)


def _in_and_out(
    start: Position, r: float, level: float, bottom: float, end: float, *, credited: bool
) -> Result:
    if fault := _refusal(start[0], level, bottom, 0.0, 1):
        return (Reading((), ()),), (fault,)
    steps = [
        rapid((start[0], r)),
        rapid((level, r)),
        Step(Kind.FEED, (bottom, r), credited=credited),
        Step(Kind.FEED, (level, r), credited=False),
        rapid((end, r)),
    ]
    return (Reading((), only_moving(start, steps)),), ()


def _refusal(
    initial: float, level: float, bottom: float, peck: float, count: int
) -> CycleFault | None:
    """Why the call cannot be followed, None if it can."""
    ways = {sign(bottom - initial), sign(bottom - level)}
    if 0 in ways or len(ways) > 1:
        return CycleFault(
            "profile-stands-still",
            "The drilling call's bottom does not lie beyond both its R level and the level that "
            "the tool stands at, so it never plunges.",
            "Check Z and R of the call and the point that it is called from.",
            unproven=True,
        )
    if peck < 0:
        return CycleFault(
            "cannot-follow",
            "The drilling call gives a peck below zero, which controls read differently.",
            "Give the peck as a number that is not negative.",
            unproven=True,
        )
    if count > MOST_STEPS:
        return CycleFault(
            "cannot-follow",
            f"The drilling call asks for more than {MOST_STEPS:,} pecks.",
            "Check the depth of a peck for a missing decimal point.",
            unproven=True,
        )
    return None
