"""Whether a cycle called from another place still makes the same shape."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from standclear.motions.table import Call, Kind, Motions
from standclear.plan.amend.pairs import Rows, near, of_same_blocks, rows_of
from standclear.plan.amend.words import SAME_MM

ALONG_PROFILE = ("G70", "G71", "G72", "G73")
"""Cycles that run along a profile, the last time as it is finished."""
ACROSS_PECKS = {"G74": 1, "G75": 0}
"""For cycles that peck, the axis (0 along, 1 across) on which their holes or grooves lie where the
point of call does."""


def same_call(one: Motions, call: Call, other: Motions, again: Call) -> bool:
    """True where `again` of `other` makes the shape of `call` of `one`, from the same side."""
    if (call.cycle, call.block, call.readings) != (again.cycle, again.block, again.readings):
        return False
    point, now = np.array(call.point), np.array(again.point)
    moved = ~near(point, now)
    for variant in range(len(call.readings)):
        rows = rows_of(one, call, variant)
        others = rows_of(other, again, variant)
        if call.cycle in ALONG_PROFILE:
            # The profile as it is finished, or passed along last; the levels before it may move.
            rows, others = last_pass(one, rows), last_pass(other, others)
            if not same_feeds(one, rows, other, others):
                return False
            if len(rows) and not _same_side(one.end[rows[0]], point, now):
                return False
        elif not moved.any():
            continue
        elif call.cycle in ("G90", "G94"):
            if not _same_passes(one, rows, point, other, others, now):
                return False
        elif call.cycle in ACROSS_PECKS:
            if moved[ACROSS_PECKS[call.cycle]] or not _same_side(
                _deepest(one, rows, point), point, now
            ):
                return False
        elif call.cycle in ("G76", "G92"):
            feeds = rows[one.kind[rows] == Kind.FEED]
            if not same_feeds(one, feeds, other, others[other.kind[others] == Kind.FEED]):
                return False
            if not _same_side(one.end[feeds[-1]], point, now):
                return False
        else:
            return False
    return True


def same_feeds(one: Motions, rows: Rows, other: Motions, others: Rows) -> bool:
    """Same blocks and ends; starts the same, or further back on the line of a feed along one
    axis."""
    if not of_same_blocks(one, rows, other, others):
        return False
    end = one.end[rows]
    if not near(end, other.end[others]).all():
        return False
    way, way_now = end - one.start[rows], end - other.start[others]
    same = near(way, way_now)
    backward = (np.sign(way) == np.sign(way_now)) & (np.abs(way_now) > np.abs(way))
    crosswise = np.abs(way[:, ::-1]) <= SAME_MM
    return bool((same | (backward & crosswise)).all())


def last_pass(motions: Motions, rows: Rows) -> Rows:
    """The feeds along the profile after its first block, which starts at the clearance point."""
    profile = motions.profile[rows]
    followed = profile[profile >= 0]
    if len(followed) == 0:
        return rows[:0]
    entry = int(np.flatnonzero(profile == followed.min())[-1])
    after = rows[entry + 1 :]
    kept: Rows = after[(motions.kind[after] == Kind.FEED) & (motions.profile[after] >= 0)]
    return kept


def _same_passes(
    one: Motions,
    rows: Rows,
    point: NDArray[np.float64],
    other: Motions,
    others: Rows,
    now: NDArray[np.float64],
) -> bool:
    """Feeds of a single-pass cycle: each along one axis, its places the same or, both times, the
    clearance point's own coordinate."""
    rows = rows[one.kind[rows] == Kind.FEED]
    others = others[other.kind[others] == Kind.FEED]
    if len(rows) != len(others):
        return False
    along = near(one.start[rows], one.end[rows]).any(axis=1)
    for was, is_now in ((one.start[rows], other.start[others]), (one.end[rows], other.end[others])):
        of_point = near(was, point) & near(is_now, now)
        along &= (near(was, is_now) | of_point).all(axis=1)
    return bool(along.all()) and (len(rows) == 0 or _same_side(one.end[rows[0]], point, now))


def _deepest(motions: Motions, rows: Rows, point: NDArray[np.float64]) -> NDArray[np.float64]:
    ends = motions.end[rows[motions.kind[rows] == Kind.FEED]]
    if len(ends) == 0:
        return point
    deepest: NDArray[np.float64] = ends[np.argmax(np.abs(ends - point).max(axis=1))]
    return deepest


def _same_side(
    place: NDArray[np.float64], point: NDArray[np.float64], now: NDArray[np.float64]
) -> bool:
    """The cut still lies on the same side of the clearance point, on both axes."""
    was, is_now = place - point, place - now
    was = np.where(np.abs(was) <= SAME_MM, 0.0, was)
    is_now = np.where(np.abs(is_now) <= SAME_MM, 0.0, is_now)
    moved = ~near(point, now)
    return bool(((np.sign(was) == np.sign(is_now)) | ~moved).all())
