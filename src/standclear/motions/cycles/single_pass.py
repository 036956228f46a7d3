"""Single-pass cycles: G90 along the axis, G94 across the face.

Common practice across makes of lathe. Four motions: infeed by rapid, cut by feed, feed back out to
the infeed axis' start, rapid to the point of call. No row of the control's behaviour acts in them;
`control` is taken so that every cycle is called alike.
"""

from __future__ import annotations

from standclear.job.models import Control
from standclear.motions.cycles.path import (
    Result,
    exchanged,
    exchanged_readings,
    only_moving,
    rapid,
)
from standclear.motions.step import Position, Reading, Step
from standclear.motions.table import Kind


def turn_pass(start: Position, z: float, r: float, taper: float, control: Control) -> Result:
    """G90: from `start` (z, r) a cut along Z to (`z`, `r`).

    `taper` is r_start - r_end of the cut, radial millimetres, signed.
    """
    return (_pass(start, (z, r), taper),), ()


def face_pass(start: Position, z: float, r: float, taper: float, control: Control) -> Result:
    """G94: from `start` (z, r) a cut across the face to (`z`, `r`).

    `taper` is z_start - z_end of the cut, millimetres, signed.
    """
    return exchanged_readings([_pass(exchanged(start), (r, z), taper)]), ()


def _pass(start: Position, end: Position, taper: float) -> Reading:
    """The pass in the (along, across) frame of `path`."""
    steps = [
        rapid((start[0], end[1] + taper)),
        Step(Kind.FEED, end),
        Step(Kind.FEED, (end[0], start[1])),
        rapid(start),
    ]
    return Reading((), only_moving(start, steps))
