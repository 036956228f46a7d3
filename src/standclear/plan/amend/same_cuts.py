"""Whether two tables of motions cut the same shape, clearance points aside.

A change of clearance points may lengthen a feed along its own line, out of the metal, and move
the levels of roughing. It must not bend a cut, shift a groove or turn a cycle's direction round.
"""

from __future__ import annotations

import numpy as np

from standclear.motions.table import Call, Kind, Motions, Trace
from standclear.plan.amend.in_step import passes_kept, threads_in_step
from standclear.plan.amend.pairs import near, of_same_blocks, pairs, plain_feeds, rows_of
from standclear.plan.amend.same_call import (
    ACROSS_PECKS,
    ALONG_PROFILE,
    last_pass,
    same_call,
    same_feeds,
)
from standclear.plan.amend.words import SAME_MM


def same_cuts(old: Trace, new: Trace) -> bool:
    """True where every feed of `new` runs on the line of the same feed of `old` and ends where it
    ends, every cycle call makes the same shape from its clearance point, on the same side, and
    the passes of a thread still fall into one groove."""
    one, other = old.motions, new.motions
    if not same_feeds(one, plain_feeds(one), other, plain_feeds(other)):
        return False
    if not threads_in_step(one, other):
        return False
    calls = pairs(old, new)
    return calls is not None and all(same_call(one, call, other, again) for call, again in calls)


def kept_in_place(old: Trace, new: Trace) -> bool:
    """True where every feed along an axis lies on its line, every groove and hole that a cycle
    pecks where it did, and so does every thread pass: such a cut is never moved aside to free a
    rapid."""
    calls = pairs(old, new)
    return (
        calls is not None
        and _lines_kept(old.motions, new.motions)
        and all(_pecks_kept(*each) for each in calls)
        and passes_kept(old.motions, new.motions)
    )


def _lines_kept(one: Motions, other: Motions) -> bool:
    """Plain feeds that run along an axis both times do so at the same place across it."""
    rows, others = plain_feeds(one), plain_feeds(other)
    if not of_same_blocks(one, rows, other, others):
        return True  # a feed that went nowhere goes somewhere now, or the other way about
    along = near(one.start[rows], one.end[rows]) & near(other.start[others], other.end[others])
    return bool((near(one.end[rows], other.end[others]) | ~along).all())


def _pecks_kept(call: Call, again: Call) -> bool:
    axis = ACROSS_PECKS.get(call.cycle)
    return call.cycle == again.cycle and (
        axis is None or abs(call.point[axis] - again.point[axis]) <= SAME_MM
    )


def only_calls_moved(old: Trace, new: Trace) -> bool:
    """True where nothing changes but where cycles are called that are told their shape in words of
    their own, from the same side across the axis: in front of the face, or behind it."""
    one, other = old.motions, new.motions
    if not same_feeds(one, plain_feeds(one), other, plain_feeds(other)):
        return False
    calls = pairs(old, new)
    if calls is None or not threads_in_step(one, other):
        return False
    if any(
        (call.cycle, call.block, call.readings) != (again.cycle, again.block, again.readings)
        for call, again in calls
    ):
        return False
    moved: dict[tuple[object, ...], list[tuple[Call, Call]]] = {}
    for call, again in calls:
        if not near(np.array(call.point), np.array(again.point)).all():
            # Passes of a cycle told one after the other begin at one point, for one shape.
            moved.setdefault((call.cycle, call.point, call.tool), []).append((call, again))
    return all(
        all(same_call(one, call, other, again) for call, again in passes)
        or _told_from_same_side(other, passes)
        for passes in moved.values()
    )


def _told_from_same_side(other: Motions, passes: list[tuple[Call, Call]]) -> bool:
    """Whether calls of one cycle from one point stand, where they are called now, on the side of
    what they cut that they stood on.

    As they stand they may lie a finish allowance inside the shape, or between two passes: where
    most of it lies tells the side they were meant for, and to that side a place may come over.
    """
    call, now_at = passes[0]
    if call.cycle not in (*ALONG_PROFILE, "G90", "G94"):
        return False
    found = []
    for _, again in passes:
        for variant in range(len(again.readings)):
            rows = rows_of(other, again, variant)
            if call.cycle in ALONG_PROFILE:
                rows = last_pass(other, rows)
            found.append(other.end[rows[other.kind[rows] == Kind.FEED], 1])
    places = np.concatenate(found)
    # Where a pass goes back to its point of call is no place of the shape.
    places = places[np.abs(places - now_at.point[1]) > SAME_MM]
    if len(places) == 0:
        return True
    was, now = places - call.point[1], places - now_at.point[1]
    mean = float(was.mean())
    comes_over = (was * now < 0) | (np.abs(was) <= SAME_MM)
    return abs(mean) > SAME_MM and not (comes_over & (now * mean < 0)).any()
