"""Clearance points: where each cycle and each first feed after a rapid begins, and what it needs.

X is needed where a motion runs beside the metal at the point's own X, Z where one runs in front of
the face at the point's own Z; the motion that asks for most sets it. A point that stands clear both
ways owes nothing to either until such a motion comes. Frame: the section of one set-up,
millimetres; the metal is the most that may be left when the cycle or feed begins.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from shapely.affinity import translate
from shapely.geometry.base import BaseGeometry

from standclear.findings.finding import Place
from standclear.job.models import Job
from standclear.motions.table import FAR, Kind, Motions
from standclear.proof.approach import Air, clearance_starts, starts_owed_air
from standclear.proof.clock import MetalClock
from standclear.proof.facts import Scene
from standclear.proof.held import HeldReading
from standclear.proof.judge_setup import air_owed
from standclear.proof.result import SetupProof
from standclear.proof.section import rectangle
from standclear.sweeps.areas import common

SAME_MM = 1e-6
MOVED_MM = 5.0
"""How far beyond its own call a cycle may begin its levels: by its finish allowance. More than any
allowance; our choice, no source."""
WIDE = 1e6
Z, R = 0, 1


@dataclass(frozen=True)
class Needed:
    """What one axis of a clearance point must be."""

    at: float
    """The coordinate that leaves just the margin: z, or r (radial)."""
    where: Place | None
    """The block whose motion sets it."""
    feed: bool
    """That motion is a feed, not a rapid."""
    inside_cycle: bool


@dataclass(frozen=True)
class ClearancePoint:
    """Where a cycle is called, or the first feed after a rapid begins."""

    setup: str
    place: Place
    what: str
    """`G71`, ... or `feed`."""
    tool: str
    motion: int
    z: float
    r: float
    gap_x: float | None
    """Between tool and metal across the axis, over the largest radius that is left; negative under
    it. On diameter it is twice that. None for a tool that works from the axis outward."""
    gap_z: float
    """In front of the foremost metal that is left; negative behind it."""
    clear_r: float
    """r that leaves the margin over all metal."""
    clear_z: float
    """z that leaves the margin in front of all metal."""
    need_x: Needed | None
    """None where no motion asks for its X."""
    need_z: Needed | None
    keeps_margin: bool
    """One of both gaps is the margin or more, and each that is needed is."""

    @property
    def least(self) -> tuple[float, float]:
        """(z, r) of the point that wastes the least air: the margin in front of the metal and over
        it, no more. On an axis that nothing asks for too: the depth of the first pass counts from
        there. A place behind the face, or inside a bore, stays on that axis."""
        z = self.clear_z if self.need_z is None else self.need_z.at
        r = self.clear_r if self.need_x is None else self.need_x.at
        beside = self.gap_x is not None and self.gap_x >= 0 > self.gap_z
        return (self.z if beside else z, self.r if self.gap_x is None else r)


def clearance_points(
    job: Job, index: int, reading: HeldReading, setup: SetupProof
) -> tuple[ClearancePoint, ...]:
    """The clearance points of set-up number `index`, in order of motion: those outside the raw
    outline, which owe a margin, and those that stand in metal."""
    air = air_owed(job, job.setup[index])
    trace = reading.trace
    motions = trace.motions
    scene = Scene(setup.name, setup.program, trace, len(motions))
    clock = MetalClock(setup.metal_before, reading.keep.cut)
    cycles = {call.number: call.cycle for call in trace.calls}
    found = []
    owing = set(starts_owed_air(motions, setup.raw))
    for motion in clearance_starts(motions):
        outline = setup.tool_outlines[int(motions.tool[motion])]
        place = scene.place(int(motions.block[motion]))
        left = clock.before(motion)
        z, r = (float(v) for v in motions.start[motion])
        if outline.is_empty or place is None or left.is_empty or max(abs(z), abs(r)) >= FAR / 2:
            continue
        if motion not in owing and common(translate(outline, z, r), left).area <= 0:
            continue
        call = int(motions.call[motion])
        rows = _rows(motions, motion, call)
        near = _Near(outline.bounds, left, air, (z, r))
        gap_x, gap_z = near.gaps()
        need = {
            axis: _most((near.needed(motions, row, axis), row) for row in rows)
            if near.asked(axis)
            else None
            for axis in (Z, R)
        }
        short = [
            axis
            for axis, at in ((Z, z), (R, r))
            if (wanted := need[axis]) is not None and at < wanted[0] - SAME_MM
        ]
        over = gap_x if near.outward else None
        either = gap_z >= air.along - SAME_MM
        either = either or (over is not None and over >= air.across - SAME_MM)
        found.append(
            ClearancePoint(
                setup.name,
                place,
                cycles.get(call, "feed"),
                reading.names[int(motions.tool[motion])],
                motion,
                z,
                r,
                over,
                gap_z,
                r + air.across - gap_x,
                z + air.along - gap_z,
                _needed(scene, motions, need[R]),
                _needed(scene, motions, need[Z]),
                either and not short,
            )
        )
    return tuple(found)


def _rows(motions: Motions, motion: int, call: int) -> list[int]:
    """The rapids of a cycle call; of a plain feed the feed itself and the rapid that led there."""
    if call >= 0:
        own = np.flatnonzero((motions.call == call) & (motions.kind == Kind.RAPID))
        return [int(row) for row in own]
    rows = [motion]
    while rows[0] > 0 and motions.kind[rows[0] - 1] == Kind.RAPID and motions.call[rows[0] - 1] < 0:
        if motions.block[rows[0] - 1] != motions.block[motion - 1]:
            break
        rows.insert(0, rows[0] - 1)
    return rows


@dataclass(frozen=True)
class _Near:
    """A point with the tool there, against the metal."""

    tool: tuple[float, float, float, float]
    metal: BaseGeometry
    air: Air
    point: tuple[float, float]

    @property
    def outward(self) -> bool:
        """The tool's body lies outward of its point: it works from outside. A drill or a boring
        bar does not, and stands clear in Z alone."""
        return self.tool[3] > -self.tool[1] + SAME_MM

    def asked(self, axis: int) -> bool:
        """Whether the point's coordinate on `axis` is for anything to ask: X of a tool that works
        from outside; Z unless it stands beside the bar."""
        across, along = self.gaps()
        return self.outward if axis == R else along >= 0 or across < 0

    def gaps(self) -> tuple[float, float]:
        """(across, along) to the outermost and the foremost of the metal."""
        _, _, face, radius = self.metal.bounds
        return (
            self.point[R] + self.tool[1] - radius,
            self.point[Z] + self.tool[0] - face,
        )

    def needed(self, motions: Motions, row: int, axis: int) -> float | None:
        """The coordinate of the point at which motion `row`, which keeps it, stands the margin off
        what it passes; None where it passes nothing, or does not keep it."""
        start, end = motions.start[row], motions.end[row]
        kept = start[axis] - self.point[axis]
        moved = MOVED_MM if motions.call[row] >= 0 else 0.0
        if abs(start[axis] - end[axis]) > SAME_MM or not -SAME_MM <= kept <= moved + SAME_MM:
            return None
        other = 1 - axis
        low = min(start[other], end[other]) + self.tool[other]
        high = max(start[other], end[other]) + self.tool[2 + other]
        margin = self.air.across if axis == R else self.air.along
        beside = self.air.along if axis == R else self.air.across
        passed = common(self.metal, _band(low - beside + SAME_MM, high, other))
        if passed.is_empty:
            return None
        return float(passed.bounds[2 + axis]) + margin - self.tool[axis] - float(kept)


def _band(low: float, high: float, axis: int) -> BaseGeometry:
    if axis == Z:
        return rectangle(low, high, 0.0, WIDE)
    return rectangle(-WIDE, WIDE, low, high)


def _most(candidates: Iterator[tuple[float | None, int]]) -> tuple[float, int] | None:
    known = [(at, row) for at, row in candidates if at is not None]
    return max(known, key=lambda each: each[0], default=None)


def _needed(scene: Scene, motions: Motions, found: tuple[float, int] | None) -> Needed | None:
    if found is None:
        return None
    at, row = found
    return Needed(
        at,
        scene.place(int(motions.block[row])),
        bool(motions.kind[row] == Kind.FEED),
        bool(motions.call[row] >= 0),
    )
