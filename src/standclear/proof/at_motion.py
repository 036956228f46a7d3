"""The metal as it stands in the middle of a run."""

from __future__ import annotations

from collections.abc import Sequence

from shapely.geometry.base import BaseGeometry

from standclear.proof.clock import MetalClock
from standclear.proof.held import Held, HeldReading
from standclear.proof.result import SetupProof
from standclear.proof.strikes import cut_in_reading
from standclear.sweeps.areas import less


def reading_shown(held: Held, number: int, setup: SetupProof) -> HeldReading:
    """The reading of set-up `number` that its proof tells of."""
    readings = held.readings[number]
    return next((r for r in readings if r.trace is setup.trace), readings[0])


def metal_at(
    reading: HeldReading, setup: SetupProof, motions: Sequence[int]
) -> tuple[BaseGeometry, ...]:
    """The most metal there may be as each of `motions`, in ascending order, begins: inside a call
    with several readings that which the motion's own reading has left."""
    keep, table = reading.keep, reading.trace.motions
    clock = MetalClock(setup.metal_before, keep.cut)
    return tuple(
        less(clock.before(motion), cut_in_reading(keep.cut_most, table, motion))
        for motion in motions
    )
