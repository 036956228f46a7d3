"""The held job with work offsets and tools' offsets changed: its motions moved, swept again."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from standclear.job.models import Job
from standclear.plan.first_part.effects import Knob, knob_of_zero
from standclear.proof.held import Held, HeldReading, contact_limit
from standclear.proof.keep_out import keep_out


def with_offsets(held: Held, job: Job, keyed: Mapping[Knob, float]) -> Held:
    """`held` with every motion where it runs once `keyed` (mm, x on diameter) is keyed in.

    Frames stay: Z0 of each set-up is where part zero was before.
    """
    if not any(keyed.values()):
        return held
    readings = tuple(
        tuple(_moved(job, index, reading, keyed) for reading in each)
        for index, each in enumerate(held.readings)
    )
    return replace(held, readings=readings)


def _moved(job: Job, index: int, reading: HeldReading, keyed: Mapping[Knob, float]) -> HeldReading:
    zero = keyed.get(knob_of_zero(job, index), 0.0)
    by_tool = np.array(
        [
            (zero + keyed.get(Knob("z", u.offset), 0.0), keyed.get(Knob("x", u.offset), 0.0) / 2)
            for u in reading.trace.tools
        ]
    ).reshape(-1, 2)
    if not by_tool.any():
        return reading
    motions = reading.trace.motions
    by = by_tool[motions.tool]
    moved = replace(motions, start=motions.start + by, end=motions.end + by)
    keep = keep_out(
        moved, reading.tools, reading.wear, contact_limit(job), reading.keep.reach, reading.corner
    )
    return replace(reading, trace=replace(reading.trace, motions=moved), keep=keep)
