"""What each motion takes off the blank in hand, how deep it cuts, and whether anything comes loose.

A motion's share is the part of the metal that it is the first to cut.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from standclear.interval import Interval
from standclear.motions.table import Motions
from standclear.proof.first_touch import first_touch
from standclear.proof.section import rectangle
from standclear.sweeps.areas import NOISE_MM, Areas, commons, thickness, union, union_by
from standclear.sweeps.sweep import Sweeps

TOUCH_MM = 1e-5
"""How far apart two shares may lie and still hang together: far below any real gap, far above the
noise of the booleans."""
HANGS_BY_MM = 0.001
"""Metal hangs together only by a border at least this long; a shared corner holds nothing."""


BURR_MM = 0.1
"""Mean width below which metal that comes free is burr: foil left at a shoulder, a pip at the axis,
thinner than the chip it is cut with. Common practice, no source."""
LASTS_MM = 0.5
"""Way along which a depth of cut must last to count as one: longer than any allowance on a face,
shorter than any pass. Our choice, no source."""


@dataclass(frozen=True)
class Shares:
    """`area[k]` is what motion `motion[k]` takes off, in order of motion; empty ones left out."""

    area: Areas
    motion: NDArray[np.int64]


def shares_of(metal: BaseGeometry, sweeps: Sweeps) -> Shares:
    """What each motion is the first to cut of `metal`."""
    used, group = np.unique(sweeps.cut_motion, return_inverse=True)
    cuts = union_by(sweeps.cut, group, len(used))
    inside = commons(cuts, metal)
    keep = shapely.area(inside) > 0
    inside = inside[keep]
    own = first_touch(inside, inside)
    some = shapely.area(own) > 0
    return Shares(own[some], used[keep][some])


def depths(shares: Shares, motions: Motions) -> NDArray[np.float64]:
    """Depth of cut of each share in mm: its extent across the motion's travel.

    Only depth that lasts counts: the allowance on a shoulder, which a leaning edge meets high up
    and all at once, is no depth of cut. So what is thinner along the travel than `LASTS_MM`, or
    than half the motion, is left out; a share that is all so thin has depth 0.
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
    points, owner = shapely.get_coordinates(both, return_index=True)
    reading = np.einsum("ij,ij->i", points, across[owner])
    low = np.full(len(shares.area), np.inf)
    high = np.full(len(shares.area), -np.inf)
    np.minimum.at(low, owner, reading)
    np.maximum.at(high, owner, reading)
    extent: NDArray[np.float64] = np.maximum(high - low, 0.0)
    return extent


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

    The first answer is metal worth the name, the second only burr: foil and pips narrower than
    `BURR_MM`, which come away as swarf.

    Worked backwards: what is left in the end is put together, then the shares from the last to the
    first; a piece that is put down apart from the gripped end was loose until a later one joins it.
    """
    parts, times = _cells(left, shares)
    if len(parts) == 0:
        return None, None
    held = shapely.intersects(parts, rectangle(grip.lo, grip.hi, -1.0, 1e6))
    links = _links(parts)
    group = _Groups(len(parts), held)
    order = np.argsort(-times, kind="stable")
    place = np.empty(len(parts), dtype=np.int64)
    place[order] = np.arange(len(parts))
    by_later = _sorted_by_last(links, place)
    loose: Loosened | None = None
    burr: Loosened | None = None
    at = 0
    down = np.zeros(len(parts), dtype=bool)
    while at < len(order):
        time = times[order[at]]
        while at < len(order) and times[order[at]] == time:
            cell = order[at]
            down[cell] = True
            group.add(int(cell), [int(other) for other in by_later.get(int(cell), ())])
            at += 1
        # Everything down now is what stands after the cut before `time`.
        cut = _cut_before(shares.motion, time)
        if cut is None or cut < from_motion:
            continue
        if group.loose_groups:
            apart = [i for i in np.flatnonzero(down).tolist() if not group.is_held(i)]
            pieces = shapely.get_parts(union(parts[apart]))
            solid = thickness(pieces) > BURR_MM
            if solid.any():
                loose = Loosened(cut, union(pieces[solid]))
            if not solid.all():
                burr = Loosened(cut, union(pieces[~solid]))
    return loose, burr


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


def _links(parts: Areas) -> NDArray[np.int64]:
    """(k, 2) pairs of parts that share a border of some length."""
    tree = shapely.STRtree(parts)
    one, other = tree.query(parts, predicate="dwithin", distance=TOUCH_MM / 2)
    keep = one < other
    one, other = one[keep], other[keep]
    wide = shapely.buffer(parts, TOUCH_MM, join_style="mitre")
    border = shapely.area(shapely.intersection(wide[one], parts[other])) / TOUCH_MM
    real = border > HANGS_BY_MM
    return np.column_stack([one[real], other[real]])


def _sorted_by_last(links: NDArray[np.int64], place: NDArray[np.int64]) -> dict[int, list[int]]:
    """For each part the linked parts that are put down before it."""
    earlier: dict[int, list[int]] = {}
    for a, b in links.tolist():
        late, early = (a, b) if place[a] > place[b] else (b, a)
        earlier.setdefault(late, []).append(early)
    return earlier


class _Groups:
    """Parts put down so far, grouped by hanging together; counts groups that nothing holds."""

    def __init__(self, count: int, held: NDArray[np.bool_]) -> None:
        self._parent = list(range(count))
        self._held = held.tolist()
        self.loose_groups = 0

    def _root(self, part: int) -> int:
        while self._parent[part] != part:
            self._parent[part] = self._parent[self._parent[part]]
            part = self._parent[part]
        return part

    def is_held(self, part: int) -> bool:
        return bool(self._held[self._root(part)])

    def add(self, part: int, neighbours: list[int]) -> None:
        self.loose_groups += not self._held[part]
        for neighbour in neighbours:
            a, b = self._root(part), self._root(neighbour)
            if a == b:
                continue
            self.loose_groups -= (not self._held[a]) + (not self._held[b])
            self._parent[a] = b
            self._held[b] = self._held[a] or self._held[b]
            self.loose_groups += not self._held[b]
