"""Roughing of a profile with pockets: G71 and G72 whose first profile block names both axes.

A pocket's levels begin on the wall that falls away from the tool. The tool comes there over the
work, goes down that wall by feed, or straight in beside it, and cuts to the wall that rises again.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from judge.curve import tail_from
from judge.cycles import TINY, Rough
from judge.motion import Leg, Point, Undecided
from judge.rows import stated

Span = tuple[float, float]
"""Where a level begins and ends, along the run."""


@dataclass(frozen=True)
class _Cut:
    """One stretch of one level."""

    above: float
    """The level before, or where levels are counted from."""
    level: float
    span: Span
    from_outside: bool
    """It begins in front of the profile, not on a wall."""


def spans(call: Rough, level: float, begin: float) -> list[Span]:
    """The stretches of a level in which the moved profile lies no further out than it, in the
    order of the run from `begin` to the exit."""
    axis, run = call.level_axis, 1 - call.level_axis
    path = call.path
    # Positive where the profile lies deeper than the level.
    under = [(p[axis] - level) * call.inward for p in path]
    marks: list[tuple[float, bool]] = []
    for (a, b), (ua, ub) in zip(pairwise(path), pairwise(under), strict=True):
        if (ua < -TINY) != (ub < -TINY):
            share = ua / (ua - ub)
            marks.append((a[run] + share * (b[run] - a[run]), ub >= -TINY))
    found: list[Span] = []
    start: float | None = begin if under[0] >= -TINY else None
    for place, opens in marks:
        if opens:
            start = place
        elif start is not None:
            found.append((start, place))
            start = None
    if start is not None:
        found.append((start, path[-1][run]))
    return [s for s in found if (s[1] - s[0]) * call.along > TINY]


def _wall(call: Rough, above: float, level: float, start: float) -> list[Point]:
    """The falling wall of a pocket from the level above down to where this level starts."""
    axis, run = call.level_axis, 1 - call.level_axis
    way: list[Point] = [call.at(level, start)]
    for a, b in reversed(list(pairwise(call.path))):
        if (a[run] - start) * call.along > -TINY or (b[axis] - a[axis]) * call.inward < -TINY:
            if len(way) > 1:
                break
            continue
        if (a[axis] - above) * call.inward <= TINY:
            span = b[axis] - a[axis]
            share = 0.0 if abs(span) < TINY else (above - a[axis]) / span
            way.append(call.at(above, a[run] + share * (b[run] - a[run])))
            break
        way.append(a)
    return way[::-1]


def rough_pockets(call: Rough) -> list[Leg]:
    """Levels over all pockets or pocket by pocket, once along the moved profile, then home."""
    axis, run = call.level_axis, 1 - call.level_axis
    path, moved = call.path, call.moved
    for a, b in pairwise(path):
        if (b[run] - a[run]) * call.along < -TINY - call.slack:
            raise Undecided("profile turns back")
    order = stated(call.control, "pocket_order")
    from_line = stated(call.control, "pocket_levels_begin") == "entry-line"
    climbs = stated(call.control, "level_end") == "along-profile"
    origin = (moved if stated(call.control, "levels_from") == "moved-start" else call.s)[axis]
    over = moved[axis]
    cuts: list[_Cut] = []
    above = origin
    bottom = max(p[axis] * call.inward for p in path) * call.inward
    for level in call.levels(bottom):
        begin = moved[run]
        if from_line and abs(path[0][axis] - moved[axis]) > TINY:
            share = min(1.0, (level - moved[axis]) / (path[0][axis] - moved[axis]))
            begin = moved[run] + share * (path[0][run] - moved[run])
        for span in spans(call, level, begin):
            cuts.append(_Cut(above, level, span, span[0] == begin))
        above = level
    if order == "by-pocket":
        cuts = _by_pocket(cuts, call.along)
    legs = [Leg(True, moved)]
    outside = True
    for cut in cuts:
        level, span = cut.level, cut.span
        if cut.from_outside:
            if not outside:
                legs.append(Leg(True, call.at(over, legs[-1].end[run])))
            legs.append(Leg(True, call.at(legs[-1].end[axis], span[0])))
            legs.append(Leg(call.blocks[0].rapid, call.at(level, span[0])))
        else:
            wall = [call.at(level, span[0])]
            if stated(call.control, "pocket_infeed") == "along-profile":
                wall = _wall(call, cut.above, level, span[0])
            legs.append(Leg(True, call.at(over, legs[-1].end[run])))
            legs.append(Leg(True, call.at(over, wall[0][run])))
            legs.append(Leg(True, call.at(cut.above - call.inward * call.withdrawal, wall[0][run])))
            legs.extend(Leg(False, p) for p in wall)
        end = call.at(level, span[1])
        legs.append(Leg(False, end))
        if climbs:
            # Nothing where the level ends at the exit.
            up = tail_from(path, level, axis, span[1], cut.above)
            legs.extend(Leg(False, p) for p in up[1:])
            end = legs[-1].end
        off = call.withdraw(end)
        legs.append(Leg(True, off, straight=True))
        if cut.from_outside:
            legs.append(Leg(True, call.at(off[axis], moved[run])))
        outside = cut.from_outside
    legs.append(Leg(True, call.at(over, legs[-1].end[run])))
    legs.append(Leg(True, moved))
    return legs + call.last_pass()


def _by_pocket(cuts: list[_Cut], along: float) -> list[_Cut]:
    """The same cuts, each pocket down to its bottom before the next one."""
    pockets: list[list[_Cut]] = []
    for cut in cuts:
        for pocket in pockets:
            last = pocket[-1]
            begins = (cut.span[0] - last.span[0]) * along >= -TINY
            ends = (last.span[1] - cut.span[1]) * along >= -TINY
            if begins and ends and cut.level != last.level:
                pocket.append(cut)
                break
        else:
            pockets.append([cut])
    return [cut for pocket in pockets for cut in pocket]
