"""Threading: the multi-pass cycle G76 and the single pass of G92.

Common practice across makes of lathe. Frame (z, r). With s = +1 where the tool comes from outside
and -1 where it comes from within, the crest of the thread lies at r_X + s k and the tip of pass n
at r_X + s (k - D_n), D_n = min(k - d, max(d1 sqrt n, D_(n-1) + dmin)): each pass takes the same
area of a sharp V. The finish passes at k follow.

A thread pass is a feed that cuts nothing: the metal between crest and root stays metal for every
other motion. The withdrawal straight out of the groove is an ordinary rapid: moving out, the insert
enters nothing that it did not already cover at the end of the pass or that lies above the crest.
The pull-out before the end of a pass is not relied on, and needs no rows of its own: infeed, pass
at full depth, withdrawal and return run round every place that the tool can take in between, and
what it covers there it covers on the way round.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt, tan

from standclear.job.models import Control
from standclear.motions.cycles.path import (
    MOST_STEPS,
    TOUCH,
    Result,
    only_moving,
    rapid,
    sign,
)
from standclear.motions.step import CycleFault, Position, Reading, Step
from standclear.motions.table import FeedMode, Kind


@dataclass(frozen=True, slots=True)
class ThreadCall:
    """The words of a threading cycle; lengths in mm, depths radial, `angle` in radians."""

    end: Position
    """(z, r) of the root at the end of the thread."""
    taper: float
    """r_start - r_end, signed."""
    depth: float
    """k, from crest to root."""
    first_depth: float
    """d1."""
    lead: float
    angle: float
    """a, between the flanks that the infeed goes by: 0 for an infeed straight in."""
    finish_passes: int = 1
    """m, all passes at full depth."""
    least_depth: float = 0.0
    """dmin."""
    finish_allowance: float = 0.0
    """d."""


def thread_pass(
    start: Position, z: float, r: float, taper: float, lead: float, control: Control
) -> Result:
    """G92: from `start` (z, r) one pass to (`z`, `r`), `taper` r_start - r_end, mm.

    The call does not say where the crest is. No thread form is deeper than its lead (the sharp V of
    ISO 68-1 is 0.866 of it), so metal further out than one lead is none of the thread's. No row of
    the control's behaviour acts here. Fault: `thread-lead-missing`, unproven.
    """
    if lead <= 0:
        return _refused(_lead_missing())
    steps = [
        rapid((start[0], r + taper)),
        _in_thread((z, r), lead, lead),
        rapid((z, start[1])),
        rapid(start),
    ]
    return (Reading((), only_moving(start, steps)),), ()


def thread_cycle(start: Position, call: ThreadCall, control: Control) -> Result:
    """G76: all passes of a thread from `start` S, (z, r).

    The flank infeed moves a pass along Z by up to k tan(a / 2), this way or that: every pass runs
    from behind the one end of that stretch to beyond the other. No row of the control's behaviour
    acts here.

    Faults, all unproven: `thread-lead-missing`; `cycle-depth-unknown` without a depth of the thread
    or of its first pass; `profile-stands-still` for an end level with S; `cannot-follow` where S
    does not lie outside the crest, for depths that cannot be, and for too many passes.
    """
    fault = _refusal(start, call)
    if fault is not None:
        return _refused(fault)
    depths = pass_depths(
        call.depth,
        call.first_depth,
        call.least_depth,
        call.finish_allowance,
        call.finish_passes,
    )
    if depths is None:
        return _refused(
            CycleFault(
                "cannot-follow",
                f"The threading call asks for more than {MOST_STEPS:,} passes.",
                "Check the depth of the first pass for a missing decimal point.",
                unproven=True,
            )
        )
    steps = [step for depth in depths for step in _pass(start, call, depth)]
    return (Reading((), only_moving(start, steps)),), ()


def pass_depths(
    depth: float, first: float, least: float, allowance: float, finish_passes: int
) -> tuple[float, ...] | None:
    """Depth of every pass below the crest, mm: `depth` k, `first` d1, `least` dmin, `allowance` d.

    Where nothing is left for the finish, the pass that reaches k is the first of the finish passes.
    None for more than `MOST_STEPS`.
    """
    rough: list[float] = []
    reached = 0.0
    while reached < depth - allowance - TOUCH:
        if len(rough) == MOST_STEPS:
            return None
        by_area = first * sqrt(len(rough) + 1)
        reached = min(depth - allowance, max(by_area, reached + least))
        rough.append(reached)
    if allowance <= TOUCH:
        rough.pop()
    return (*rough, *[depth] * max(finish_passes, 1))


def crest_slack(lead: float) -> float:
    """How far metal may stand over the crest and still be thread, mm radial.

    A crest is turned to a tolerance; the first pass is deeper by what is left on it. Half of what
    ISO 965-1 allows the major diameter in grade 6, 180 P^(2/3) - 3.15 / sqrt(P) micrometres.
    """
    tolerance: float = 180 * lead ** (2 / 3) - 3.15 / sqrt(lead)
    return tolerance / 2000


def _pass(start: Position, call: ThreadCall, depth: float) -> list[Step]:
    """One pass, its tip `depth` below the crest.

    The passes that flank infeeds may make lie side by side; the way below goes round all of them:
    in where the first may begin, along the deepest, out where the last may end.
    """
    side = sign(start[1] - call.end[1])
    shift = call.depth * tan(call.angle / 2) * sign(call.end[0] - start[0])
    end = call.end[1] + side * (call.depth - depth)
    begin = end + call.taper
    crest = depth + crest_slack(call.lead)
    # Of parallel ways the one that runs outwards later, or inwards earlier, is the deepest.
    deepest = -shift if side * call.taper > TOUCH else shift
    return [
        rapid((start[0] - deepest, start[1])),
        rapid((start[0] - deepest, begin)),
        rapid((start[0] + deepest, begin)),
        _in_thread((call.end[0] + deepest, end), call.lead, crest),
        _in_thread((call.end[0] + shift, end), call.lead, crest),
        rapid((call.end[0] + shift, start[1])),
        rapid(start),
    ]


def _in_thread(end: Position, lead: float, crest: float) -> Step:
    return Step(Kind.FEED, end, credited=False, crest=crest, feed=lead, feed_mode=FeedMode.PER_REV)


def _refused(fault: CycleFault) -> Result:
    return (Reading((), ()),), (fault,)


def _lead_missing() -> CycleFault:
    return CycleFault(
        "thread-lead-missing",
        "The thread has no lead: no F above zero is in force.",
        "Write F with the lead in the threading block.",
        unproven=True,
    )


def _refusal(start: Position, call: ThreadCall) -> CycleFault | None:
    """Why the call cannot be followed, None if it can."""
    if call.lead <= 0:
        return _lead_missing()
    for value, what in ((call.depth, "thread"), (call.first_depth, "first pass")):
        if value <= 0:
            return CycleFault(
                "cycle-depth-unknown",
                f"The threading call gives no depth of the {what} above zero.",
                "Write the depth of the thread and of its first pass in the call.",
                unproven=True,
            )
    if abs(call.end[0] - start[0]) <= TOUCH:
        return CycleFault(
            "profile-stands-still",
            "The thread ends level with the point it is called from.",
            "Check the end of the thread and the point that it is called from.",
            unproven=True,
        )
    if call.least_depth < 0 or not 0 <= call.finish_allowance < call.depth:
        return CycleFault(
            "cannot-follow",
            "The least depth of a pass or the finish allowance of this thread is below zero, or "
            "the allowance is all of its depth.",
            "Check the first block of the threading cycle.",
            unproven=True,
        )
    side = sign(start[1] - call.end[1])
    room = min(side * (start[1] - call.end[1] - taper) for taper in (0.0, call.taper))
    if side == 0 or room - call.depth <= TOUCH:
        return CycleFault(
            "cannot-follow",
            "The threading cycle is called from a point that does not lie outside the crest of "
            "the thread, so which side it is cut from is not known.",
            "Stand clear of the crest in X before the call.",
            unproven=True,
        )
    return None
