"""What to key in for each zero, for each way of setting it, and what the display then shows.

The three ways at the first end: from a stop, touching each raw face, with a rule; at the second:
finished face on a stop, raw back touched and the measured length keyed in, raw back touched at a
nominal allowance. What a longer blank does under each is read off the placing one millimetre on.

Part zero moved s towards the chuck: the value of the work offset, which counts along +Z, gets
smaller by s, and every place on the part reads s more on the display. Millimetres.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from standclear.interval import Interval
from standclear.job.models import Jaws, Job, Setup, Zero
from standclear.job.placing import Placing, jaws_front, place_setups
from standclear.job.setup_checks import (
    FIRST_END,
    NEEDS_SEAT,
    SECOND_END,
    is_turned,
    jaws_of,
)
from standclear.job.tolerances import without_tolerances
from standclear.plan.setting.changed import (
    Rates,
    exact_sum,
    is_parted,
    rates,
    with_zero,
)
from standclear.plan.setting.split import increment_of


@dataclass(frozen=True)
class Reading:
    """What the display must show with the tip on a place."""

    place: str
    """`raw face`, `stop` or `jaws`."""
    z: float
    """With everything as stated, rounded to the control's increment."""
    range: Interval
    """What it may show over the tolerances; a display outside means something else is wrong."""


@dataclass(frozen=True)
class WayToSet:
    """One way of setting a zero."""

    way: str
    in_use: bool
    keyed: float | None
    """The number keyed in, to the increment: zero from the stop (`stop`, `finished-on-stop`), face
    allowance (`touch`, `rule`, `nominal`), measured less finished length (`measured`). None where
    the way cannot be had: no stop."""
    right: float | None
    """The number with which the part comes out at its finished length; `keyed` but for a way in
    use whose number, as the job states it, makes another length."""
    readings: tuple[Reading, ...]
    longer: Rates | None
    """What a blank one millimetre longer does."""
    finished: Interval | None
    """The finished length that comes out; None before the part is turned round."""


@dataclass(frozen=True)
class SetupZero:
    """The zero of one set-up."""

    setup: str
    offset: str
    turned: bool
    change: float
    """Of the work offset's Z, new less old, to the increment; negative towards the chuck."""
    old: float | None
    """Machine value of the offset's Z as the job has it, with its new value; None where it has
    none."""
    new: float | None
    measured: float | None
    """Length to expect when the part is measured before this set-up; None in the first, and for a
    part that was parted off: no raw face is left on it."""
    ways: tuple[WayToSet, ...]

    @property
    def in_use(self) -> WayToSet:
        """The way that the job states."""
        return next(way for way in self.ways if way.in_use)


def zeros_of(before: Job, job: Job) -> tuple[SetupZero, ...]:
    """The zeros to key in for `job`, compared with those of `before`: the same set-ups as the job
    file has them, with its own blank."""
    plain_before = place_setups(without_tolerances(before))
    plain_job = without_tolerances(job)
    plain = place_setups(plain_job)
    found = []
    for k, setup in enumerate(job.setup):
        step = increment_of(job)
        # The jaws stand still in the machine: what they move on the display, the zero has moved.
        change = to_step(plain_before[k].stop_plane.lo - plain[k].stop_plane.lo, step)
        turned = is_turned(k, setup)
        measured = None
        if turned and not is_parted(job):
            mirror = plain[k].mirror
            assert mirror is not None
            measured = exact_sum(job.part.length, to_step(plain[k].raw_face.lo, step))
            if setup.zero.way == "nominal":
                measured = to_step(-mirror.lo + plain[k].raw_face.lo, step)
        found.append(
            SetupZero(
                setup.name,
                setup.offset,
                turned,
                change,
                setup.offset_z,
                None if setup.offset_z is None else exact_sum(setup.offset_z, change),
                measured,
                tuple(_ways(job, plain_job, k, plain[k])),
            )
        )
    return tuple(found)


