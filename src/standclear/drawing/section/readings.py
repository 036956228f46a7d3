"""Which of the readings of a cycle is shown, where the control's behaviour leaves it several."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from standclear.motions.table import Motions


def one_reading(motions: Motions, wanted: Sequence[int] = ()) -> NDArray[np.bool_]:
    """(n,): the motions of one reading of every call, and all those outside calls.

    Of a call that holds a motion of `wanted` it is that motion's own reading, the first one named
    deciding; of any other call the first reading.
    """
    shown: NDArray[np.bool_] = motions.variant == 0
    settled: set[int] = set()
    for motion in wanted:
        if not 0 <= motion < len(motions) or int(motions.call[motion]) in {-1, *settled}:
            continue
        settled.add(int(motions.call[motion]))
        own = motions.call == motions.call[motion]
        shown = np.where(own, motions.variant == motions.variant[motion], shown)
    return shown


def readings_of(motions: Motions, motion: int) -> int:
    """How many readings the call of a motion has; 1 outside calls."""
    if motions.call[motion] < 0:
        return 1
    return int(motions.variant[motions.call == motions.call[motion]].max()) + 1


def in_next_reading(motions: Motions, motion: int) -> int:
    """The motion as far into the next reading of the same call, which may be shorter; after the
    last reading comes the first. `motion` itself where there is one reading."""
    count = readings_of(motions, motion)
    if count == 1:
        return motion
    own = motions.call == motions.call[motion]
    now = int(motions.variant[motion])
    here = np.flatnonzero(own & (motions.variant == now))
    there = np.flatnonzero(own & (motions.variant == (now + 1) % count))
    into = int(np.searchsorted(here, motion))
    return int(there[min(into, len(there) - 1)])
