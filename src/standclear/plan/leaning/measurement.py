"""What a setter measures or sets for a job, and the job with one of these further out.

Further out means a wider range: the bar from what it was to so much more, the zero off by up to so
much either way. The proof answers for everything inside a range at once, so where it says clear
for one range it says so for each narrower one, and nothing between is left out. Millimetres.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from enum import StrEnum

from standclear.job.models import Job, Setup
from standclear.plan.setting.changed import exact_sum
from standclear.proof.held import Held, contact_limit, tools_of
from standclear.proof.keep_out import keep_out


class Kind(StrEnum):
    """What is measured."""

    SIZE = "size of the blank"
    BORE = "bore of the blank"
    LENGTH = "length of the blank"
    RUN_OUT = "run-out of the blank"
    ZERO = "part zero"
    STICK_OUT = "stick-out"
    TOUCH_OFF = "touch-off of a tool"


@dataclass(frozen=True)
class Measurement:
    """One thing to measure, and the way in which it may go wrong."""

    kind: Kind
    index: int
    """Number of the set-up (zero, stick-out), or of the tool in the job's table; else 0."""
    way: int
    """1 too large, -1 too small, 0 off either way."""
    stated: float
    """As the job states it; of an error, the bound stated."""
    end: float
    """The end of the stated range on that side, where going wrong begins."""
    given: bool
    """The job gives the value; where it does not, 0 counts."""

    def at(self, by: float) -> float:
        """The value that is `by` beyond the stated range."""
        return exact_sum(self.end, -by if self.way < 0 else by)


def measurements(job: Job) -> Iterator[Measurement]:
    """Everything that the proof lets go wrong, those quickest to try first."""
    blank = job.blank
    low, high = blank.size_tolerance
    for way, end in ((1, high), (-1, low)):
        yield Measurement(Kind.SIZE, 0, way, blank.size, exact_sum(blank.size, end), True)
    for k, setup in enumerate(job.setup):
        error, given = setup.zero.error, "error" in setup.zero.model_fields_set
        yield Measurement(Kind.ZERO, k, 0, error, error, given)
    if blank.bore is not None:
        for way, end in zip((-1, 1), blank.bore_tolerance, strict=True):
            yield Measurement(Kind.BORE, 0, way, blank.bore, exact_sum(blank.bore, end), True)
    for way, end in zip((-1, 1), blank.length_tolerance, strict=True):
        yield Measurement(Kind.LENGTH, 0, way, blank.length, exact_sum(blank.length, end), True)
    run_out = blank.run_out or 0.0
    yield Measurement(Kind.RUN_OUT, 0, 1, run_out, run_out, blank.run_out is not None)
    for k, setup in enumerate(job.setup):
        if setup.seat.on == "stick-out":
            error, given = setup.seat.error, "error" in setup.seat.model_fields_set
            yield Measurement(Kind.STICK_OUT, k, 0, error, error, given)
    for k, tool in enumerate(tools_of(job)):
        wear = tool.wear or 0.0
        yield Measurement(Kind.TOUCH_OFF, k, 0, wear, wear, tool.wear is not None)


def widened(held: Held, job: Job, wrong: Measurement, by: float) -> tuple[Held, Job]:
    """What is held and the job, with `wrong` anywhere up to `by` mm beyond its stated range."""
    if wrong.kind is Kind.TOUCH_OFF:
        return _worn(held, job, wrong.index, wrong.at(by)), job
    if wrong.kind is Kind.ZERO:
        return held, _with_setup(job, wrong.index, "zero", wrong.at(by))
    if wrong.kind is Kind.STICK_OUT:
        return held, _with_setup(job, wrong.index, "seat", wrong.at(by))
    change: dict[str, object] = {}
    if wrong.kind is Kind.RUN_OUT:
        change["run_out"] = wrong.at(by)
    else:
        name = {Kind.SIZE: "size", Kind.BORE: "bore", Kind.LENGTH: "length"}[wrong.kind]
        low, high = getattr(job.blank, f"{name}_tolerance")
        beyond = exact_sum(wrong.at(by), -wrong.stated)
        change[f"{name}_tolerance"] = (beyond, high) if wrong.way < 0 else (low, beyond)
    return held, job.model_copy(update={"blank": job.blank.model_copy(update=change)})


def called(held: Held, tool: int) -> bool:
    """Whether a program calls this tool of the job's table."""
    return any(
        use.tool == tool for readings in held.readings for r in readings for use in r.trace.tools
    )


def _with_setup(job: Job, index: int, table: str, error: float) -> Job:
    setups: list[Setup] = list(job.setup)
    changed = getattr(setups[index], table).model_copy(update={"error": error})
    setups[index] = setups[index].model_copy(update={table: changed})
    return job.model_copy(update={"setup": setups})


def _worn(held: Held, job: Job, tool: int, wear: float) -> Held:
    """`held` with the bound of wear and touch-off of one tool, plus or minus on each axis."""
    readings = []
    for own in held.readings:
        found = []
        for reading in own:
            bounds = tuple(
                wear if use.tool == tool else bound
                for use, bound in zip(reading.trace.tools, reading.wear, strict=True)
            )
            if bounds == reading.wear:
                found.append(reading)
                continue
            keep = keep_out(
                reading.trace.motions,
                reading.tools,
                bounds,
                contact_limit(job),
                reading.keep.reach,
                reading.corner,
            )
            found.append(replace(reading, wear=bounds, keep=keep))
        readings.append(tuple(found))
    return replace(held, readings=tuple(readings))
