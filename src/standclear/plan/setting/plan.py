"""The plan of a job that has its programs: split, zeros, clearance points, each proved again."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import ceil, inf, isfinite

from standclear.findings.finding import Finding, Severity, Verdict
from standclear.job.models import Job
from standclear.job.placing import place_setups
from standclear.plan.grip.grip import Grip, grip_of, reading_of
from standclear.plan.setting.bent import BentApproach, bent_approaches
from standclear.plan.setting.changed import exact_sum, is_parted, longer, zero_moved
from standclear.plan.setting.clearance import ClearancePoint, clearance_points
from standclear.plan.setting.least_air import LeastAir, least_air
from standclear.plan.setting.limits import Range
from standclear.plan.setting.rooms import program_limits
from standclear.plan.setting.rule import Rule, rules_of
from standclear.plan.setting.split import Split, increment_of, split_of, stepped_into
from standclear.plan.setting.zeros import SetupZero, zeros_of
from standclear.proof.held import Held
from standclear.proof.prove import judge
from standclear.proof.result import JobProof


@dataclass(frozen=True)
class ProvedLength:
    """A bound of the blank's length, proved again."""

    length: float
    """Of the blank as stated, to the control's increment."""
    shift: float
    """Made to the first zero for it."""
    verdict: Verdict
    more: tuple[Finding, ...]
    """What it asks for that the job as it stands does not: none where the bound holds."""
    by_sum: float | None = None
    """The bound by the sum alone, where the proof asks for more than that."""

    @property
    def proved(self) -> bool:
        return self.verdict is Verdict.CLEAR and not self.more


@dataclass(frozen=True)
class SettingPlan:
    """What the setter works out, all of it in millimetres."""

    before: Job
    """As the job file has it."""
    job: Job
    """With the blank on the bench and the proposed shift made."""
    verdict: Verdict
    """Of the blank on the bench before the shift."""
    findings: tuple[Finding, ...]
    """What is then to mend: above `note` and not allowed."""
    readings: tuple[int, ...]
    """For each set-up, how many readings its program has where the control's behaviour is open; the
    clearance points are those of the one that answers worst."""
    after: Verdict
    """With the shift; the same where none is made."""
    after_findings: tuple[Finding, ...]
    """What is left above `note` with it, and not allowed."""
    split: Split
    parted: bool
    zeros: tuple[SetupZero, ...]
    shortest: ProvedLength | None
    """With the zeros set as the ways set them. None where nothing bounds it."""
    longest: ProvedLength | None
    shortest_at_best: ProvedLength | None
    """With the first zero set anew for it."""
    longest_at_best: ProvedLength | None
    points: tuple[tuple[ClearancePoint, ...], ...]
    rules: tuple[Rule, ...]
    bent: tuple[BentApproach, ...]
    least: LeastAir
    proof: JobProof
    """The last proof: with the shift."""
    grips: tuple[Grip, ...]

    @property
    def complete(self) -> bool:
        """Nothing to mend or to key in anew: the job is clear as it stands."""
        return (
            self.verdict is Verdict.CLEAR and not self.after_findings and self.split.proposed == 0
        )


def plan_job(held: Held, job: Job, before: Job) -> SettingPlan:
    """The plan for the blank of `job`, which differs from what is held in blank and zeros alone;
    `before` is the job as its file has it, whose values are the old ones."""
    proof = judge(held, job)
    clear = proof.verdict is Verdict.CLEAR
    # What a program that is not clear allows its faces and jaws says nothing: mend it first.
    split = split_of(job, program_limits(held, job, proof) if clear else ())
    chosen, after = job, proof
    if split.proposed:
        chosen = zero_moved(job, split.proposed)
        after = judge(held, chosen)
    bounds = (None,) * 4 if not clear else _lengths(held, job, after, split)
    readings = [reading_of(held, k, setup) for k, setup in enumerate(after.setups)]
    points = tuple(
        clearance_points(chosen, k, reading, setup)
        for k, (reading, setup) in enumerate(zip(readings, after.setups, strict=True))
    )
    bent = tuple(
        b
        for reading, setup in zip(readings, after.setups, strict=True)
        for b in bent_approaches(reading, setup)
    )
    return SettingPlan(
        before,
        chosen,
        proof.verdict,
        open_findings(proof),
        tuple(len(each) for each in held.readings),
        after.verdict,
        open_findings(after),
        split,
        is_parted(job),
        zeros_of(before, chosen),
        *bounds,
        points,
        rules_of(chosen),
        bent,
        least_air(held, chosen, after, points if split.short == 0 else ()),
        after,
        grip_of(held, chosen, after),
    )


