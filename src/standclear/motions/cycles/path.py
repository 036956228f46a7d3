"""Parts that every cycle builds its steps from.

Frame of a cycle: (along, across). `along` is the axis the cutting feed runs on, `across` the axis
levels, pecking columns or infeeds are counted on. Where the feed runs along Z this is (z, r) as
everywhere else; where it runs across the face it is (r, z): the same cycle with axes exchanged.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from math import hypot
from typing import Literal

from standclear.job.models import Control
from standclear.motions.step import CycleFault, Position, ProfileMove, Reading, Step
from standclear.motions.table import Kind, Path

TOUCH = 1e-9
"""Millimetres below which two coordinates are the same: a millionth of the least increment of a
control, and far above the rounding of a double at ten metres."""

MOST_STEPS = 10_000
"""Levels or pecks of one call beyond which it is not followed: at one a second, three hours' work,
and most likely a missing decimal point."""

Result = tuple[tuple[Reading, ...], tuple[CycleFault, ...]]
"""What every cycle answers: its readings and what it found wrong."""

Home = Literal["direct", "along-first", "across-first"]


def exchanged(point: Position) -> Position:
    """The point with its two coordinates changed over."""
    return (point[1], point[0])


def exchanged_readings(readings: Iterable[Reading]) -> tuple[Reading, ...]:
    """The readings with the axes of every step changed over."""
    return tuple(
        replace(
            reading,
            steps=tuple(replace(step, end=exchanged(step.end)) for step in reading.steps),
        )
        for reading in readings
    )


def sign(value: float) -> int:
    """-1, 0 or 1; 0 within `TOUCH` of nothing."""
    if abs(value) <= TOUCH:
        return 0
    return 1 if value > 0 else -1


def moved(point: Position, by: Position) -> Position:
    """The point displaced."""
    return (point[0] + by[0], point[1] + by[1])


def apart(one: Position, other: Position) -> bool:
    """True where the points are further apart than `TOUCH`."""
    return hypot(one[0] - other[0], one[1] - other[1]) > TOUCH


def only_moving(start: Position, steps: Iterable[Step]) -> tuple[Step, ...]:
    """The steps without those that end where they start."""
    kept: list[Step] = []
    here = start
    for step in steps:
        if apart(here, step.end):
            kept.append(step)
            here = step.end
    return tuple(kept)


def rapid(end: Position) -> Step:
    """A rapid to `end`."""
    return Step(Kind.RAPID, end)


def follow(
    moves: Sequence[ProfileMove], by: Position = (0.0, 0.0), own_feed: bool = False
) -> list[Step]:
    """The steps along profile blocks displaced by `by`, chord by chord.

    `own_feed`: with the F and S written in the profile (finishing), else at the call's feed. A
    block written as a rapid stays one: nothing is credited to it.
    """
    return [
        Step(
            move.kind,
            moved(point, by),
            profile=move.block,
            sagitta=move.sagitta,
            feed=move.feed if own_feed else None,
            feed_mode=move.feed_mode if own_feed else None,
            speed=move.speed if own_feed else None,
            compensated=move.compensated,
        )
        for move in moves
        for point in move.points
    ]


def home_of(control: Control, axes_exchanged: bool = False) -> Home | None:
    """The control's way home in the frame of the cycle, None where it is open."""
    match control.home_after_cycle:
        case "x-first":
            return "along-first" if axes_exchanged else "across-first"
        case "z-first":
            return "across-first" if axes_exchanged else "along-first"
        case other:
            return other


def way_home(here: Position, start: Position, home: Home | None) -> list[Step]:
    """The rapids from `here` to the point of call.

    `home` None: not known. Then the whole rectangle between the two is swept, which holds the
    direct way and both ways of one axis after the other.
    """
    if home is None:
        return [Step(Kind.RAPID, start, path=Path.ANYWHERE)]
    if home == "along-first":
        return [rapid((start[0], here[1])), rapid(start)]
    if home == "across-first":
        return [rapid((here[0], start[1])), rapid(start)]
    return [rapid(start)]
