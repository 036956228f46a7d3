"""What each motion takes off the blank in hand, how deep it cuts, and whether anything comes loose.

A motion's share is the part of the metal that it is the first to cut.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from standclear.interval import Interval
from standclear.motions.table import Motions
from standclear.proof.first_touch import first_cut
from standclear.proof.section import rectangle
from standclear.sweeps.areas import (
    EMPTY,
    NOISE_MM,
    Areas,
    commons,
    commons_with,
    thickness,
    union,
    union_by,
)
from standclear.sweeps.sweep import Sweeps

TOUCH_MM = 1e-5
"""How far apart two shares may lie and still hang together: far below any real gap, far above the
noise of the booleans."""
HANGS_BY_MM = 0.001
"""Metal hangs together only by a border at least this long; a shared corner holds nothing."""


BURR_MM = 0.1
"""Width that metal must have somewhere to be more than burr when it comes free: foil at a shoulder
and a pip at the axis are thinner than the chip they are cut with. Common practice, no source."""
LASTS_MM = 0.5
"""Way along which a depth of cut must last to count as one: longer than any allowance on a face,
shorter than any pass. Our choice, no source."""


@dataclass(frozen=True)
class Shares:
    """`area[k]` is what motion `motion[k]` takes off, in order of motion; empty ones left out."""

    area: Areas
    motion: NDArray[np.int64]

    def of(self, metal: BaseGeometry) -> Shares:
        """What of it each motion takes off `metal`."""
        own = commons_with(self.area, metal)
        some = thickness(own) > NOISE_MM
        return Shares(own[some], self.motion[some])


def first_cuts(sweeps: Sweeps) -> Shares:
    """What each motion is the first to cut, whatever the metal."""
    used, group = np.unique(sweeps.cut_motion, return_inverse=True)
    own = first_cut(union_by(sweeps.cut, group, len(used)))
    some = shapely.area(own) > 0
    return Shares(own[some], used[some])


def shares_of(metal: BaseGeometry, sweeps: Sweeps) -> Shares:
    """What each motion is the first to cut of `metal`, where no other metal is asked about."""
    used, group = np.unique(sweeps.cut_motion, return_inverse=True)
    inside = commons_with(union_by(sweeps.cut, group, len(used)), metal)
    keep = shapely.area(inside) > 0
    own = first_cut(inside[keep])
    some = shapely.area(own) > 0
    return Shares(own[some], used[keep][some])


def depths(shares: Shares, motions: Motions) -> NDArray[np.float64]:
    """Depth of cut of each share in mm: its lasting extent across the motion's travel; 0 where
    none lasts."""
    low, high = lasting_extent(shares, motions)
    depth: NDArray[np.float64] = np.maximum(high - low, 0.0)
    return depth


def lasting_extent(
    shares: Shares, motions: Motions
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """From where to where each share reaches across its motion's travel, counted to the left of
    it from the origin, mm; from infinity to minus infinity where nothing lasts.

    Only depth that lasts counts: the allowance on a shoulder, which a leaning edge meets high up
    and all at once, is no depth of cut. So what is thinner along the travel than `LASTS_MM`, or
    than half the motion, is left out.
    """
    travel = motions.end[shares.motion] - motions.start[shares.motion]
    length = np.hypot(travel[:, 0], travel[:, 1])
    across = (
        np.column_stack([-travel[:, 1], travel[:, 0]]) / np.where(length > 0, length, 1.0)[:, None]
    )
    lasting = (
        np.minimum(LASTS_MM, length / 2)[:, None]
        * travel
        / np.where(length > 0, length, 1.0)[:, None]
    )
    both = commons(shares.area, _moved(shares.area, lasting))
    return extent_along(both, across)


def extent_along(
    areas: Areas, way: NDArray[np.float64]
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """The least and the most of each area along its way, (n, 2) unit vectors; from infinity to
    minus infinity for an empty one."""
    points, owner = shapely.get_coordinates(areas, return_index=True)
    reading = np.einsum("ij,ij->i", points, way[owner])
    low = np.full(len(areas), np.inf)
    high = np.full(len(areas), -np.inf)
    np.minimum.at(low, owner, reading)
    np.maximum.at(high, owner, reading)
    return low, high


def _moved(areas: Areas, by: NDArray[np.float64]) -> Areas:
    points, owner = shapely.get_coordinates(areas, return_index=True)
    moved: Areas = shapely.set_coordinates(areas.copy(), points + by[owner])
    return moved


@dataclass(frozen=True)
class Loosened:
    """Metal that no longer hangs together with the gripped end after a motion."""

    motion: int
    area: BaseGeometry


def first_loosened(
    left: BaseGeometry, shares: Shares, grip: Interval, from_motion: int
) -> tuple[Loosened | None, Loosened | None]:
    """The first motion from `from_motion` on after which some metal hangs on nothing gripped.

    The first answer is metal worth the name, the second only burr: foil and pips nowhere as thick
    as `BURR_MM`, which come away as swarf.

    Worked backwards: what is left in the end is put together, then the shares from the last to the
    first; a piece that is put down apart from the gripped end was loose until a later one joins it.
    """
    parts, times = _cells(left, shares)
    if len(parts) == 0:
        return None, None
    order = np.argsort(-times, kind="stable")
    parts, times = parts[order], times[order]
    group = _Groups(parts, shapely.intersects(parts, rectangle(grip.lo, grip.hi, -1.0, 1e6)))
    loose: Loosened | None = None
    burr: Loosened | None = None
    ends = np.append(np.flatnonzero(times[1:] != times[:-1]) + 1, len(times))
    begin = 0
    known, solid, foil = 0, EMPTY, EMPTY
    for end in ends.tolist():
        for part in range(begin, end):
            group.add(part)
        # Everything down now is what stands after the cut before this time.
        cut = _cut_before(shares.motion, times[begin])
        begin = end
        if cut is None or cut < from_motion or not group.loose:
            continue
        if known != group.changes:
            known = group.changes
            solid, foil = _sorted_out([parts[members] for members in group.loose.values()])
        if not solid.is_empty:
            loose = Loosened(cut, solid)
        if not foil.is_empty:
            burr = Loosened(cut, foil)
    return loose, burr


def _sorted_out(groups: list[Areas]) -> tuple[BaseGeometry, BaseGeometry]:
    """Metal worth the name and burr, of what came free; each group hangs together in itself. What
    is smaller than the border that it would have to hang by is neither."""
    wholes = np.array([union(parts) for parts in groups], dtype=object)
    bounds = shapely.bounds(wholes)
    wholes = wholes[(bounds[:, 2:] - bounds[:, :2]).max(axis=1) > HANGS_BY_MM]
    thin = shapely.is_empty(shapely.buffer(wholes, -BURR_MM / 2))
    return union(wholes[~thin]), union(wholes[thin])


def _cut_before(motions: NDArray[np.int64], time: float) -> int | None:
    """The last motion with a share before `time`."""
    index = int(np.searchsorted(motions, time)) - 1
    return int(motions[index]) if index >= 0 else None


def _cells(left: BaseGeometry, shares: Shares) -> tuple[Areas, NDArray[np.float64]]:
    last, _ = shapely.get_parts([left], return_index=True)
    own, index = shapely.get_parts(shares.area, return_index=True)
    parts = np.concatenate([last, own])
    times = np.concatenate([np.full(len(last), np.inf), shares.motion[index].astype(float)])
    real = thickness(parts) > NOISE_MM
    return parts[real], times[real]


def _border(parts: Areas, others: Areas) -> NDArray[np.bool_]:
    """Whether each part shares a border of some length with its counterpart."""
    joined = _boxes_meet_by_enough(parts, others)
    wide = shapely.buffer(parts[joined], TOUCH_MM, join_style="mitre")
    length = shapely.area(commons(wide, others[joined])) / TOUCH_MM
    joined[joined] = length > HANGS_BY_MM
    return joined


def _boxes_meet_by_enough(parts: Areas, others: Areas) -> NDArray[np.bool_]:
    """Whether the boxes leave room for a border that holds: those of parts that touch at a corner
    do not."""
    a, b = shapely.bounds(parts), shapely.bounds(others)
    sides = np.minimum(a[:, 2:] + TOUCH_MM, b[:, 2:]) - np.maximum(a[:, :2] - TOUCH_MM, b[:, :2])
    enough: NDArray[np.bool_] = (sides > 0).all(axis=1) & (
        sides.prod(axis=1) / TOUCH_MM > HANGS_BY_MM
    )
    return enough


class _Groups:
    """Parts put down so far, grouped by hanging together.

    Whether two parts share a border is asked only where the answer tells: of two that hang together
    already, or are both held, it does not.
    """

    def __init__(self, parts: Areas, held: NDArray[np.bool_]) -> None:
        self._parts = parts
        self._parent = list(range(len(held)))
        self._held = held.tolist()
        self._follows = np.append([False], _border(parts[1:], parts[:-1])).tolist()
        self.loose: dict[int, list[int]] = {}
        """Groups that nothing holds: the parts of each."""
        self.changes = 0
        """Grows whenever `loose` changes."""

    def _root(self, part: int) -> int:
        while self._parent[part] != part:
            self._parent[part] = self._parent[self._parent[part]]
            part = self._parent[part]
        return part

    def add(self, part: int) -> None:
        """Puts a part down; all before it are down."""
        if not self._held[part]:
            self.loose[part] = [part]
        if self._follows[part]:
            self._join(part, part - 1)
        for other in self._touched_before(part) if self.loose else ():
            a, b = self._root(part), self._root(other)
            if a == b or (self._held[a] and self._held[b]):
                continue
            if _border(self._parts[part : part + 1], self._parts[other : other + 1])[0]:
                self._join(part, other)
        if self._root(part) in self.loose:
            self.changes += 1

    @cached_property
    def _tree(self) -> shapely.STRtree:
        return shapely.STRtree(self._parts)

    def _touched_before(self, part: int) -> list[int]:
        """Parts before this one that it touches, if only in a point; the last one first."""
        near = self._tree.query(self._parts[part], predicate="dwithin", distance=TOUCH_MM / 2)
        touched: list[int] = np.sort(near[near < part])[::-1].tolist()
        return touched

    def _join(self, part: int, other: int) -> None:
        a, b = self._root(part), self._root(other)
        if a == b:
            return
        free = self.loose.pop(b, []) + self.loose.pop(a, [])
        self._parent[a] = b
        self._held[b] = self._held[a] or self._held[b]
        if free and not self._held[b]:
            self.loose[b] = free
        elif free and free != [part]:
            self.changes += 1
