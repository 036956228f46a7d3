"""A set-up in the middle of its run: what is cut when a motion begins, and what it sweeps."""

from __future__ import annotations

import numpy as np

from standclear.page.picture import Moment
from standclear.proof.clock import MetalClock
from standclear.proof.held import Held, HeldReading
from standclear.proof.result import SetupProof
from standclear.sweeps.areas import union


def moment_of(held: Held, setup: SetupProof, index: int, motion: int) -> Moment | None:
    """The set-up when `motion` begins; None where it has no such motion."""
    if not 0 <= motion < len(setup.trace.motions):
        return None
    reading = reading_of(held, setup, index)
    cut = reading.keep.cut
    left = MetalClock(setup.metal_before, cut).before(motion)
    swept = np.concatenate(
        [cut.cut[cut.cut_motion == motion], cut.strike[cut.strike_motion == motion]]
    )
    return Moment(motion, left, union(swept))


def reading_of(held: Held, setup: SetupProof, index: int) -> HeldReading:
    """The reading that the proof of the set-up was taken from."""
    readings = held.readings[index]
    return next((each for each in readings if each.trace is setup.trace), readings[0])
