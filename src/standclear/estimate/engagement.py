"""What each cutting motion has in hand: depth, chip, removal rate, speed, from the metal itself.

Depth and chip come from what the motion takes off the blank in hand, not from the cycle's words: so
the first cut on a thicker bar or a sawn face shows as what it is.
"""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray

from standclear.estimate.chips import Engagements, Floats, joined
from standclear.estimate.feeding import feed_seconds, revolutions_per_minute
from standclear.estimate.solids import volumes
from standclear.estimate.taken import Taken
from standclear.estimate.thread_chips import chips_of_passes, chips_of_taps
from standclear.motions.table import FeedMode, Motions
from standclear.proof.shares import lasting_extent
from standclear.tools.shape import ToolShape

TURNING = ("turning", "boring", "grooving", "outline")
"""Kinds of tools that turn, with one edge."""
WITH_EDGE = frozenset({*TURNING, "drill"})
"""Kinds of tools whose chip comes from the edge at work."""
LIPS = 2
"""Of a drill: the half plane of the section shows one."""
NO_EDGE_MM = 1e-9


def engagements(taken: Taken) -> Engagements:
    """What each motion of one way through a program takes off."""
    return joined((_of_shares(taken), chips_of_passes(taken), chips_of_taps(taken)))


def _of_shares(taken: Taken) -> Engagements:
    motions, shares = taken.motions, taken.shares
    k = shares.motion
    solid = volumes(shares.area)
    rows = motions.take(k)
    in_metal = feed_seconds(rows) * taken.in_metal[k]
    with np.errstate(divide="ignore", invalid="ignore"):
        rate = solid / 1000.0 / (in_metal / 60.0)
    start, end = np.abs(rows.start[:, 1]), np.abs(rows.end[:, 1])
    innermost = np.where(rows.start[:, 1] * rows.end[:, 1] < 0, 0.0, np.minimum(start, end))
    bounds = shapely.bounds(shares.area) if len(k) else np.empty((0, 4))
    inner, outer = bounds[:, 1], bounds[:, 3]
    shapes = [None if t is None else t.shape for t in taken.reading.tools]
    drills = np.array([*(s is not None and s.kind == "drill" for s in shapes), False])[rows.tool]
    # The control goes by the controlled point, which lies at the bottom of the cut.
    at_rim = revolutions_per_minute(rows, np.minimum(outer, np.maximum(start, end)))
    feed = np.where(rows.feed_mode == FeedMode.PER_MIN, rows.feed / at_rim, rows.feed)
    extent = lasting_extent(shares, motions)
    depth = np.maximum(extent[1] - extent[0], 0.0)
    edge = _edges(k, extent, motions, shapes)
    return Engagements(
        k,
        solid,
        depth,
        depth * feed,
        edge,
        edge,
        feed,
        revolutions_per_minute(rows, innermost),
        at_rim,
        outer,
        np.where(drills, (inner + outer) / 2, outer),
        rate,
    )


def _edges(
    numbers: NDArray[np.int64],
    extent: tuple[Floats, Floats],
    motions: Motions,
    shapes: list[ToolShape | None],
) -> Floats:
    """Length of cutting edge that leads in each of the motions `numbers` within the depth it takes
    off, mm; `extent` reaches across the travel from the origin."""
    found = np.full(len(numbers), np.nan)
    travel = motions.end[numbers] - motions.start[numbers]
    length = np.hypot(travel[:, 0], travel[:, 1])
    unit = travel / np.where(length > 0, length, 1.0)[:, None]
    across = np.column_stack([-unit[:, 1], unit[:, 0]])
    low, high = extent
    at = np.einsum("ij,ij->i", motions.start[numbers], across)
    tool = motions.tool[numbers]
    for index, shape in enumerate(shapes):
        if shape is None or shape.kind not in WITH_EDGE:
            continue
        own = np.flatnonzero((tool == index) & (length > 0))
        lips = LIPS if shape.kind == "drill" else 1
        found[own] = lips * engaged_edge(
            shape, unit[own], across[own], low[own] - at[own], high[own] - at[own]
        )
    return np.where(found > NO_EDGE_MM, found, np.nan)


def engaged_edge(
    shape: ToolShape, travel: Floats, across: Floats, low: Floats, high: Floats
) -> Floats:
    """(n,) length in mm of the cutting edges of `shape` that face the way of travel and lie, across
    it, between `low` and `high` from the controlled point.

    travel, across: (n, 2) unit vectors (z, r). A slanting edge counts with its own length: for a
    straight edge at the entering angle k, depth / sin k (ISO 3002-1, from memory).
    """
    start = shape.inner
    end = np.roll(start, -1, axis=0)
    start, end = start[shape.inner_cuts], end[shape.inner_cuts]
    step = end - start
    outward = np.column_stack([step[:, 1], -step[:, 0]])
    leads = travel @ outward.T > NO_EDGE_MM
    one, other = across @ start.T, across @ end.T
    bottom, top = np.minimum(one, other), np.maximum(one, other)
    inside = np.minimum(top, high[:, None]) - np.maximum(bottom, low[:, None])
    share = np.clip(inside, 0.0, None) / np.where(top > bottom, top - bottom, np.inf)
    edge: Floats = np.sum(np.where(leads, share * np.hypot(step[:, 0], step[:, 1]), 0.0), axis=1)
    return edge
