"""Whether two tables of motions cut the same shape, clearance points aside.

A change of clearance points may lengthen a feed along its own line, out of the metal, and move
the levels of roughing. It must not bend a cut, shift a groove or turn a cycle's direction round.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from standclear.motions.table import FAR, Call, Kind, Motions, Trace
from standclear.plan.amend.codes import NOT_FOLLOWED
from standclear.plan.amend.in_step import passes_kept, threads_in_step
from standclear.plan.amend.words import SAME_MM
from standclear.proof.held import HeldReading
from standclear.proof.section import rectangle
from standclear.sweeps.areas import common, less, union

SLIVER_MM = 0.05
"""Thinner differences of what two runs cut are cusps that their levels leave in other places."""
ALONG_PROFILE = ("G70", "G71", "G72", "G73")
"""Cycles that run along a profile, the last time as it is finished."""
ACROSS_PECKS = {"G74": 1, "G75": 0}
"""For cycles that peck, the axis (0 along, 1 across) on which their holes or grooves lie where the
point of call does."""
WIDE = 1e6
Rows = NDArray[np.int64]


def same_cuts(old: Trace, new: Trace) -> bool:
    """True where every feed of `new` runs on the line of the same feed of `old` and ends where it
    ends, every cycle call makes the same shape from its clearance point, on the same side, and
    the passes of a thread still fall into one groove."""
    one, other = old.motions, new.motions
    if not _same_feeds(one, _plain_feeds(one), other, _plain_feeds(other)):
        return False
    if not threads_in_step(one, other):
        return False
    pairs = _pairs(old, new)
    return pairs is not None and all(_same_call(one, call, other, again) for call, again in pairs)


def kept_in_place(old: Trace, new: Trace) -> bool:
    """True where every feed along an axis lies on its line, every groove and hole that a cycle
    pecks where it did, and so does every thread pass: such a cut is never moved aside to free a
    rapid."""
    pairs = _pairs(old, new)
    return (
        pairs is not None
        and _lines_kept(old.motions, new.motions)
        and all(_pecks_kept(*calls) for calls in pairs)
        and passes_kept(old.motions, new.motions)
    )


def _lines_kept(one: Motions, other: Motions) -> bool:
    """Plain feeds that run along an axis both times do so at the same place across it."""
    rows, others = _plain_feeds(one), _plain_feeds(other)
    if not _of_same_blocks(one, rows, other, others):
        return True  # a feed that went nowhere goes somewhere now, or the other way about
    along = _near(one.start[rows], one.end[rows]) & _near(other.start[others], other.end[others])
    return bool((_near(one.end[rows], other.end[others]) | ~along).all())


def _pecks_kept(call: Call, again: Call) -> bool:
    axis = ACROSS_PECKS.get(call.cycle)
    return call.cycle == again.cycle and (
        axis is None or abs(call.point[axis] - again.point[axis]) <= SAME_MM
    )


def only_calls_moved(old: Trace, new: Trace) -> bool:
    """True where nothing changes but where cycles are called that are told their shape in words of
    their own, from the same side across the axis: in front of the face, or behind it."""
    one, other = old.motions, new.motions
    if not _same_feeds(one, _plain_feeds(one), other, _plain_feeds(other)):
        return False
    pairs = _pairs(old, new)
    if pairs is None or not threads_in_step(one, other):
        return False
    if any(
        (call.cycle, call.block, call.readings) != (again.cycle, again.block, again.readings)
        for call, again in pairs
    ):
        return False
    moved: dict[tuple[object, ...], list[tuple[Call, Call]]] = {}
    for call, again in pairs:
        if not _near(np.array(call.point), np.array(again.point)).all():
            # Passes of a cycle told one after the other begin at one point, for one shape.
            moved.setdefault((call.cycle, call.point, call.tool), []).append((call, again))
    return all(
        all(_same_call(one, call, other, again) for call, again in passes)
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
            rows = _rows(other, again, variant)
            if call.cycle in ALONG_PROFILE:
                rows = _last_pass(other, rows)
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


def begun_elsewhere(old: Trace, new: Trace, blocks: Sequence[int]) -> tuple[Rows, Rows]:
    """Rows of the plain feeds of `blocks` in `old` and in `new` that run on one line along an axis
    to the same end; none where the feeds are others."""
    one, other = old.motions, new.motions
    rows, others = _plain_feeds(one), _plain_feeds(other)
    if not _of_same_blocks(one, rows, other, others):
        return rows[:0], others[:0]
    on_line = _near(one.end[rows], other.end[others]).all(axis=1)
    on_line &= (
        _near(one.start[rows], other.start[others])
        & _near(other.start[others], other.end[others])
        & _near(one.start[rows], one.end[rows])
    ).any(axis=1)
    mine = on_line & np.isin(one.block[rows], blocks)
    return rows[mine], others[mine]


def followed_only_now(old: Trace, new: Trace) -> Rows:
    """Rows of `new` of the calls that `old` could not follow: nothing tells what they were to cut
    but their own words."""
    blocks = _not_followed(old)
    numbers = [call.number for call in new.calls if call.block in blocks]
    return np.flatnonzero(np.isin(new.motions.call, numbers))


def _not_followed(trace: Trace) -> set[int]:
    """Blocks at which the trace could not follow a call."""
    return {f.place.block for f in trace.findings if f.code == NOT_FOLLOWED and f.place is not None}


def _pairs(old: Trace, new: Trace) -> list[tuple[Call, Call]] | None:
    """The calls of both, one for one; None where there are more or fewer. Calls that `old` could
    not follow have no counterpart there."""
    blocks = _not_followed(old)
    known = [call for call in new.calls if call.block not in blocks]
    return list(zip(old.calls, known, strict=True)) if len(old.calls) == len(known) else None


def cuts_outside_only(
    old: HeldReading, new: HeldReading, metal: BaseGeometry, aside: Rows | None = None
) -> bool:
    """True where all that a tool of `new` cuts of `metal` and `old` did not lies further out than
    that tool stands after any rapid of `old`: metal that its clearance points were sunk in, none of
    the part. What the rows `aside` of `new` cut is not looked at."""
    before, cut = union(old.keep.cut.cut), new.keep.cut
    by = new.trace.motions.tool[cut.cut_motion]
    if aside is not None:
        by = np.where(np.isin(cut.cut_motion, aside), -1, by)
    motions = old.trace.motions
    stops = (motions.kind == Kind.RAPID) & (np.abs(motions.end) < FAR / 2).all(axis=1)
    for tool in np.unique(by[by >= 0]).tolist():
        at = motions.end[stops & (motions.tool == tool)]
        if len(at) == 0:
            continue
        shape = old.tools[tool]
        reach = np.zeros(2) if shape is None else np.minimum(shape.shape.outer.min(axis=0), 0)
        z_max, r_max = (at + reach).max(axis=0).tolist()
        more = less(union(cut.cut[by == tool]), before)
        inner = common(common(more, metal), rectangle(-WIDE, z_max, 0.0, r_max))
        if not inner.buffer(-SLIVER_MM / 2).is_empty:
            return False
    return True


def _plain_feeds(motions: Motions) -> Rows:
    return np.flatnonzero((motions.kind == Kind.FEED) & (motions.call < 0))


def _of_same_blocks(one: Motions, rows: Rows, other: Motions, others: Rows) -> bool:
    """As many, one for one of the same blocks."""
    return len(rows) == len(others) and bool((one.block[rows] == other.block[others]).all())


def _same_feeds(one: Motions, rows: Rows, other: Motions, others: Rows) -> bool:
    """Same blocks and ends; starts the same, or further back on the line of a feed along one
    axis."""
    if not _of_same_blocks(one, rows, other, others):
        return False
    end = one.end[rows]
    if not _near(end, other.end[others]).all():
        return False
    way, way_now = end - one.start[rows], end - other.start[others]
    same = _near(way, way_now)
    backward = (np.sign(way) == np.sign(way_now)) & (np.abs(way_now) > np.abs(way))
    crosswise = np.abs(way[:, ::-1]) <= SAME_MM
    return bool((same | (backward & crosswise)).all())


def _same_call(one: Motions, call: Call, other: Motions, again: Call) -> bool:
    if (call.cycle, call.block, call.readings) != (again.cycle, again.block, again.readings):
        return False
    point, now = np.array(call.point), np.array(again.point)
    moved = ~_near(point, now)
    for variant in range(len(call.readings)):
        rows = _rows(one, call, variant)
        others = _rows(other, again, variant)
        if call.cycle in ALONG_PROFILE:
            # The profile as it is finished, or passed along last; the levels before it may move.
            rows, others = _last_pass(one, rows), _last_pass(other, others)
            if not _same_feeds(one, rows, other, others):
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
            if not _same_feeds(one, feeds, other, others[other.kind[others] == Kind.FEED]):
                return False
            if not _same_side(one.end[feeds[-1]], point, now):
                return False
        else:
            return False
    return True


def _rows(motions: Motions, call: Call, variant: int) -> Rows:
    return np.flatnonzero((motions.call == call.number) & (motions.variant == variant))


def _last_pass(motions: Motions, rows: Rows) -> Rows:
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
    along = _near(one.start[rows], one.end[rows]).any(axis=1)
    for was, is_now in ((one.start[rows], other.start[others]), (one.end[rows], other.end[others])):
        of_point = _near(was, point) & _near(is_now, now)
        along &= (_near(was, is_now) | of_point).all(axis=1)
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
    moved = ~_near(point, now)
    return bool(((np.sign(was) == np.sign(is_now)) | ~moved).all())


def _near(a: NDArray[np.float64], b: NDArray[np.float64]) -> NDArray[np.bool_]:
    near: NDArray[np.bool_] = np.abs(a - b) <= SAME_MM
    return near
