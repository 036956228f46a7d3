"""A set-up in the middle of its run: what is cut when a motion begins, and what it sweeps."""

from __future__ import annotations

import numpy as np

from standclear.page.picture import Moment
from standclear.proof.at_motion import metal_at, reading_shown
from standclear.proof.held import Held
from standclear.proof.result import SetupProof
from standclear.sweeps.areas import union


def moment_of(held: Held, setup: SetupProof, index: int, motion: int) -> Moment | None:
    """The set-up when `motion` begins; None where it has no such motion."""
    if not 0 <= motion < len(setup.trace.motions):
        return None
    reading = reading_shown(held, index, setup)
    (left,) = metal_at(reading, setup, [motion])
    # Of a call with several readings the motion's own sweep, not what all of them have in common.
    own = reading.keep.cut_most
    swept = np.concatenate(
        [own.cut[own.cut_motion == motion], own.strike[own.strike_motion == motion]]
    )
    return Moment(motion, left, union(swept))
