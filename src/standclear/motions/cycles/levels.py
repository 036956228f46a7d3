"""The depths of roughing levels, and the readings of them that a control leaves open.

Depths are millimetres inward from the moved start S': S' is 0, the metal lies at greater depths.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import floor
from typing import Literal

from standclear.job.models import Control
from standclear.motions.cycles.path import TOUCH

LastLevel = Literal["left-to-profile", "own-level", "equalised"]
LAST_LEVELS: tuple[LastLevel, ...] = ("left-to-profile", "own-level", "equalised")


def level_depths(base: float, entry: float, depth: float, last: LastLevel) -> tuple[float, ...]:
    """Depths of the levels, counted from `base` in steps of `depth`, none past `entry`.

    `last` says what becomes of a rest thinner than `depth`: nothing, a level of its own at the
    entry, or as many levels but all alike. Without a rest all three are the same.
    """
    total = entry - base
    if total <= TOUCH:
        return ()
    whole = floor((total + TOUCH) / depth)
    rest = total - whole * depth > TOUCH
    if last == "equalised":
        count = whole + rest
        return (*(base + total * k / count for k in range(1, count)), entry)
    counted = tuple(base + k * depth for k in range(1, whole + 1))
    if not rest:
        return (*counted[:-1], entry)
    return (*counted, entry) if last == "own-level" else counted


@dataclass(frozen=True, slots=True)
class Levels:
    """One reading of a call's levels: counted from `base`, at `depths`, deepest last."""

    base: float
    depths: tuple[float, ...]
    values: tuple[str, ...]
    """The open rows it stands for, `row=value`."""


def level_readings(
    moved_by: float, entry: float, depth: float, control: Control
) -> tuple[Levels, ...]:
    """Each different list of levels that the control's rows allow.

    `moved_by` is the depth of S as seen from S'. A row that is stated, or that changes nothing
    in this call, is not named.
    """
    bases: dict[str, float] = {"moved-start": 0.0, "start": moved_by}
    if control.levels_from is not None:
        bases = {control.levels_from: bases[control.levels_from]}
    elif abs(moved_by) <= TOUCH:
        bases = {"moved-start": 0.0}
    lasts = LAST_LEVELS if control.last_level is None else (control.last_level,)
    found: dict[tuple[float, ...], Levels] = {}
    for origin, base in bases.items():
        lists = {last: level_depths(base, entry, depth, last) for last in lasts}
        differ = len(set(lists.values())) > 1
        for last, depths in lists.items():
            values = (
                *((f"levels_from={origin}",) if len(bases) > 1 else ()),
                *((f"last_level={last}",) if differ else ()),
            )
            found.setdefault(depths, Levels(base, depths, values))
    return tuple(found.values())


def most_levels(moved_by: float, entry: float, depth: float) -> float:
    """An upper bound of the number of levels of any reading."""
    return max(entry, entry - moved_by) / depth + 1
