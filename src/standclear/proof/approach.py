"""Air in front of the metal: clearance points, approaches, and the places to watch.

The margin is owed by approaches, rapids with both ends outside the raw outline, and by clearance
points, where a cycle is called or the first feed after a rapid begins. Either distance suffices:
a tool stands clear if it is the X margin away across the axis or the Z margin along it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from standclear.motions.table import Kind, Motions, Trace
from standclear.proof.clock import MetalClock
from standclear.proof.keep_out import Reach
from standclear.proof.section import boxes_apart, extent_between, grow
from standclear.sweeps.areas import common, union_by
from standclear.sweeps.sweep import Sweeps, Tooling, sweep

WIDE = 1e6
EVERYWHERE: Reach = (-WIDE, 0.0, WIDE, WIDE)
MARGIN_NOISE = 1e-6
"""Share of a margin within which a boolean decides whether it is kept."""


@dataclass(frozen=True)
class Air:
    """Margins owed, mm: `across` between tool and metal (half the X margin), `along` in Z."""

    across: float
    along: float


@dataclass(frozen=True)
class Gap:
    """Clear distances between tool and metal, mm; None where they do not face each other so."""

    nearest: float
    across: float | None
    along: float | None
    corner: tuple[float, float] | None = None
    """Across and along from corner to corner, where they pass each other and face in neither."""


@dataclass(frozen=True)
class Station:
    """A place or way that is owed air."""

    motion: int
    call: int
    """Number of the cycle call that starts here, -1 where a plain feed or nothing does."""
    starts: bool
    """True for a clearance point, False for the way of an approach."""
    gap: Gap
    inside: bool
    """The tool overlaps metal here."""
    too_near: bool
    metal: BaseGeometry
    """The metal it was measured against."""


def stations(
    trace: Trace,
    places: Places,
    cut: Sweeps,
    metal: BaseGeometry,
    raw: BaseGeometry,
    air: Air,
    contact_limit: float,
) -> tuple[Station, ...]:
    """Every clearance point and approach that comes near `metal`, measured against what is left
    of it then; in order of motion. Those further off than the margin in every way are measured
    too while they are the first of their tool or among the nearest few.

    A clearance point inside the raw outline owes no margin; it must only stand free.
    """
    motions = trace.motions
    owes_air = _outside(raw, motions.start)
    clock = MetalClock(metal, cut)
    calls = _call_of(trace)
    order = in_order(motions, raw)
    placed = places.near(order)
    near = np.flatnonzero(worth_measuring(placed, metal, motions, order, air)).tolist()
    # Of the tool within reach a part further off may be the nearest: the distance is the whole's.
    whole = places.whole([order[k] for k in near])
    found = []
    for k, all_of_it in zip(near, whole, strict=True):
        motion, is_start = order[k]
        left = clock.before(motion)
        if all_of_it.is_empty or left.is_empty:
            continue
        gap = measure(all_of_it, left)
        owed = owes_air[motion] or not is_start
        overlap = gap.nearest == 0.0 and _inside(placed[k], left, contact_limit)
        wanted = owed and too_near(placed[k], left, air)
        call = calls.get(motion, -1) if is_start else -1
        found.append(Station(motion, call, is_start, gap, overlap, wanted, left))
    return tuple(found)


def _inside(tool: BaseGeometry, metal: BaseGeometry, contact_limit: float) -> bool:
    drawn_in = tool.buffer(-contact_limit, join_style="mitre")
    return bool(common(drawn_in, metal).area > 0)


def too_near(tool: BaseGeometry, metal: BaseGeometry, air: Air) -> bool:
    """Whether some of `metal` lies within both margins of the tool, or in a hole of its way."""
    if tool.is_empty or boxes_apart(tool, metal, air.along, air.across):
        return False
    holes = shapely.get_num_interior_rings(shapely.get_parts(tool)).any()
    if min(air.along, air.across) > 0 and not holes:
        # Counted in margins, the greater of the two distances is no more than the nearest one and
        # no less than that over the root of 2.
        margins = (air.along, air.across)
        nearest = shapely.distance(*shapely.transform([tool, metal], lambda zr: zr / margins))
        if nearest < 1 - MARGIN_NOISE or nearest > np.sqrt(2) + MARGIN_NOISE:
            return bool(nearest < 1)
    return bool(common(grow(tool, air.along, air.across), metal).area > 0)


def starts_owed_air(motions: Motions, raw: BaseGeometry) -> list[int]:
    """Numbers of the motions that begin at a clearance point outside the raw outline: those inside
    owe no margin."""
    owes_air = _outside(raw, motions.start)
    return [motion for motion in clearance_starts(motions) if owes_air[motion]]


def placed_stations(
    trace: Trace,
    tools: Sequence[Tooling | None],
    raw: BaseGeometry,
    reach: Reach,
) -> tuple[tuple[int, BaseGeometry], ...]:
    """Every place and way that is owed air, in order of motion, with the tool there (on a way: all
    that it sweeps), within `reach`."""
    motions = trace.motions
    order = in_order(motions, raw)
    owes_air = _outside(raw, motions.start)
    placed = tools_there(motions, tools, order, reach)
    return tuple(
        (motion, tool)
        for (motion, is_start), tool in zip(order, placed, strict=True)
        if owes_air[motion] or not is_start
    )


def swept_ways(
    motions: Motions,
    tools: Sequence[Tooling | None],
    rows: Sequence[int],
    reach: Reach,
) -> tuple[BaseGeometry, ...]:
    """All that the tool sweeps on the way of each of `rows`, within `reach`."""
    return tuple(tools_there(motions, tools, [(row, False) for row in rows], reach))


def measure(tool: BaseGeometry, metal: BaseGeometry) -> Gap:
    """Distances between two areas that do not overlap; 0 where they do."""
    if tool.is_empty or metal.is_empty:
        return Gap(float("inf"), None, None)
    across, along = _facing(tool, metal, axis=1), _facing(tool, metal, axis=0)
    corner = None
    if across is None and along is None:
        past = tuple(
            max(tool.bounds[i] - metal.bounds[2 + i], metal.bounds[i] - tool.bounds[2 + i])
            for i in (1, 0)
        )
        corner = (float(past[0]), float(past[1])) if min(past) >= 0 else None
    return Gap(float(tool.distance(metal)), across, along, corner)


def _facing(tool: BaseGeometry, metal: BaseGeometry, axis: int) -> float | None:
    """Distance along `axis` (0 z, 1 r) over the stretch where both stand beside each other."""
    beside = extent_between(metal, tool.bounds[1 - axis], tool.bounds[3 - axis], 1 - axis)
    if beside is None:
        return None
    part = extent_between(tool, beside[1 - axis], beside[3 - axis], 1 - axis)
    if part is None:
        return None
    return max(part[axis] - beside[2 + axis], beside[axis] - part[2 + axis], 0.0)


def _outside(raw: BaseGeometry, points: NDArray[np.float64]) -> NDArray[np.bool_]:
    z_min, _, z_max, r_max = raw.bounds
    beyond: NDArray[np.bool_] = (
        (points[:, 0] >= z_max) | (points[:, 0] <= z_min) | (np.abs(points[:, 1]) >= r_max)
    )
    return beyond


def in_order(motions: Motions, raw: BaseGeometry) -> list[tuple[int, bool]]:
    """Motions with whether they begin at a clearance point, or are the way of an approach."""
    starts = [(m, True) for m in clearance_starts(motions)]
    return sorted(starts + [(m, False) for m in approaches(motions, raw)])


def clearance_starts(motions: Motions) -> list[int]:
    """Numbers of the motions that begin at a clearance point."""
    kind, call = motions.kind, motions.call
    before = np.roll(kind, 1)
    before[:1] = Kind.APPEAR
    plain = (kind == Kind.FEED) & (before != Kind.FEED) & (call < 0)
    first_of_call = (call >= 0) & (call != np.concatenate([[-1], call[:-1]]))
    return np.flatnonzero(plain | first_of_call).tolist()


def approaches(motions: Motions, raw: BaseGeometry) -> list[int]:
    """Numbers of the rapids with both ends outside the raw outline. Inside a cycle only those that
    lead up to a feed: a cycle returns close above what it has just cut, and that is right."""
    both = _outside(raw, motions.start) & _outside(raw, motions.end)
    after = np.concatenate([motions.kind[1:], [Kind.APPEAR]])
    leads_up = (motions.call < 0) | (after == Kind.FEED)
    return np.flatnonzero((motions.kind == Kind.RAPID) & both & leads_up).tolist()


def _call_of(trace: Trace) -> dict[int, int]:
    """First motion of each call, with the call's number."""
    rows: dict[int, int] = {}
    for number in np.unique(trace.motions.call[trace.motions.call >= 0]).tolist():
        rows[int(np.flatnonzero(trace.motions.call == number)[0])] = number
    return rows


