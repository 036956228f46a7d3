"""Two runs of a program side by side: their feeds and their cycle calls, one for one."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from standclear.motions.table import Call, Kind, Motions, Trace
from standclear.plan.amend.codes import NOT_FOLLOWED
from standclear.plan.amend.words import SAME_MM

Rows = NDArray[np.int64]


def pairs(old: Trace, new: Trace) -> list[tuple[Call, Call]] | None:
    """The calls of both, one for one; None where there are more or fewer. Calls that `old` could
    not follow have no counterpart there."""
    blocks = not_followed(old)
    known = [call for call in new.calls if call.block not in blocks]
    return list(zip(old.calls, known, strict=True)) if len(old.calls) == len(known) else None


def not_followed(trace: Trace) -> set[int]:
    """Blocks at which the trace could not follow a call."""
    return {f.place.block for f in trace.findings if f.code == NOT_FOLLOWED and f.place is not None}


def plain_feeds(motions: Motions) -> Rows:
    """Rows of the feeds that no cycle makes."""
    return np.flatnonzero((motions.kind == Kind.FEED) & (motions.call < 0))


def of_same_blocks(one: Motions, rows: Rows, other: Motions, others: Rows) -> bool:
    """As many, one for one of the same blocks."""
    return len(rows) == len(others) and bool((one.block[rows] == other.block[others]).all())


def rows_of(motions: Motions, call: Call, variant: int) -> Rows:
    """Rows that a call makes in one of its readings."""
    return np.flatnonzero((motions.call == call.number) & (motions.variant == variant))


def near(a: NDArray[np.float64], b: NDArray[np.float64]) -> NDArray[np.bool_]:
    """Which coordinates are the same but for what words are rounded by."""
    same: NDArray[np.bool_] = np.abs(a - b) <= SAME_MM
    return same
