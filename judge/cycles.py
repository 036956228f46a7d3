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
from judge.rows import stated

TINY = 1e-9


@dataclass(frozen=True)
class ProfileBlock:
    """One block of a profile, as programmed from S."""

    rapid: bool
    points: tuple[Point, ...]
    """End points of its chords."""
    letters: frozenset[str]
    """Axes it names: `X` (or U), `Z` (or W)."""


def sign(value: float) -> float:
    """-1, 0 or 1."""
    return float((value > TINY) - (value < -TINY))


def home(at: Point, to: Point, control: Mapping[str, Any]) -> list[Leg]:
    """The rapids by which a cycle ends."""
    order = stated(control, "home_after_cycle")
    if order == "x-first":
        return [Leg(True, (at[0], to[1])), Leg(True, to)]
    if order == "z-first":
        return [Leg(True, (to[0], at[1])), Leg(True, to)]
    return [Leg(True, to)]


def levels(start: float, entry: float, inward: float, depth: float, control: Mapping[str, Any]
           ) -> list[float]:  # fmt: skip
    """Where the roughing levels lie, from the outermost in."""
    total = (entry - start) * inward
    if total <= TINY:
        return []
    rule = stated(control, "last_level")
    if rule == "equalised":
        count = math.ceil(total / depth - TINY)
        return [start + inward * total * (k + 1) / count for k in range(count)]
    found: list[float] = []
    while (len(found) + 1) * depth <= total + TINY:
        found.append(start + inward * depth * (len(found) + 1))
    if rule == "own-level" and (not found or (entry - found[-1]) * inward > TINY):
        found.append(entry)
    return found


@dataclass(frozen=True)
class Rough:
    """One call of G71, or of G72 when `across`."""

    s: Point
    blocks: list[ProfileBlock]
    moved_by: Point
    """The allowance as (w, u/2)."""
    depth: float
    withdrawal: float
    across: bool
    control: Mapping[str, Any]
    slack: float = 0.0
    """How far the profile may turn back: compensation ends on such a way."""

    @property
    def level_axis(self) -> int:
        """Index of the coordinate that a level holds constant."""
        return 0 if self.across else 1

    def at(self, level: float, run: float) -> Point:
        """The place on a level."""
        return (level, run) if self.across else (run, level)

    @property
    def moved(self) -> Point:
        """S'."""
        return self.s[0] + self.moved_by[0], self.s[1] + self.moved_by[1]

    @property
    def path(self) -> list[Point]:
        """The moved profile from its entry on."""
        chain = [self.blocks[0].points[-1]] + [p for b in self.blocks[1:] for p in b.points]
        return [(z + self.moved_by[0], r + self.moved_by[1]) for z, r in chain]

    @property
    def inward(self) -> float:
        """Sign of the way from S to the entry across the levels."""
        entry = self.blocks[0].points[-1]
        return sign(entry[self.level_axis] - self.s[self.level_axis])

    @property
    def along(self) -> float:
        """Sign of the way from S to the exit along the levels."""
        run = 1 - self.level_axis
        return sign(self.blocks[-1].points[-1][run] - self.s[run])

    def levels(self, bottom: float) -> list[float]:
        """Where the levels lie that do not pass `bottom`, the outermost first."""
        base = stated(self.control, "levels_from")
        origin = (self.moved if base == "moved-start" else self.s)[self.level_axis]
        return levels(origin, bottom, self.inward, self.depth, self.control)

    def withdraw(self, end: Point) -> Point:
        """Where the withdrawal at 45 degrees from `end` leads."""
        level, run = end[self.level_axis], end[1 - self.level_axis]
        return self.at(level - self.inward * self.withdrawal, run - self.along * self.withdrawal)

    def last_pass(self) -> list[Leg]:
        """Once along the moved profile, and home."""
        path = self.path
        legs = [Leg(self.blocks[0].rapid, path[0]), *(Leg(False, p) for p in path[1:])]
        return legs + home(path[-1], self.s, self.control)


def rough(call: Rough) -> list[Leg]:
    """G71 or G72 whose profile begins with one axis alone: levels, then once along the moved
    profile, then home.

    Raises `Undecided` for a profile that turns back, one
    whose pocket stops the control, and for open control rows.
    """
    blocks, control = call.blocks, call.control
    axis, run = call.level_axis, 1 - call.level_axis
    if blocks[0].letters != {"Z" if call.across else "X"}:
        raise Undecided("first block of the profile names the other axis too")
    path, moved = call.path, call.moved
    for a, b in pairwise(path):
        if (b[run] - a[run]) * call.along < -TINY - call.slack:
            raise Undecided("profile turns back")
        pocket = (b[axis] - a[axis]) * call.inward > TINY
        if pocket and control.get("pocket_in_plain_roughing") != "left":
            raise Undecided("pocket in a plain roughing profile")
    legs = [Leg(True, moved)]
    above = moved[axis] if stated(control, "levels_from") == "moved-start" else call.s[axis]
    for level in call.levels(path[0][axis]):
        legs.append(Leg(blocks[0].rapid, call.at(level, moved[run])))
        meeting = first_meeting(path, level, axis, call.along)
        end = call.at(level, path[-1][run] if meeting is None else meeting)
        if meeting is None and control.get("level_outside_profile") != "to-exit":
            raise Undecided("a level outside the profile stops the control")
        legs.append(Leg(False, end))
        if stated(control, "level_end") == "along-profile" and meeting is not None:
            up = tail_from(path, level, axis, meeting, above)
            legs.extend(Leg(False, p) for p in up[1:])
            end = legs[-1].end
        off = call.withdraw(end)
        legs.append(Leg(True, off, straight=True))
        legs.append(Leg(True, call.at(off[axis], moved[run])))
        above = level
    return legs + call.last_pass()


def finish(s: Point, blocks: list[ProfileBlock], control: Mapping[str, Any]) -> list[Leg]:
    """G70: the profile as written, then rapid to the point of call."""
    legs = [Leg(b.rapid, p) for b in blocks for p in b.points]
    return legs + home(legs[-1].end, s, control)


def pattern(s: Point, blocks: list[ProfileBlock], allowance: Point, relief: Point, count: int,
            control: Mapping[str, Any]) -> list[Leg]:  # fmt: skip
    """G73: `count` passes along the profile, the first one displaced by `relief` (k, i) and the
    allowance (w, u/2), the last by the allowance alone."""
    if count < 1:
        raise Undecided("a pattern without passes")
    if count == 1:
        shares = [1.0 if stated(control, "pattern_one_pass") == "shifted" else 0.0]
    else:
        shares = [1 - j / (count - 1) for j in range(count)]
    legs: list[Leg] = []
    for share in shares:
        dz = relief[0] * share + allowance[0]
        dr = relief[1] * share + allowance[1]
        legs.append(Leg(True, (s[0] + dz, s[1] + dr)))
        for k, block in enumerate(blocks):
            rapid = block.rapid and k == 0
            legs.extend(Leg(rapid, (z + dz, r + dr)) for z, r in block.points)
    return legs + home(legs[-1].end, s, control)


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
