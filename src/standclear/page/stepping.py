"""Which motion comes next when somebody steps: of every call one of its readings."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from standclear.drawing.section.readings import in_next_reading, one_reading
from standclear.motions.table import Motions

STEPS = ("on", "back", "block-on", "block-back", "reading")


def shown_rows(motions: Motions, motion: int, struck: Sequence[int] = ()) -> NDArray[np.int64]:
    """Numbers of the motions that are stepped through from `motion`, in order: of a call with
    several readings the one that `motion` belongs to, else that which strikes, `struck` being the
    motions that do, else the first."""
    return np.flatnonzero(one_reading(motions, [motion, *struck]))


def stepped(motions: Motions, motion: int, steps: Sequence[str], struck: Sequence[int] = ()) -> int:
    """Number of the motion that `steps` of STEPS, one after another, lead to from `motion`, -1
    being the whole run. Stays at either end; -1 where there are no motions."""
    if not len(motions):
        return -1
    for step in steps:
        rows = shown_rows(motions, motion, struck)
        if step == "reading":
            motion = in_next_reading(motions, motion) if 0 <= motion < len(motions) else motion
            continue
        if not 0 <= motion < len(motions):
            motion = int(rows[0 if step.endswith("on") else -1])
            continue
        at = int(np.searchsorted(rows, motion))
        if step == "on":
            motion = int(rows[min(at + 1, len(rows) - 1)])
        elif step == "back":
            motion = int(rows[max(at - 1, 0)])
        else:
            before, after = beside(motions, motion, struck)
            other = after if step == "block-on" else before
            motion = motion if other is None else other
    return motion


def beside(
    motions: Motions, motion: int, struck: Sequence[int] = ()
) -> tuple[int | None, int | None]:
    """The first motion of the block before that of `motion`, and of the one after it."""
    rows = shown_rows(motions, motion, struck)
    blocks = motions.block[rows]
    starts = np.flatnonzero(np.diff(blocks, prepend=blocks[0] - 1))
    own = int(np.searchsorted(starts, np.searchsorted(rows, motion), side="right")) - 1
    before = int(rows[starts[own - 1]]) if own > 0 else None
    after = int(rows[starts[own + 1]]) if own + 1 < len(starts) else None
    return before, after
