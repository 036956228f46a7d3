"""What each motion takes off the metal in hand: found once, for time, load and cost alike."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from standclear.blocks.program import Program
from standclear.estimate.home import with_home
from standclear.job.models import Job, Machine
from standclear.motions.table import Kind, Motions
from standclear.proof.held import Held, HeldReading
from standclear.proof.result import JobProof, SetupProof
from standclear.proof.shares import Shares, extent_along, shares_of
from standclear.sweeps.sweep import Sweeps


@dataclass(frozen=True)
class Taken:
    """One way through one reading of a set-up's program."""

    reading: HeldReading
    motions: Motions
    """Those of the reading, with no clamp above what the spindle can do, and with home where the
    job states it."""
    way: NDArray[np.bool_]
    """Rows that count: where a call has several readings, those of one."""
    shares: Shares
    """What the rows that count take off."""
    in_metal: NDArray[np.float64]
    """For each row the part of its way over which it takes something off, from 0 to 1."""
    metal: BaseGeometry
    """The most there may be before the set-up."""
    left: BaseGeometry
    """The most that may be left after it, (z, r)."""
    lines: tuple[int, ...]
    """Of each block of the program, from 1."""


def all_taken(held: Held, job: Job, proof: JobProof) -> tuple[tuple[Taken, ...], ...]:
    """For each set-up of `job` every way through its program, on the most metal that there may be
    before it; `held` and `proof` are the job's own."""
    return tuple(
        tuple(
            taken
            for reading in readings
            for taken in _of_reading(reading, job, index, held.programs[setup.program], found)
        )
        for index, (setup, readings, found) in enumerate(
            zip(job.setup, held.readings, proof.setups, strict=True)
        )
    )


def _of_reading(
    reading: HeldReading, job: Job, index: int, program: Program, found: SetupProof
) -> Iterator[Taken]:
    assert isinstance(job.machine, Machine)
    limit = job.machine.spindle_limit if job.machine.spindle_limit is not None else np.inf
    lines = tuple(block.line for block in program.blocks)
    motions = with_home(reading.trace, job, job.setup[index], program)
    limited = replace(motions, clamp=np.minimum(motions.clamp, limit))
    for way in ways_through(motions):
        shares = shares_of(found.metal_before, _on_way(reading.keep.cut_most, way))
        in_metal = _in_metal(limited, shares, tapping_rows(reading, limited), found.metal_after)
        yield Taken(
            reading, limited, way, shares, in_metal, found.metal_before, found.metal_after, lines
        )


def _on_way(sweeps: Sweeps, way: NDArray[np.bool_]) -> Sweeps:
    own = way[sweeps.cut_motion]
    return replace(sweeps, cut=sweeps.cut[own], cut_motion=sweeps.cut_motion[own])


def ways_through(motions: Motions) -> Iterator[NDArray[np.bool_]]:
    """Rows of one reading of every call, as often as the call with most readings has some: the
    first of each, then the second where there is one, and so on. At least one way."""
    last: dict[int, int] = {}
    for call, variant in zip(motions.call.tolist(), motions.variant.tolist(), strict=True):
        if variant:
            last[call] = max(last.get(call, 0), variant)
    most = np.array([last.get(call, 0) for call in motions.call.tolist()], dtype=np.int64)
    for number in range(max(last.values(), default=0) + 1):
        yield motions.variant == np.minimum(number, most)


def tapping_rows(reading: HeldReading, motions: Motions) -> NDArray[np.int64]:
    """The feeds in which a tap goes in; out of the hole it cuts nothing."""
    taps = [t is not None and t.shape.kind == "tap" for t in reading.tools]
    own = np.array([*taps, False])[motions.tool] & (motions.kind == Kind.FEED)
    inwards = motions.end[:, 0] < motions.start[:, 0]
    return np.flatnonzero(own & inwards)


def _in_metal(
    motions: Motions, shares: Shares, tapping: NDArray[np.int64], left: BaseGeometry
) -> NDArray[np.float64]:
    """For each motion the part of its way over which it takes something off: the extent of what it
    takes along its travel over the length of the way, 1 at most."""
    part = np.zeros(len(motions))
    travel = motions.end[shares.motion] - motions.start[shares.motion]
    length = np.hypot(travel[:, 0], travel[:, 1])
    some = length > 0
    unit = travel / np.where(some, length, 1.0)[:, None]
    low, high = extent_along(shares.area, unit)
    part[shares.motion[some]] = np.minimum(1.0, (high - low)[some] / length[some])
    # Passes of threads and taps take metal that stays metal for every proof. A pass counts as in
    # metal throughout, a tap from the face on.
    part[motions.crest > 0] = 1.0
    if len(tapping) and not left.is_empty:
        above, below = motions.start[tapping, 0], motions.end[tapping, 0]
        face = np.minimum(above, left.bounds[2])
        part[tapping] = np.clip((face - below) / (above - below), 0.0, 1.0)
    return part
