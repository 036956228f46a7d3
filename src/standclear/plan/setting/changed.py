"""The job with its blank or its zeros changed, and how everything then moves."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from standclear.interval import Interval
from standclear.job.models import Job, Setup, Zero
from standclear.job.placing import place_setups
from standclear.job.setup_checks import is_turned


def first_turned(job: Job) -> int | None:
    """Number of the first set-up before which the part is turned round."""
    return next((k for k, setup in enumerate(job.setup) if is_turned(k, setup)), None)


def is_parted(job: Job) -> bool:
    """Whether the second end is made by parting off, so that no raw face is left there."""
    end = first_turned(job)
    return any(setup.falls_at for setup in job.setup[:end])


def exact_sum(*terms: float) -> float:
    """The sum in decimals, as a setter adds sizes on paper: 83 - 79 - 2.2 is 1.8."""
    return float(sum((Decimal(repr(term)) for term in terms), Decimal(0)))


def zero_moved(job: Job, shift: float) -> Job:
    """`job` with part zero of the first end `shift` mm nearer the chuck.

    Every set-up of the first end moves with it. Where the zero of the second end is taken from the
    raw back face at an allowance, that allowance is what is left.
    """
    end = first_turned(job)
    setups = [
        _moved(setup, shift)
        if end is None or k < end
        else _moved(setup, -shift)
        if k == end and setup.zero.way == "nominal"
        else setup
        for k, setup in enumerate(job.setup)
    ]
    return job.model_copy(update={"setup": setups})


def _moved(setup: Setup, shift: float) -> Setup:
    zero = setup.zero
    if zero.way == "stop":
        change = {"from_stop": exact_sum(zero.from_stop or 0.0, -shift)}
    else:
        change = {"face_allowance": exact_sum(zero.face_allowance or 0.0, shift)}
    return with_zero(setup, zero.model_copy(update=change))


def with_zero(setup: Setup, zero: Zero) -> Setup:
    """`setup` with another zero."""
    return setup.model_copy(update={"zero": zero})


def longer(job: Job, more: float) -> Job:
    """`job` with a blank longer by `more` mm, nothing else keyed in anew."""
    blank = job.blank.model_copy(update={"length": exact_sum(job.blank.length, more)})
    return job.model_copy(update={"blank": blank})


@dataclass(frozen=True)
class Rates:
    """How far things move in one set-up's frame, mm a mm: with the blank's length (`length`), with
    part zero moved towards the chuck (`shift`)."""

    face_by_length: float
    face_by_shift: float
    jaws_by_length: float
    jaws_by_shift: float
    finished_by_length: float
    """Of the finished length; 0 before the part is turned round."""


def rates(job: Job) -> tuple[Rates, ...]:
    """For each set-up, read off the placing one millimetre further: it is all sums."""
    here = place_setups(job)
    by_length, by_shift = place_setups(longer(job, 1.0)), place_setups(zero_moved(job, 1.0))
    return tuple(
        Rates(
            _rate(x.raw_face, p.raw_face),
            _rate(s.raw_face, p.raw_face),
            _rate(x.stop_plane, p.stop_plane),
            _rate(s.stop_plane, p.stop_plane),
            _rate(x.finished_length, p.finished_length),
        )
        for p, x, s in zip(here, by_length, by_shift, strict=True)
    )


def _rate(moved: Interval | None, here: Interval | None) -> float:
    if moved is None or here is None:
        return 0.0
    return round(moved.hi - here.hi, 9)
