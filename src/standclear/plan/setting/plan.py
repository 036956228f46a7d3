"""The plan of a job that has its programs: split, zeros, clearance points, each proved again."""

from __future__ import annotations

from dataclasses import dataclass

from standclear.findings.finding import Finding, Verdict
from standclear.job.models import Job
from standclear.plan.grip.grip import Grip, grip_of, reading_of
from standclear.plan.setting.bent import BentApproach, bent_approaches
from standclear.plan.setting.bounds import (
    ProvedLength,
    enough_length,
    front_end,
    length_bounds,
    open_findings,
)
from standclear.plan.setting.changed import is_parted, zero_moved
from standclear.plan.setting.clearance import ClearancePoint, clearance_points
from standclear.plan.setting.least_air import LeastAir, least_air
from standclear.plan.setting.rooms import program_limits
from standclear.plan.setting.rule import Rule, rules_of
from standclear.plan.setting.split import Split, split_of
from standclear.plan.setting.zeros import SetupZero, zeros_of
from standclear.proof.held import Held
from standclear.proof.prove import judge
from standclear.proof.result import JobProof


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
    least_front: ProvedLength | None
    """With the least front allowance that does, and with the greatest; None where no split does,
    where the job is not clear, or nothing bounds it."""
    greatest_front: ProvedLength | None
    shortest: ProvedLength | None
    """With the zeros set as the ways set them. None where nothing bounds it."""
    longest: ProvedLength | None
    shortest_at_best: ProvedLength | None
    """With the first zero set anew for it."""
    longest_at_best: ProvedLength | None
    enough: ProvedLength | None
    """Where no split does: the least length at which one would, by the sum, and what the proof says
    of it; None where a split does, or no length helps."""
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
    bounds = (None,) * 4 if not clear else length_bounds(held, job, after, split)
    fronts = (
        front_end(held, job, proof, split, 0) if clear else None,
        front_end(held, job, proof, split, 1) if clear else None,
    )
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
        *fronts,
        *bounds,
        enough_length(held, job, after, split),
        points,
        rules_of(chosen),
        bent,
        least_air(held, chosen, after, points if split.short == 0 else ()),
        after,
        grip_of(held, chosen, after),
    )
