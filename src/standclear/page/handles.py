"""What is dragged: the blank's sizes, the zeros and the jaws, and the job with them moved."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from standclear.errors import Fault, JobError
from standclear.job.models import Jaws, Job, Setup
from standclear.job.setup_checks import is_turned, jaws_of
from standclear.plan.setting.changed import exact_sum, with_zero
from standclear.proof.prove import other_blank
from standclear.report.sizes import MM_PER_INCH

JAW_TRAVEL_MM = 25.0
"""How far jaws are dragged either way: about the height of a jaw's step."""
SHIFT_TRAVEL_MM = 10.0


@dataclass(frozen=True)
class Handle:
    """One value that is dragged, in the job's unit."""

    key: str
    """`bar`, `length`, `face`, `shift.1`, `jaw.0`: what it is, and the number of its set-up."""
    label: str
    least: float
    most: float
    step: float
    value: float
    """As the job has it."""
    hint: str
    setup: int = -1
    """The set-up that it belongs to; -1 for the blank."""


def handles(job: Job) -> tuple[Handle, ...]:
    """Everything of a job that can be dragged."""
    inch = job.units == "inch"
    fine, coarse = (0.002, 0.01) if inch else (0.05, 0.1)
    unit = MM_PER_INCH if inch else 1.0
    across = "across flats" if job.blank.shape in ("hexagon", "square") else "across"
    bar = job.blank.size / unit
    long = job.blank.length / unit
    part = job.part.length / unit
    face = face_allowance(job) / unit
    found = [
        Handle(
            "bar",
            f"Bar, {across}",
            _step_down(bar * 0.6, coarse),
            _step_up(bar * 1.4, coarse),
            coarse,
            _clean(bar),
            "Diameter or width across flats of the bar on the rack",
        ),
        Handle(
            "length",
            "Blank length",
            _step_down(min(long, part), coarse),
            _step_up(max(long, part) + max(20.0 / unit, 0.25 * part), coarse),
            coarse,
            _clean(long),
            "As sawn",
        ),
        Handle(
            "face",
            "Face allowance",
            min(0.0, _step_down(face, fine)),
            _step_up(max(4 * face, 8.0 / unit), fine),
            fine,
            _clean(face),
            "How far the raw face stands out in front of part zero, first end",
            0,
        ),
    ]
    for index, setup in enumerate(job.setup):
        travel = SHIFT_TRAVEL_MM / unit
        if index > 0 and _shifts(index, setup):
            found.append(
                Handle(
                    f"shift.{index}",
                    f"Shift of {setup.offset}",
                    -_step_up(travel, fine),
                    _step_up(travel, fine),
                    fine,
                    0.0,
                    "Part zero moved towards the chuck (+) or away from it (-)",
                    index,
                )
            )
        if isinstance(jaws_of(job, setup), Jaws):
            reach = JAW_TRAVEL_MM / unit
            found.append(
                Handle(
                    f"jaw.{index}",
                    "Jaws",
                    -_step_up(reach, coarse),
                    _step_up(reach, coarse),
                    coarse,
                    0.0,
                    "Moved out over the part (+) or back from it (-)",
                    index,
                )
            )
    return tuple(found)


def dragged(job: Job, values: Mapping[str, float]) -> Job:
    """`job` with handles at `values`, in the job's unit; what is not named stays.

    Raises JobError where a name is no handle of the job, or a value lies outside its travel.
    """
    known = {handle.key: handle for handle in handles(job)}
    unit = MM_PER_INCH if job.units == "inch" else 1.0
    mm: dict[str, float] = {}
    for key, value in values.items():
        if key not in known:
            raise _refused(key, "not a value of this job", "drag one of " + ", ".join(known))
        handle = known[key]
        if not math.isfinite(value) or not handle.least <= value <= handle.most:
            span = f"give {handle.least:g} to {handle.most:g}"
            raise _refused(key, f"{value:g}", span)
        mm[key] = value * unit
    moved = other_blank(job, bar=mm.get("bar"), length=mm.get("length"), face=mm.get("face"))
    for index in range(len(job.setup)):
        shift, jaw = mm.get(f"shift.{index}", 0.0), mm.get(f"jaw.{index}", 0.0)
        if shift:
            moved = _with_setup(moved, index, _shifted(moved, moved.setup[index], shift))
        if jaw:
            moved = _with_setup(moved, index, _jaws_moved(moved, moved.setup[index], jaw))
    return moved


def face_allowance(job: Job) -> float:
    """How far the raw face stands out in front of part zero, first end, mm. On a stop it is what
    the blank's length makes it."""
    zero = job.setup[0].zero
    if zero.way == "stop":
        return exact_sum(job.blank.length, -(zero.from_stop or 0.0))
    return zero.face_allowance or 0.0


def _shifts(index: int, setup: Setup) -> bool:
    """The zero of the first end is moved by its face allowance; one keyed in from a measured
    length has no value of its own to move."""
    return is_turned(index, setup) and setup.zero.way in ("finished-on-stop", "nominal")


def _shifted(job: Job, setup: Setup, shift: float) -> Setup:
    zero = setup.zero
    if zero.way == "finished-on-stop":
        stands = job.part.length if zero.from_stop is None else zero.from_stop
        return with_zero(setup, zero.model_copy(update={"from_stop": exact_sum(stands, -shift)}))
    allowance = exact_sum(zero.face_allowance or 0.0, shift)
    return with_zero(setup, zero.model_copy(update={"face_allowance": allowance}))


def _jaws_moved(job: Job, setup: Setup, out: float) -> Setup:
    """The jaws, with the chuck behind them, `out` mm nearer the tool; the part stays. Where the
    part is set by its stick-out, that is less by as much."""
    if setup.seat.on == "stick-out":
        stick_out = exact_sum(setup.seat.stick_out or 0.0, -out)
        return setup.model_copy(
            update={"seat": setup.seat.model_copy(update={"stick_out": stick_out})}
        )
    jaws = jaws_of(job, setup)
    assert isinstance(jaws, Jaws)
    change: dict[str, object] = {"profile": [(z + out, h) for z, h in jaws.profile]}
    if jaws.chuck is not None:
        face = jaws.chuck.face + out
        change["chuck"] = jaws.chuck.model_copy(update={"face": face})
    return setup.model_copy(update={"jaws": jaws.model_copy(update=change)})


def _with_setup(job: Job, index: int, setup: Setup) -> Job:
    setups = list(job.setup)
    setups[index] = setup
    return job.model_copy(update={"setup": setups})


def _refused(key: str, found: str, accepted: str) -> JobError:
    return JobError([Fault("page", key, found, accepted)])


def _step_down(value: float, step: float) -> float:
    return _clean(math.floor(value / step) * step)


def _step_up(value: float, step: float) -> float:
    return _clean(math.ceil(value / step) * step)


def _clean(value: float) -> float:
    """Without the last digits that sums of decimals leave."""
    return round(value, 6)
