"""What a part takes on another bar: a thicker one asks for more passes, a further start for more
air."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from standclear.estimate.job_time import job_time
from standclear.estimate.taken import all_taken
from standclear.interval import Interval
from standclear.job.models import Job, Shop
from standclear.plan.amend.amend import Amendment
from standclear.plan.amend.pieces import with_pieces
from standclear.proof.held import Held, hold
from standclear.proof.prove import judge
from standclear.proof.result import WordChange


@dataclass(frozen=True)
class BarTime:
    """Seconds of a part, and what they cost at the shop's rate."""

    seconds: Interval
    more: Interval
    """Than on the job's own blank; below 0 where it takes less."""
    cost: Interval | None
    """Of all of them, in the shop's money; None where it states no machine_rate."""


def own_time(held: Held, job: Job) -> Interval:
    """Seconds of a part of `job` on its own blank."""
    return job_time(job, all_taken(held, job, judge(held, job))).total


def bar_time(
    held: Held,
    job: Job,
    own: Interval,
    changes: Sequence[WordChange],
    amendment: Amendment | None,
) -> BarTime:
    """What a part takes with the blank of `job` on the bench and the changes of words, or the
    amendment, made; `own` is what it takes on the blank that the job states."""
    programs = dict(held.files.programs)
    if amendment is not None:
        programs |= amendment.programs
        job = job if amendment.offset is None else amendment.offset.job
    for name in dict.fromkeys(change.program for change in changes):
        programs[name] = with_pieces(
            held.files.programs[name], [c for c in changes if c.program == name]
        )
    now = hold(replace(held.files, job=job, programs=programs))
    seconds = job_time(job, all_taken(now, job, judge(now, job))).total
    assert isinstance(job.shop, Shop)
    rate = job.shop.machine_rate
    # What is uncertain of both, such as the run-up, is so in the same way.
    more = sorted((seconds.lo - own.lo, seconds.hi - own.hi))
    return BarTime(
        seconds,
        Interval(more[0], more[1]),
        None if rate is None else seconds * (rate / 3600.0),
    )