def open_findings(proof: JobProof) -> tuple[Finding, ...]:
    """Findings that still ask for something: above `note` and not allowed by the job."""
    return tuple(f for f in proof.findings if f.severity > Severity.NOTE and not f.allowed_because)


def _lengths(
    held: Held, job: Job, now: JobProof, split: Split
) -> tuple[ProvedLength | None, ProvedLength | None, ProvedLength | None, ProvedLength | None]:
    if split.back is None:
        return None, None, None, None
    step = increment_of(job)
    as_set = [_inward(split.length_as_set, side, step) for side in (0, 1)]
    at_best = [_inward(split.length_at_best, side, step) for side in (0, 1)]
    set_ones = [
        None if x is None else _within(held, job, now, x, side, 0.0)
        for side, x in enumerate(as_set)
    ]
    best = []
    for side, x in enumerate(at_best):
        found = None
        # On the bound itself no step of the control may lie between the limits of the zero; a step
        # further in, one does.
        for inside in () if x is None else (0.0, step * (1 - 2 * side)):
            at = exact_sum(x or 0.0, inside)
            shift = _shift_at(job, split, at, step)
            if shift is not None:
                found = _within(held, job, now, at, side, shift)
                break
        best.append(found)
    return set_ones[0], set_ones[1], best[0], best[1]


def _shift_at(job: Job, split: Split, more: float, step: float) -> float | None:
    """The least shift that does for a blank `more` longer; None where no step of the control does.
    The limits at another length are the same lines, further on."""
    limits = tuple(
        replace(limit, slack=limit.slack + limit.per_length * more) for limit in split.limits
    )
    allowed = split_of(longer(job, more), limits[2:]).shift
    return stepped_into(min(max(0.0, allowed.lo), allowed.hi), allowed, step)


def _inward(found: Range, side: int, step: float) -> float | None:
    """The bound on that side, to the control's increment, rounded into the range; None where
    nothing bounds it or nothing lies in it."""
    bound = (found.lo, found.hi)[side]
    if not isfinite(bound) or found.width < 0:
        return None
    within = Range(found.lo, inf, None, None) if side == 0 else Range(-inf, found.hi, None, None)
    return stepped_into(bound, within, step)


def _within(
    held: Held, job: Job, now: JobProof, more: float, side: int, shift: float
) -> ProvedLength:
    """The bound by the sum, proved. Where the proof still sees raw skin there, it is the one that
    lies inside by as much as the part wanders in the last set-up: the proof looks at all faces
    there, where the first one lies no better known than that."""
    found = _proved(held, job, now, more, shift)
    mirror = place_setups(job)[-1].mirror
    if mirror is None or mirror.width == 0 or {f.code for f in found.more} != {"face-left-raw"}:
        return found
    step = increment_of(job)
    wander = ceil(mirror.width / step - 1e-6) * step
    inside = _proved(held, job, now, exact_sum(more, round(wander * (1 - 2 * side), 9)), shift)
    return replace(inside, by_sum=found.length) if inside.proved else found


def _proved(held: Held, job: Job, now: JobProof, more: float, shift: float) -> ProvedLength:
    changed = zero_moved(longer(job, more), shift) if shift else longer(job, more)
    proof = judge(held, changed)
    known = {(f.setup, f.code, f.place and f.place.line) for f in open_findings(now)}
    new = tuple(
        f for f in open_findings(proof) if (f.setup, f.code, f.place and f.place.line) not in known
    )
    return ProvedLength(exact_sum(job.blank.length, more), shift, proof.verdict, new)
