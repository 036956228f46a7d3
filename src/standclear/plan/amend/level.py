"""What one edit does to the motions: nothing, something in clear air, or something to the cuts."""

from __future__ import annotations

from enum import StrEnum

import numpy as np
from shapely.geometry.base import BaseGeometry

from standclear.motions.table import Kind, Motions
from standclear.plan.amend.set_aside import SLIVER_MM
from standclear.proof.held import HeldReading
from standclear.proof.strikes import find_strikes
from standclear.sweeps.areas import common, less, union

SAME_MM = 1e-6


class Level(StrEnum):
    """What an edit does to the motions."""

    SAME = "same motion"
    AIR = "motion changes in clear air only"
    CUTS = "changes what is cut"


def level_between(old: HeldReading, new: HeldReading, metal: BaseGeometry) -> Level:
    """What the change from one reading of a set-up to the other is.

    In clear air only: each feed is the same or begins further back on its own line, through nothing
    that is metal then; both readings cut the same of `metal`, the most there may be at the start;
    and no motion that changed strikes it. A feed that begins further out in metal, which a rapid
    struck until now, is a cut that changes.
    """
    one, other = old.trace.motions, new.trace.motions
    if same_motions(one, other):
        return Level.SAME
    if not _feeds_on_their_lines(one, other) or not _cut_the_same(old, new, metal):
        return Level.CUTS
    if _begins_in_metal(old, new, metal):
        return Level.CUTS
    return Level.CUTS if _strikes_anew(old, new, metal) else Level.AIR


def same_motions(one: Motions, other: Motions) -> bool:
    """True where both tables move alike: the same kinds, places, tools, feeds and speeds, row by
    row; blocks may be numbered otherwise."""
    if len(one) != len(other):
        return False
    exact = ("kind", "path", "tool", "call", "variant", "credited", "compensated", "spindle",
             "feed_mode", "speed_mode", "coolant")  # fmt: skip
    near = ("start", "end", "sagitta", "crest", "feed", "speed", "clamp")
    return all(np.array_equal(getattr(one, n), getattr(other, n)) for n in exact) and all(
        np.allclose(getattr(one, n), getattr(other, n), atol=SAME_MM, rtol=0) for n in near
    )


def _feeds_on_their_lines(one: Motions, other: Motions) -> bool:
    """True where every feed ends where it ended and begins there, or further back on its line."""
    rows, others = (np.flatnonzero(m.kind == Kind.FEED) for m in (one, other))
    if len(rows) != len(others):
        return False
    start, end = one.start[rows], one.end[rows]
    now, end_now = other.start[others], other.end[others]
    if not np.allclose(end, end_now, atol=SAME_MM, rtol=0):
        return False
    way, way_now = end - start, end_now - now
    turned = way[:, 0] * way_now[:, 1] - way[:, 1] * way_now[:, 0]
    longer = (np.abs(way_now) >= np.abs(way) - SAME_MM).all(axis=1)
    along = (np.abs(turned) <= SAME_MM) & (np.sum(way * way_now, axis=1) >= -SAME_MM) & longer
    return bool(along.all())


def _cut_the_same(old: HeldReading, new: HeldReading, metal: BaseGeometry) -> bool:
    before, after = union(old.keep.cut.cut), union(new.keep.cut.cut)
    differs = union([less(before, after), less(after, before)])
    return bool(common(differs, metal).buffer(-SLIVER_MM / 2).is_empty)


def _begins_in_metal(old: HeldReading, new: HeldReading, metal: BaseGeometry) -> bool:
    """True where what a feed was lengthened by goes through metal that is left then."""
    one, other = old.trace.motions, new.trace.motions
    rows, others = (np.flatnonzero(m.kind == Kind.FEED) for m in (one, other))
    moved = (np.abs(one.start[rows] - other.start[others]) > SAME_MM).any(axis=1)
    for row, again in zip(rows[moved].tolist(), others[moved].tolist(), strict=True):
        was, now = (
            union(cut.cut[cut.cut_motion == k])
            for cut, k in ((old.keep.cut, row), (new.keep.cut, again))
        )
        left = less(metal, union(new.keep.cut.until(again).cut))
        if not common(less(now, was), left).buffer(-SLIVER_MM / 2).is_empty:
            return True
    return False


def _strikes_anew(old: HeldReading, new: HeldReading, metal: BaseGeometry) -> bool:
    """True where a motion that the old reading does not make strikes the metal."""
    known = {_move(old.trace.motions, row) for row in range(len(old.trace.motions))}
    return any(
        _move(new.trace.motions, strike.motion) not in known
        for strike in find_strikes(new.keep, metal, new.trace.motions, new.tools)
    )


def _move(motions: Motions, row: int) -> tuple[float, ...]:
    ends = (*motions.start[row].tolist(), *motions.end[row].tolist())
    return (float(motions.kind[row]), *(round(float(v), 6) + 0.0 for v in ends))
