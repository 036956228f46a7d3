"""The measurements on which a clear verdict leans most, each with the value at which it fails.

One measurement at a time goes further out, everything else as stated with its tolerances, until the
proof no longer answers clear: by halves, to one step of `STEP`. Up to the last step that is good
everything is proved, at the step after it the verdict fails. What takes least comes first.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass

from standclear.findings.finding import Verdict
from standclear.job.models import Job
from standclear.plan.leaning.farthest import farthest, run
from standclear.plan.leaning.measurement import Kind, Measurement, called, measurements, widened
from standclear.plan.rack.check import sizes_at
from standclear.plan.setting.changed import exact_sum, with_zero
from standclear.plan.windows.stock import Window
from standclear.proof.held import Held
from standclear.proof.prove import judge
from standclear.proof.result import JobProof

STEP = {"mm": 0.01, "inch": 0.0127}
"""Finest step of a value, mm: a hundredth of a millimetre, half a thousandth of an inch."""
TOUCH_OFF = {
    "mm": (0.02, 0.05, 0.1, 0.15, 0.2, 0.3, 0.4, 0.5, 0.75, 1.0, 1.5, 2.0, 3.0, 5.0),
    "inch": tuple(
        exact_sum(round(25.4 * inches, 9))
        for inches in (
            *(0.001, 0.002, 0.004, 0.006, 0.008, 0.012, 0.016, 0.02, 0.03, 0.04),
            *(0.06, 0.08, 0.12, 0.2),
        )
    ),
}
"""What is tried of a tool's touch-off, mm: few values, as the tool is swept anew for each."""
AROUND = (0, 2, -16, 16)
"""Steps from a guess that are tried before anything is halved."""
LOOK_MM = 5.0
"""How far beyond the stated range is looked. Our choice, no source."""


@dataclass(frozen=True)
class Lean:
    """One measurement and how far it may be off. Millimetres; a touch-off counts radially in X."""

    measurement: Measurement
    clear_to: float
    """The proof answers clear for everything up to this value."""
    fails_at: float
    """With this value it does not."""
    towards: int
    """Of a zero: -1 it fails nearer the chuck, 1 further from it, 0 either way or not known."""
    failed: JobProof
    """What the proof answers at `fails_at`."""

    @property
    def slack(self) -> float:
        """From the end of the stated range to where the verdict fails."""
        return abs(exact_sum(self.fails_at, -self.measurement.end))


def leaning(
    held: Held, job: Job, proof: JobProof, windows: Sequence[Window] = (), count: int = 3
) -> tuple[Lean, ...]:
    """The `count` measurements that take least to make the verdict fail, that one first.

    `held` and `job` are what `proof` was judged from; `windows`, the stock windows of the job, say
    where to look first and make it quicker. Empty where the verdict is not clear, shorter where
    fewer make it fail within `LOOK_MM`.
    """
    if proof.verdict is not Verdict.CLEAR:
        return ()
    found: list[Lean] = []
    for wrong in measurements(job):
        if wrong.kind is Kind.TOUCH_OFF and not called(held, wrong.index):
            continue
        most = LOOK_MM if len(found) < count else found[count - 1].slack
        lean = _one(held, job, wrong, most, _guess(wrong, job, windows, found))
        if lean is not None:
            found = sorted([*found, lean], key=lambda each: each.slack)
    return tuple(_with_direction(held, job, each) for each in found[:count])


def _one(held: Held, job: Job, wrong: Measurement, most: float, guess: float | None) -> Lean | None:
    """How far one measurement may be off; None where the verdict stands `most` beyond."""
    steps = [by for by in _steps(wrong, job.units, most) if _can_be(wrong, job, by)]
    if not steps:
        return None
    failed: dict[int, JobProof] = {}

    def good(count: int) -> bool:
        answer = judge(*widened(held, job, wrong, steps[count - 1]))
        if answer.verdict is not Verdict.CLEAR:
            failed[count] = answer
        return answer.verdict is Verdict.CLEAR

    near = () if guess is None else tuple(bisect_left(steps, guess) + n for n in AROUND)
    clear, bad = run(farthest(len(steps), (*near, len(steps))), good)
    if bad is None:
        return None
    clear_to = wrong.at(steps[clear - 1]) if clear else wrong.end
    return Lean(wrong, clear_to, wrong.at(steps[bad - 1]), 0, failed[bad])


def _steps(wrong: Measurement, units: str, most: float) -> Sequence[float]:
    """How far beyond the stated range is tried, up to `most`, ascending."""
    if wrong.kind is Kind.TOUCH_OFF:
        return [by for by in TOUCH_OFF[units] if by < most]
    step = STEP[units]
    return [exact_sum(round(count * step, 9)) for count in range(1, int(most / step + 1e-6) + 1)]


def _can_be(wrong: Measurement, job: Job, by: float) -> bool:
    """Whether there is a blank with `wrong` so far out: with a wall, and of some length."""
    blank, at = job.blank, wrong.at(by)
    bore = 0.0 if blank.bore is None else blank.bore + blank.bore_tolerance[1]
    if wrong.kind is Kind.SIZE and wrong.way < 0:
        return at > bore
    if wrong.kind is Kind.BORE:
        return 0 < at < blank.size + blank.size_tolerance[0]
    return at > 0


def _guess(
    wrong: Measurement, job: Job, windows: Sequence[Window], found: Sequence[Lean]
) -> float | None:
    """About how far it may be off, read off the stock windows; None where nothing says."""
    if wrong.kind is Kind.TOUCH_OFF:
        bar = [lean.slack / 2 for lean in found if lean.measurement.kind is Kind.SIZE]
        return bar[0] if bar else None
    slacks = []
    for window in windows:
        x, size = window.stated
        if wrong.kind in (Kind.SIZE, Kind.RUN_OUT) and wrong.way > 0:
            most = sizes_at(window, x)[1]
            if most is not None:
                slacks.append(most - size)
            continue
        of_zero = wrong.kind is Kind.ZERO and window.setup == job.setup[wrong.index].name
        of_length = wrong.kind is Kind.LENGTH and wrong.way > 0 and not window.setup
        if (of_zero or of_length) and not window.region.is_empty:
            slacks.append(float(window.region.bounds[2]) - x)
    known = [slack for slack in slacks if 0 < slack < LOOK_MM]
    return min(known, default=None)


def _with_direction(held: Held, job: Job, lean: Lean) -> Lean:
    """For a zero, which way it fails when it stands there for certain."""
    wrong = lean.measurement
    if wrong.kind is not Kind.ZERO or job.setup[wrong.index].zero.way == "measured":
        return lean
    struck = [
        way
        for way in (-1, 1)
        if judge(held, _zero_at(job, wrong.index, way * lean.slack)).verdict is not Verdict.CLEAR
    ]
    towards = struck[0] if len(struck) == 1 else 0
    return Lean(wrong, lean.clear_to, lean.fails_at, towards, lean.failed)


def _zero_at(job: Job, index: int, by: float) -> Job:
    """`job` with the part zero of one set-up, and of no other, `by` mm further from the chuck."""
    setup = job.setup[index]
    zero = setup.zero
    if zero.way in ("stop", "finished-on-stop"):
        stands = job.part.length if zero.from_stop is None else zero.from_stop
        change = {"from_stop": exact_sum(stands, by)}
    else:
        change = {"face_allowance": exact_sum(zero.face_allowance or 0.0, -by)}
    setups = list(job.setup)
    setups[index] = with_zero(setup, zero.model_copy(update=change))
    return job.model_copy(update={"setup": setups})
