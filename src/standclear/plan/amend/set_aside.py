"""What of two runs is not compared cut by cut, and whether what more is cut lies off the part."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from shapely.geometry.base import BaseGeometry

from standclear.motions.table import FAR, Kind, Trace
from standclear.plan.amend.pairs import Rows, near, not_followed, of_same_blocks, plain_feeds
from standclear.proof.held import HeldReading
from standclear.proof.section import rectangle
from standclear.sweeps.areas import common, less, union

SLIVER_MM = 0.05
"""Thinner differences of what two runs cut are cusps that their levels leave in other places."""
WIDE = 1e6


def begun_elsewhere(old: Trace, new: Trace, blocks: Sequence[int]) -> tuple[Rows, Rows]:
    """Rows of the plain feeds of `blocks` in `old` and in `new` that run on one line along an axis
    to the same end; none where the feeds are others."""
    one, other = old.motions, new.motions
    rows, others = plain_feeds(one), plain_feeds(other)
    if not of_same_blocks(one, rows, other, others):
        return rows[:0], others[:0]
    on_line = near(one.end[rows], other.end[others]).all(axis=1)
    on_line &= (
        near(one.start[rows], other.start[others])
        & near(other.start[others], other.end[others])
        & near(one.start[rows], one.end[rows])
    ).any(axis=1)
    mine = on_line & np.isin(one.block[rows], blocks)
    return rows[mine], others[mine]


def followed_only_now(old: Trace, new: Trace) -> Rows:
    """Rows of `new` of the calls that `old` could not follow: nothing tells what they were to cut
    but their own words."""
    blocks = not_followed(old)
    numbers = [call.number for call in new.calls if call.block in blocks]
    return np.flatnonzero(np.isin(new.motions.call, numbers))


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