def tools_there(
    motions: Motions,
    tools: Sequence[Tooling | None],
    order: Sequence[tuple[int, bool]],
    reach: Reach,
) -> list[BaseGeometry]:
    """The tool at each start, the whole of its way on each approach."""
    rows = np.array([m for m, _ in order], dtype=np.int64)
    table = motions.take(rows)
    stands = np.array([s for _, s in order], dtype=bool)
    table.kind[stands] = Kind.APPEAR
    table.end[stands] = table.start[stands]
    swept = sweep(table, tools, 0.0, reach, true_outline=True)
    return list(union_by(swept.strike, swept.strike_motion, len(order)))


class Places:
    """The tools at places and on ways that are owed air. Each is swept once, however many blanks
    ask for it."""

    def __init__(self, motions: Motions, tools: Sequence[Tooling | None], reach: Reach) -> None:
        self._motions, self._tools, self._reach = motions, tools, reach
        self._near: dict[tuple[int, bool], BaseGeometry] = {}
        self._whole: dict[tuple[int, bool], BaseGeometry] = {}

    def near(self, order: Sequence[tuple[int, bool]]) -> list[BaseGeometry]:
        """The tool at each start, the whole of its way on each approach: what lies within reach."""
        return self._asked(self._near, order, self._reach)

    def whole(self, order: Sequence[tuple[int, bool]]) -> list[BaseGeometry]:
        """The same, all of it."""
        return self._asked(self._whole, order, EVERYWHERE)

    def _asked(
        self,
        known: dict[tuple[int, bool], BaseGeometry],
        order: Sequence[tuple[int, bool]],
        reach: Reach,
    ) -> list[BaseGeometry]:
        fresh = [place for place in order if place not in known]
        made = tools_there(self._motions, self._tools, fresh, reach) if fresh else []
        known.update(zip(fresh, made, strict=True))
        return [known[place] for place in order]


def worth_measuring(
    placed: Sequence[BaseGeometry],
    metal: BaseGeometry,
    motions: Motions,
    order: Sequence[tuple[int, bool]],
    air: Air,
) -> NDArray[np.bool_]:
    """(n,): which tools come within the margin, are among the nearest few, or stand there as the
    first place of their tool, however far off that is."""
    areas = np.array(placed, dtype=object)
    if len(areas) == 0:
        return np.zeros(0, dtype=bool)
    wanted = grow(metal, air.along, air.across)
    shapely.prepare(wanted)
    near: NDArray[np.bool_] = shapely.intersects(areas, wanted)
    distance = shapely.distance(areas, metal)
    reached = np.isfinite(distance)
    near[np.argsort(np.where(reached, distance, np.inf))[:5]] = True
    worth: NDArray[np.bool_] = near & reached
    seen: set[int] = set()
    for k, (motion, _) in enumerate(order):
        tool = int(motions.tool[motion])
        if tool not in seen:
            worth[k] = True
            seen.add(tool)
    return worth
