"""Clearance points: where each cycle and each first feed after a rapid begins, and what it needs.

X is needed where a rapid runs beside the metal at the point's own X, Z where one runs in front of
the face at the point's own Z; the one that asks for most sets it. A feed asks for nothing: it is
there to cut. A point that stands clear both ways owes nothing to either until such a rapid comes.
Frame: the section of one set-up, millimetres; the metal is the most that may be left when the cycle
or feed begins.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

import numpy as np
from shapely.affinity import translate

from standclear.findings.finding import Place
from standclear.job.models import Job, Machine
from standclear.motions.meaning.words import ASSUMED_FAMILY, COMMON, FAMILIES
from standclear.motions.table import FAR, Kind, Motions
from standclear.plan.setting.near_metal import SAME_MM, Near, R, Z
from standclear.proof.approach import clearance_starts, starts_owed_air
from standclear.proof.clock import MetalClock
from standclear.proof.facts import Scene
from standclear.proof.held import HeldReading
from standclear.proof.judge_setup import air_owed
from standclear.proof.result import SetupProof
from standclear.sweeps.areas import common

THREADS = ("G32", "G76", "G92")


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
    """`G71`, ... in the words of its program, or `feed`."""
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
    free: tuple[bool, bool]
    """Whether z, and r, may be another without cutting anything else: of a feed that which it runs
    along alone, of a cycle both, of a thread r alone, since its run-in counts from z."""

    @property
    def least(self) -> tuple[float, float]:
        """(z, r) of the point that wastes the least air: the margin in front of the metal and over
        it, no more. On an axis that nothing asks for too: the depth of the first pass counts from
        there. A place behind the face, inside a bore, or in front of the face and under the
        diameter stays on that axis."""
        z = self.clear_z if self.need_z is None else self.need_z.at
        r = self.clear_r if self.need_x is None else self.need_x.at
        beside = self.gap_x is not None and self.gap_x >= 0 > self.gap_z
        inward = self.gap_x is None or (
            self.gap_x < 0 <= self.gap_z and self.need_x is None and self.keeps_margin
        )
        return (
            self.z if beside or not self.free[0] else z,
            self.r if inward or not self.free[1] else r,
        )


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
        near = Near(outline, left, setup.raw.bounds, air, (z, r))
        gap_x, gap_z = near.gaps()
        need = {
            axis: _most((near.needed(motions, row, axis), row) for row in rows)
            if near.asked(axis)
            else None
            for axis in (Z, R)
        }
        if gap_x < 0 <= gap_z and (under := need[R]) is not None and under[0] <= r:
            # In front of the face and under the diameter: only its holder runs beside metal.
            need[R] = None
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
                own_word(cycles.get(call), job),
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
                _free(motions, motion, cycles.get(call)),
            )
        )
    return tuple(found)


def own_word(cycle: str | None, job: Job) -> str:
    """The word by which the job's control calls a cycle."""
    if cycle is None:
        return "feed"
    assert isinstance(job.machine, Machine)
    number = Decimal(cycle[1:])
    act = FAMILIES[ASSUMED_FAMILY].get(number) or COMMON.get(number)
    own = FAMILIES[job.machine.control.cycle_words or ASSUMED_FAMILY]
    return next((f"G{n:02}" for n, each in own.items() if each is act), cycle)


def _free(motions: Motions, motion: int, cycle: str | None) -> tuple[bool, bool]:
    if cycle is None:
        along, across = np.abs(motions.end[motion] - motions.start[motion])
        return bool(across <= SAME_MM), bool(along <= SAME_MM)
    return cycle not in THREADS, True


def _rows(motions: Motions, motion: int, call: int) -> list[int]:
    """The rapids of a cycle call; of a plain feed those of the block that led there."""
    if call >= 0:
        own = np.flatnonzero((motions.call == call) & (motions.kind == Kind.RAPID))
        return [int(row) for row in own]
    rows: list[int] = []
    row = motion - 1
    while row >= 0 and motions.kind[row] == Kind.RAPID and motions.call[row] < 0:
        if motions.block[row] != motions.block[motion - 1]:
            break
        rows.insert(0, row)
        row -= 1
    return rows


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
