"""Where home lies, as far as the job states it: rapids to and from there are timed by it alone.

The proof knows home only as beyond the work, and needs no more.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from standclear.blocks.program import Program
from standclear.job.models import Job, Setup, Shop
from standclear.motions.table import FAR, Kind, Motions, Trace

SECOND_HOME = 30
"""G30 goes to another reference place, of which the job says no more than that it lies beyond."""


def with_home(trace: Trace, job: Job, setup: Setup, program: Program) -> Motions:
    """The motions of `trace` with the rapids to and from home as long as the job lets them be.

    Where the job gives the work offset's Z and the tool's geometry offsets, home is their place in
    machine coordinates 0 (common practice, no source: place = machine place - work offset -
    geometry offset); elsewhere it is the shop's `home`. Lengths of `job` in mm.
    """
    motions = trace.motions
    if _goes_elsewhere(program):
        return motions
    places = [_home_of(use.tool, job, setup) for use in trace.tools]
    if all(place is None for place in places):
        return motions
    unknown = (FAR, FAR)
    homes = np.array([*(unknown if p is None else p for p in places), unknown])
    own = homes[motions.tool]
    rapid = (motions.kind == Kind.RAPID)[:, None]
    return replace(
        motions,
        start=np.where(rapid & (motions.start >= FAR), own, motions.start),
        end=np.where(rapid & (motions.end >= FAR), own, motions.end),
    )


def _home_of(tool: int, job: Job, setup: Setup) -> tuple[float, float] | None:
    """(z, r) of the tip at home, from part zero; None where nobody states it."""
    assert isinstance(job.tools, list)
    assert isinstance(job.shop, Shop)
    geometry = job.tools[tool].geometry if tool >= 0 else None
    if geometry is not None and setup.offset_z is not None:
        return -setup.offset_z - geometry.z, -geometry.x / 2
    home = job.shop.home
    return None if home is None else (home.z, home.x / 2)


def _goes_elsewhere(program: Program) -> bool:
    return any(
        word.letter == "G" and word.number == SECOND_HOME
        for block in program.blocks
        for word in block.words
    )
