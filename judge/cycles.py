"""The judge's own expansion of the cycles into legs, each from where the leg before ended.

S is where the tool stands at the call, (z, r). d and e are radial for turning levels.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

from judge.curve import first_meeting, tail_from
from judge.motion import Leg, Point, Undecided

TINY = 1e-9


@dataclass(frozen=True)
class ProfileBlock:
    """One block of a profile, as programmed from S."""

    rapid: bool
    points: tuple[Point, ...]
    """End points of its chords."""
    letters: frozenset[str]
    """Axes it names: `X` (or U), `Z` (or W)."""


def _sign(value: float) -> float:
    return float((value > TINY) - (value < -TINY))


def _home(at: Point, to: Point, control: Mapping[str, Any]) -> list[Leg]:
    order = control.get("home_after_cycle")
    if order == "x-first":
        return [Leg(True, (at[0], to[1])), Leg(True, to)]
    if order == "z-first":
        return [Leg(True, (to[0], at[1])), Leg(True, to)]
    if order == "direct":
        return [Leg(True, to)]
    raise Undecided("home_after_cycle is open")


def _levels(start: float, entry: float, inward: float, depth: float, rule: str | None
            ) -> list[float]:  # fmt: skip
    """Where the roughing levels lie, from the outermost in."""
    total = (entry - start) * inward
    if total <= TINY:
        return []
    if rule == "equalised":
        count = math.ceil(total / depth - TINY)
        return [start + inward * total * (k + 1) / count for k in range(count)]
    levels: list[float] = []
    while (len(levels) + 1) * depth <= total + TINY:
        levels.append(start + inward * depth * (len(levels) + 1))
    if rule == "own-level":
        if not levels or (entry - levels[-1]) * inward > TINY:
            levels.append(entry)
    elif rule != "left-to-profile":
        raise Undecided("last_level is open")
    return levels


def rough(s: Point, blocks: list[ProfileBlock], moved_by: Point, depth: float, withdrawal: float,
          across: bool, control: Mapping[str, Any]) -> list[Leg]:  # fmt: skip
    """G71, or G72 when `across`: levels, then once along the moved profile, then home.

    `moved_by` is the allowance as (w, u/2). Raises `Undecided` for a profile whose first block
    names both axes, one that is not monotone, and for open control rows.
    """
    level_axis = 0 if across else 1
    run_axis = 1 - level_axis
    if blocks[0].letters != {"Z" if across else "X"}:
        raise Undecided("first block of the profile names the other axis too")
    chain = [blocks[0].points[-1]] + [p for b in blocks[1:] for p in b.points]
    path = [(z + moved_by[0], r + moved_by[1]) for z, r in chain]
    moved = (s[0] + moved_by[0], s[1] + moved_by[1])
    inward = _sign(chain[0][level_axis] - s[level_axis])
    along = _sign(chain[-1][run_axis] - s[run_axis])
    for a, b in pairwise(path):
        if (b[run_axis] - a[run_axis]) * along < -TINY:
            raise Undecided("profile turns back")
        if (b[level_axis] - a[level_axis]) * inward > TINY:
            raise Undecided("pocket in a plain roughing profile")

    def at(level: float, run: float) -> Point:
        return (level, run) if across else (run, level)

    legs = [Leg(True, moved)]
    base = control.get("levels_from")
    if base not in ("moved-start", "start"):
        raise Undecided("levels_from is open")
    origin = moved[level_axis] if base == "moved-start" else s[level_axis]
    above = origin
    for level in _levels(origin, path[0][level_axis], inward, depth, control.get("last_level")):
        legs.append(Leg(blocks[0].rapid, at(level, moved[run_axis])))
        meeting = first_meeting(path, level, level_axis, along)
        end = at(level, path[-1][run_axis] if meeting is None else meeting)
        if meeting is None and control.get("level_outside_profile") != "to-exit":
            raise Undecided("a level outside the profile stops the control")
        legs.append(Leg(False, end))
        if control.get("level_end") == "along-profile":
            if meeting is not None:
                up = tail_from(path, level, level_axis, meeting, above)
                legs.extend(Leg(False, p) for p in up[1:])
                end = legs[-1].end
        elif control.get("level_end") != "45-degrees":
            raise Undecided("level_end is open")
        off = at(
            end[level_axis] - inward * withdrawal, end[run_axis] - along * withdrawal
        )  # fmt: skip
        legs.append(Leg(True, off, straight=True))
        legs.append(Leg(True, at(off[level_axis], moved[run_axis])))
        above = level
    legs.append(Leg(blocks[0].rapid, path[0]))
    legs.extend(Leg(False, p) for p in path[1:])
    return legs + _home(path[-1], s, control)


def finish(s: Point, blocks: list[ProfileBlock], control: Mapping[str, Any]) -> list[Leg]:
    """G70: the profile as written, then rapid to the point of call."""
    legs = [Leg(b.rapid, p) for b in blocks for p in b.points]
    return legs + _home(legs[-1].end, s, control)


def _depths(start: float, bottom: float, peck: float) -> list[float]:
    """Where each peck ends; counted from the start, the last one at the bottom."""
    sign = _sign(bottom - start)
    total = abs(bottom - start)
    if peck <= 0:
        return [bottom]
    count = math.ceil(total / peck - TINY)
    return [start + sign * peck * k for k in range(1, count)] + [bottom]


def peck(s: Point, end: Point, peck_depth: float, step: float, back: float, relief: float,
         across: bool) -> list[Leg]:  # fmt: skip
    """G74 (pecks along z, steps in r), or G75 when `across` (pecks along r, steps in z)."""
    peck_axis = 1 if across else 0
    step_axis = 1 - peck_axis

    def at(depth: float, side: float) -> Point:
        return (side, depth) if across else (depth, side)

    start, bottom = s[peck_axis], end[peck_axis]
    down = _sign(bottom - start)
    side, last = s[step_axis], end[step_axis]
    sideways = _sign(last - side)
    legs: list[Leg] = []
    while True:
        for depth in _depths(start, bottom, peck_depth):
            legs.append(Leg(False, at(depth, side)))
            if depth != bottom:
                legs.append(Leg(True, at(depth - down * back, side)))
        out = side
        if relief > 0:
            out = side - (sideways or 1.0) * relief
            legs.append(Leg(True, at(bottom, out)))
        legs.append(Leg(True, at(start, out)))
        if sideways == 0 or abs(last - side) <= TINY:
            break
        if step <= 0:
            raise Undecided("steps of a pecking cycle without their size")
        side = last if abs(last - side) <= step + TINY else side + sideways * step
        legs.append(Leg(True, at(start, side)))
    legs.append(Leg(True, s))
    return legs


def single_pass(s: Point, end: Point, taper: float, across: bool) -> list[Leg]:
    """G90, or G94 when `across`. `taper` is R: start minus end, radial for G90, z for G94."""
    if across:
        return [
            Leg(True, (end[0] + taper, s[1])), Leg(False, end),
            Leg(False, (s[0], end[1])), Leg(True, s),
        ]  # fmt: skip
    return [
        Leg(True, (s[0], end[1] + taper)), Leg(False, end),
        Leg(False, (end[0], s[1])), Leg(True, s),
    ]  # fmt: skip
