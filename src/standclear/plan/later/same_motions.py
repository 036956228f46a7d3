"""Whether two tables of motions do the same, and in what they differ where they do not."""

from __future__ import annotations

from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from standclear.motions.table import Kind, Motions, ToolUse


class Matter(StrEnum):
    """What two runs of a program may differ in, the gravest first."""

    MOTION = "motion"
    FEED = "feed"
    SPEED = "speed"
    COOLANT = "coolant"


GRAVEST_FIRST = tuple(Matter)
_COLUMNS = {
    Matter.MOTION: ("kind", "path", "start", "end", "sagitta", "variant", "credited", "crest"),
    Matter.FEED: ("feed", "feed_mode"),
    Matter.SPEED: ("spindle", "speed", "speed_mode", "clamp"),
    Matter.COOLANT: ("coolant",),
}
_WHILE_CUTTING = frozenset({Matter.FEED, Matter.SPEED, Matter.COOLANT})
"""What counts in feeds only: in a rapid the spindle may as well stand."""


def differences(
    one: Motions, its_tools: tuple[ToolUse, ...], other: Motions, other_tools: tuple[ToolUse, ...]
) -> tuple[Matter, ...]:
    """What the two tables differ in, the gravest first; empty where they do the same.

    Tools are compared by station and offset, since each run numbers its own. Tables of different
    length differ in motion, and nothing more is said of them.
    """
    if len(one) != len(other):
        return (Matter.MOTION,)
    cutting = (one.kind == Kind.FEED) & (other.kind == Kind.FEED)
    found = []
    for matter in GRAVEST_FIRST:
        rows = cutting if matter in _WHILE_CUTTING else np.ones(len(one), dtype=bool)
        same = all(
            np.array_equal(getattr(one, name)[rows], getattr(other, name)[rows])
            for name in _COLUMNS[matter]
        )
        if matter is Matter.MOTION:
            same = same and np.array_equal(_stations(one, its_tools), _stations(other, other_tools))
        if not same:
            found.append(matter)
    return tuple(found)


def first_difference(one: Motions, other: Motions) -> int:
    """Number of the first motion whose way or kind differs; the shorter length where one table
    goes on from the other."""
    shorter = min(len(one), len(other))
    differs = np.zeros(shorter, dtype=bool)
    for name in _COLUMNS[Matter.MOTION]:
        a, b = getattr(one, name)[:shorter], getattr(other, name)[:shorter]
        unequal = a != b
        differs |= unequal.any(axis=1) if unequal.ndim > 1 else unequal
    return int(np.argmax(differs)) if differs.any() else shorter


def _stations(motions: Motions, tools: tuple[ToolUse, ...]) -> NDArray[np.int64]:
    known = np.array([(-1, -1), *((u.station, u.offset) for u in tools)], dtype=np.int64)
    return known[motions.tool.astype(np.int64) + 1]
