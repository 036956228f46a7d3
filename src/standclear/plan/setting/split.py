"""How the spare length is split between both ends, and what either end needs to clean up.

    blank = front allowance + finished length + back allowance

An end needs what its tolerances may eat: how far below the allowance as stated the lowest point of
its raw face may lie; the skin; and something to cut. Frame and terms of
`standclear.job.placing`; millimetres.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import ceil, floor, inf

from standclear.job.models import Job, Machine
from standclear.job.placing import place_setups
from standclear.job.tolerances import one_by_one, without_tolerances
from standclear.plan.setting.changed import (
    exact_sum,
    first_turned,
    is_parted,
    rates,
)
from standclear.plan.setting.limits import (
    ANY_SPLIT,
    Limit,
    Range,
    length_range,
    length_range_at_best,
    shift_range,
)

LEAST_CUT = "a cut"
"""Name of what is to come off, among what eats an allowance."""
LEAST_CUT_MM = 0.05
LEAST_CUT_INCH_MM = 0.0508
"""What is to come off the lowest spot of a face, 0.05 mm or 0.002 in: a cut of nothing rubs, and
leaves skin. Our choice, no source."""


@dataclass(frozen=True)
class Eaten:
    """What one source may take of an allowance."""

    source: str
    mm: float


@dataclass(frozen=True)
class End:
    """One end of the blank, as the job states it."""

    setup: str
    allowance: float
    """How far the raw face stands out in front of part zero when every size is as stated."""
    eaten: tuple[Eaten, ...]
    by_length: float
    """By how much the allowance grows for each millimetre that the blank is longer: 1 at an end
    whose other face stands on a stop, 0 where this face is touched."""
    lowest: float
    """Z of the lowest point of the face that may be, skin and the least cut taken off: 0 or more
    cleans up."""

    @property
    def need(self) -> float:
        """Least allowance that cleans up."""
        return self.allowance - self.lowest


@dataclass(frozen=True)
class Split:
    """The split of the length. `back` is None where the part is not turned round, or parted off."""

    blank: float
    finished: float
    front: End
    back: End | None
    limits: tuple[Limit, ...]
    shift: Range
    """How far part zero of the first end may move towards the chuck, at this length."""
    length_as_set: Range
    """How much longer the blank may be with the zeros set as they are."""
    length_at_best: Range
    """How much longer it may be with the zero set anew."""
    proposed: float | None
    """Shift to make, by the control's increment; 0 to leave it; None where none leaves all."""
    even: float | None
    """Shift that leaves both ends the same beyond their need, within `shift`; None where none."""
    at_any: tuple[Limit, ...] = ()
    """Where a program stands too near the metal at any split, one for each set-up."""

    def front_at(self, length: float, shift: float) -> float:
        """Front allowance of a blank of `length` with part zero `shift` nearer the chuck."""
        return self.front.allowance + self.front.by_length * (length - self.blank) + shift

    @property
    def short(self) -> float:
        """By how much the bounds of the split disagree; 0 where they do not."""
        return max(0.0, -self.shift.width)


def split_of(job: Job, more: tuple[Limit, ...] = ()) -> Split:
    """The split of the blank of `job`, which has at least one set-up; `more` are the limits that
    its programs set.

    Raises ValueError for a job without set-ups.
    """
    if not job.setup:
        raise ValueError("a job without set-ups has no split")
    ends = list(_ends(job))
    back = ends[1] if len(ends) > 1 else None
    at_any = tuple(limit for limit in more if limit.kind == ANY_SPLIT)
    limits = (*cleanup_limits(job), *(limit for limit in more if limit.kind != ANY_SPLIT))
    allowed = shift_range(limits)
    step = increment_of(job)
    even = None
    if back is not None and allowed.width >= 0:
        middle = ((back.allowance - back.need) - (ends[0].allowance - ends[0].need)) / 2
        even = stepped_into(min(max(middle, allowed.lo), allowed.hi), allowed, step)
    proposed: float | None = 0.0
    if 0.0 not in allowed:
        proposed = even if back is not None else _nearest(allowed, step)
    return Split(
        job.blank.length,
        job.part.length,
        ends[0],
        back,
        limits,
        allowed,
        length_range(limits),
        length_range_at_best(limits),
        proposed,
        even,
        at_any,
    )


def cleanup_limits(job: Job) -> tuple[Limit, ...]:
    """Clean-up of the face of either end, at its first set-up."""
    moves, placings = rates(job), place_setups(job)
    return tuple(
        Limit(
            "clean-up",
            job.setup[k].name,
            placings[k].face_cleanup_z - least_cut(job),
            moves[k].face_by_length,
            moves[k].face_by_shift,
        )
        for k in _faced(job)
    )


def least_cut(job: Job) -> float:
    """What is to come off the lowest spot of a face, mm."""
    return LEAST_CUT_INCH_MM if job.units == "inch" else LEAST_CUT_MM


def increment_of(job: Job) -> float:
    """Least step of the control, mm."""
    assert isinstance(job.machine, Machine)
    return job.machine.increment


def _faced(job: Job) -> tuple[int, ...]:
    """Numbers of the set-ups that face either raw end first."""
    end = first_turned(job)
    return (0,) if end is None or is_parted(job) else (0, end)


def _ends(job: Job) -> Iterator[End]:
    moves, placings = rates(job), place_setups(job)
    plain = place_setups(without_tolerances(job))
    alone = [(source, place_setups(each)) for source, each in one_by_one(job)]
    for k in _faced(job):
        stated = plain[k].raw_face.lo
        eaten = [Eaten(source, stated - p[k].face_cleanup_z) for source, p in alone]
        yield End(
            job.setup[k].name,
            stated,
            (*(e for e in eaten if e.mm > 1e-9), Eaten(LEAST_CUT, least_cut(job))),
            moves[k].face_by_length,
            placings[k].face_cleanup_z - least_cut(job),
        )


def stepped_into(value: float, allowed: Range, step: float) -> float | None:
    """`value` on a step of the control inside `allowed`, the nearest; None where no step is."""
    least = -inf if allowed.lo == -inf else ceil(allowed.lo / step - 1e-6)
    most = inf if allowed.hi == inf else floor(allowed.hi / step + 1e-6)
    if least > most:
        return None
    return exact_sum(round(min(max(round(value / step), least), most) * step, 9))


def _nearest(allowed: Range, step: float) -> float | None:
    if allowed.width < 0:
        return None
    return stepped_into(min(max(0.0, allowed.lo), allowed.hi), allowed, step)
