"""Whether the passes of threads stay where they are, and in one groove.

A thread pass waits for the spindle's mark and sets off: where it begins tells where round the part
its groove lies. One pass begun half a lead further back cuts a groove between the others.
"""

from __future__ import annotations

from math import remainder

import numpy as np
from numpy.typing import NDArray

from standclear.motions.table import Motions
from standclear.plan.amend.words import SAME_MM

IN_STEP_MM = 0.005
"""Passes of a thread may fall out of step by so much along the axis: a number rounded to the
program's decimals, far less than the flanks of any thread are let."""
Rows = NDArray[np.int64]


def passes_kept(one: Motions, other: Motions) -> bool:
    """True where every thread pass of `one` ends in `other` where it ended and does not run the
    other way, and all of them are in step. `other` may make more: a pass that went nowhere is none.
    """
    passes = _passes(one, other)
    if passes is None:
        return False
    known = passes[0] >= 0
    rows, others = passes[0][known], passes[1][known]
    end = one.end[rows]
    turned = (end - one.start[rows]) * (end - other.start[others]) < -SAME_MM
    same_end = np.abs(end - other.end[others]) <= SAME_MM
    return bool(same_end.all()) and not turned.any() and threads_in_step(one, other)


def threads_in_step(one: Motions, other: Motions) -> bool:
    """True where the passes of every thread still fall into one groove.

    The beginnings of all passes of a tool with the same lead have moved alike, but for whole leads;
    or those that have not moved all lie in one groove, and the others begin in it too. False where
    a pass of `one` is missing.
    """
    passes = _passes(one, other)
    if passes is None:
        return False
    rows, others = passes
    axis = np.abs(other.end[others] - other.start[others]).argmax(axis=1)
    now = other.start[others, axis]
    was = np.where(rows >= 0, one.start[rows, axis], np.nan)
    groups: dict[tuple[int, int, float], list[int]] = {}
    for k, row in enumerate(others.tolist()):
        key = int(other.tool[row]), int(axis[k]), float(other.feed[row])
        groups.setdefault(key, []).append(k)
    return all(
        _in_step((now - was)[of], lead) or _joined(was[of], now[of], lead)
        for (_, _, lead), of in groups.items()
    )


def _passes(one: Motions, other: Motions) -> tuple[Rows, Rows] | None:
    """For every thread pass of `other` its row and that of the same pass of `one`, -1 where `one`
    did not make it: (rows of `one`, rows of `other`). None where `other` lacks one."""
    rows, others = np.flatnonzero(one.crest > 0), np.flatnonzero(other.crest > 0)
    by_block: dict[int, list[int]] = {}
    for row in rows.tolist():
        by_block.setdefault(int(one.block[row]), []).append(row)
    found = np.full(len(others), -1, dtype=np.int64)
    for block in np.unique(other.block[others]).tolist():
        at = np.flatnonzero(other.block[others] == block)
        known = by_block.pop(block, [])
        if known and len(known) != len(at):
            return None
        if known:
            found[at] = known
    return None if by_block else (found, others)


def _in_step(places: NDArray[np.float64], lead: float) -> bool:
    """Whether places along the axis, or moves, differ by whole leads; not where one is unknown."""
    return all(abs(remainder(by - places[0], lead)) <= IN_STEP_MM for by in places.tolist())


def _joined(was: NDArray[np.float64], now: NDArray[np.float64], lead: float) -> bool:
    """Whether passes that have moved begin in the one groove of all those that have not."""
    stayed = np.abs(was - now) <= SAME_MM
    return bool(stayed.any()) and _in_step(was[stayed], lead) and _in_step(now, lead)