def to_step(value: float, step: float) -> float:
    """`value` rounded to the control's increment; half an increment at most is lost."""
    return exact_sum(round(round(value / step) * step, 9))


def _ways(job: Job, plain_job: Job, k: int, plain: Placing) -> Iterator[WayToSet]:
    setup = job.setup[k]
    parted = is_turned(k, setup) and is_parted(job)
    for way in SECOND_END if is_turned(k, setup) else FIRST_END:
        in_use = way == setup.zero.way
        if parted and not in_use:
            continue
        if way in NEEDS_SEAT and setup.seat.on == "stick-out":
            yield WayToSet(way, in_use, None, None, (), None, None)
            continue
        keyed = _keyed(way, job, setup, plain, in_use=in_use)
        zero = setup.zero if in_use else _zero(setup.zero, way, keyed)
        changed = _with(job, k, zero)
        same_plain = _with(plain_job, k, zero.model_copy(update={"error": 0.0}))
        placing = place_setups(changed)[k]
        yield WayToSet(
            way,
            in_use,
            keyed,
            _keyed(way, job, setup, plain, in_use=False),
            tuple(
                reading
                for reading in _readings(way, job, setup, place_setups(same_plain)[k], placing)
                if reading.place != "raw face" or not parted
            ),
            rates(changed)[k],
            placing.finished_length,
        )


def _keyed(way: str, job: Job, setup: Setup, plain: Placing, *, in_use: bool) -> float:
    """The number that puts part zero, with everything as stated, where it is to be: where the job
    puts it; by another way of the second end, where the part comes out at its finished length."""
    step = increment_of(job)
    mirror = plain.mirror
    # How much too long the part comes out with the zero of the job.
    long = 0.0
    if not in_use and mirror is not None and plain.finished_length is not None:
        long = plain.finished_length.middle - job.part.length
    if way in NEEDS_SEAT:
        return to_step(-_seat_z(setup, job, plain) - long, step)
    return to_step(plain.raw_face.lo + long, step)


def _seat_z(setup: Setup, job: Job, plain: Placing) -> float:
    """Z of the face that the blank is seated on."""
    if setup.seat.on == "step":
        jaws = jaws_of(job, setup)
        assert isinstance(jaws, Jaws)
        return plain.stop_plane.lo + jaws.steps[setup.seat.step]
    return plain.stop_plane.lo


def _zero(stated: Zero, way: str, keyed: float) -> Zero:
    """The zero set by another way, with the error that is stated for this one."""
    value = {"from_stop": keyed} if way in NEEDS_SEAT else {"face_allowance": keyed}
    if way == "measured":
        value = {}
    return Zero.model_validate(
        {"way": way, "error": stated.error, "touched": stated.touched, **value}
    )


def _with(job: Job, k: int, zero: Zero) -> Job:
    setups = list(job.setup)
    setups[k] = with_zero(setups[k], zero)
    return job.model_copy(update={"setup": setups})


def _readings(
    way: str, job: Job, setup: Setup, plain: Placing, placing: Placing
) -> Iterator[Reading]:
    """Places to put the tip on that prove the zero and its sign, the one that is set from first."""
    step = increment_of(job)
    top = Interval(placing.face_cleanup_z + placing.skin, placing.raw_face.hi)
    face = Reading("raw face", to_step(plain.raw_face.lo, step), top)
    jaws = jaws_of(job, setup)
    if way in NEEDS_SEAT:
        shift = _seat_z(setup, job, plain) - plain.stop_plane.lo
        yield Reading(
            "stop", to_step(plain.stop_plane.lo + shift, step), placing.stop_plane + shift
        )
    yield face
    if way not in NEEDS_SEAT and isinstance(jaws, Jaws):
        front = jaws_front(jaws.profile)
        z = to_step(plain.stop_plane.lo + front, step)
        yield Reading("jaws", z, placing.stop_plane + front)
