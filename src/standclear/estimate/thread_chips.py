"""Chips of threading passes and taps: their metal stays in every proof, so the section shows none.

A pass goes down from depth D' to D below the surface that it finds. A sharp V of the flank angle a
with a flat w at its tip then takes, closed form,

    A = tan(a / 2) (D^2 - D'^2) + w (D - D')

by both flanks where the infeed is straight in, edge 2 D / cos(a / 2) + w, and by one where it goes
along the other, edge D / cos(a / 2) + w. A program does not say which: both count.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from standclear.estimate.chips import Engagements, Floats, joined
from standclear.estimate.feeding import revolutions_per_minute
from standclear.estimate.taken import Taken, tapping_rows
from standclear.motions.table import FeedMode, Motions
from standclear.tools.shape import ToolShape

TAP_CHIP_MM = (0.05, 0.1)
"""Thickness of a tap's chips, by the teeth of its lead; common practice, no source."""
NO_CHIP_MM2 = 1e-6
"""A pass that takes less goes over what is cut already."""
SAME_MM = 1e-6
SAME_THREAD = 2
"""Passes that end level with one another on one diameter, to so many decimals of a mm, belong to
one thread."""


def chips_of_passes(taken: Taken) -> Engagements:
    """The passes of threading tools; what goes over a depth that is cut already is left out."""
    motions = taken.motions
    along = np.abs(motions.end[:, 0] - motions.start[:, 0]) >= motions.feed
    rows = np.flatnonzero(taken.way & (motions.crest > 0) & along)
    nothing = _engagements(motions.take(rows[:0]), rows[:0], *[np.empty(0)] * 7)
    found = [
        _of_insert(taken, rows[motions.tool[rows] == index], _insert_of(tooling.shape))
        for index, tooling in enumerate(taken.reading.tools)
        if tooling is not None and tooling.shape.kind == "threading"
    ]
    return joined([nothing, *found])


def chips_of_taps(taken: Taken) -> Engagements:
    """Taps on their way in. With the lead P a tap's chip is P^2 / 4 over all its teeth and acts at
    its crests, so that its torque is kc P^2 D / 8 (form of tap makers' tables, from memory)."""
    motions = taken.motions
    rows = tapping_rows(taken.reading, motions)
    rows = rows[taken.way[rows] & (taken.in_metal[rows] > 0)]
    own = motions.take(rows)
    rpm = revolutions_per_minute(own, np.zeros(len(rows)))
    lead = np.where(own.feed_mode == FeedMode.PER_MIN, own.feed / rpm, own.feed)
    corners = [
        (0.0, 0.0) if t is None or t.shape.kind != "tap" else _tap_radii(t.shape)
        for t in taken.reading.tools
    ]
    crest, hole = np.array([*corners, (0.0, 0.0)])[own.tool].T
    chip = lead**2 / 4.0
    thin, thick = TAP_CHIP_MM
    return _engagements(own, rows, crest - hole, chip, chip / thick, chip / thin, lead, rpm, crest)


@dataclass(frozen=True)
class _Insert:
    """The point of a threading insert."""

    outside: bool
    half_angle: float
    """Of its flanks to the way of infeed."""
    flat: float


def _insert_of(shape: ToolShape) -> _Insert:
    """Read off its outline."""
    points = shape.inner
    outside = bool(points[:, 1].mean() > 0)
    edges = (np.roll(points, -1, axis=0) - points)[shape.inner_cuts]
    flank = edges[np.argmax(np.hypot(edges[:, 0], edges[:, 1]))]
    tip = points[:, 1].min() if outside else points[:, 1].max()
    at_tip = points[np.abs(points[:, 1] - tip) < SAME_MM, 0]
    return _Insert(outside, float(np.arctan2(abs(flank[0]), abs(flank[1]))), float(np.ptp(at_tip)))


def _of_insert(taken: Taken, rows: NDArray[np.int64], insert: _Insert) -> Engagements:
    own = taken.motions.take(rows)
    surface = _surface(taken, own, outside=insert.outside)
    tip = np.abs(own.start[:, 1] + own.end[:, 1]) / 2
    reached = np.maximum((surface - tip) * (1.0 if insert.outside else -1.0), 0.0)
    threads: Floats = np.column_stack([own.end[:, 0], surface]).round(SAME_THREAD)
    before = _deepest_before(threads, reached)
    depth = reached - before
    chip = np.tan(insert.half_angle) * (reached**2 - before**2) + insert.flat * depth
    some = np.flatnonzero(chip > NO_CHIP_MM2)
    own, flank = own.take(some), reached[some] / np.cos(insert.half_angle)
    rpm = revolutions_per_minute(own, tip[some])
    edge = flank + insert.flat, 2 * flank + insert.flat
    outer = surface if insert.outside else tip
    return _engagements(own, rows[some], depth[some], chip[some], *edge, own.feed, rpm, outer[some])


def _surface(taken: Taken, own: Motions, *, outside: bool) -> Floats:
    """Radius of the metal in the middle of each pass, where it runs over metal; nan where there is
    none."""
    if taken.left.is_empty:
        return np.full(len(own), np.nan)
    z_least, _, z_most, r_most = taken.left.bounds
    low = np.maximum(np.minimum(own.start[:, 0], own.end[:, 0]), z_least)
    high = np.minimum(np.maximum(own.start[:, 0], own.end[:, 0]), z_most)
    middle = np.where(high > low, (low + high) / 2, np.nan)
    there = np.isfinite(middle)
    at = np.where(there, middle, z_least - 1.0)
    foot = np.zeros(len(own))
    lines = shapely.linestrings(
        np.stack([np.column_stack([at, foot]), np.column_stack([at, foot + r_most + 1.0])], axis=1)
    )
    bounds = shapely.bounds(shapely.intersection(lines, taken.left))
    found: Floats = np.where(there, bounds[:, 3] if outside else bounds[:, 1], np.nan)
    return found


def _deepest_before(threads: Floats, depth: Floats) -> Floats:
    """The greatest depth that the passes before each one reached in the same thread, and no more
    than its own. A second start goes by the grooves of the first: its chips are theirs again."""
    before = np.zeros(len(depth))
    deepest: dict[tuple[float, ...], float] = {}
    for k, (place, reached) in enumerate(zip(threads.tolist(), depth.tolist(), strict=True)):
        known = deepest.get(tuple(place), 0.0)
        before[k] = min(known, reached)
        deepest[tuple(place)] = max(known, reached)
    return before


def _tap_radii(shape: ToolShape) -> tuple[float, float]:
    """Radius over the crests and of the hole."""
    radii = np.abs(shape.inner[:, 1])
    return float(radii.max()), float(radii.min())


def _engagements(
    own: Motions,
    rows: NDArray[np.int64],
    depth: Floats,
    chip: Floats,
    shortest: Floats,
    longest: Floats,
    lead: Floats,
    rpm: Floats,
    radius: Floats,
) -> Engagements:
    speed = 2.0 * np.pi * radius * rpm / 1000.0
    return Engagements(
        rows,
        np.zeros(len(own)),
        depth,
        chip,
        shortest,
        longest,
        lead,
        rpm,
        rpm,
        radius,
        radius,
        chip * speed,
    )
