"""The plan before any program exists: from outline, blank and jaws alone.

No motion is proved, since there is none: what is checked is where everything stands, over the
tolerances, and that the part can sit in the jaws as it says.
"""

from __future__ import annotations

from dataclasses import dataclass

from standclear.job.models import Job, Setup, Zero
from standclear.plan.setting.changed import exact_sum, first_turned, is_parted, zero_moved
from standclear.plan.setting.orders import JawsFront, Order, jaws_fronts, orders_of
from standclear.plan.setting.rule import Rule, rules_of
from standclear.plan.setting.split import Split, increment_of, split_of
from standclear.plan.setting.zeros import SetupZero, to_step, zeros_of


@dataclass(frozen=True)
class EarlyPlan:
    """What can be worked out before a program is written, millimetres."""

    before: Job
    job: Job
    """With two set-ups at least, and the proposed split."""
    assumed: bool
    """The job has no set-ups: two are taken, the first end touched, the second seated by its
    finished face on the stop, both in the job's jaws."""
    split: Split
    parted: bool
    zeros: tuple[SetupZero, ...]
    rules: tuple[Rule, ...]
    """The clearance points to program stand in them."""
    jaws: tuple[JawsFront, ...]
    orders: tuple[Order, ...]
    """The better one first; empty where the job has no outline or no jaws, or one end only."""

    @property
    def complete(self) -> bool:
        """Both ends clean up, and where orders could be compared one of them works."""
        return self.split.short == 0 and (not self.orders or self.orders[0].works)


def plan_early(job: Job, before: Job) -> EarlyPlan:
    """The plan for the blank of `job`; `before` is the job as its file has it."""
    assumed = not job.setup
    whole, old = _with_setups(job), _with_setups(before)
    split = split_of(whole)
    shift = split.proposed or 0.0
    if assumed and split.even is not None:
        shift = split.even
    chosen = zero_moved(whole, shift) if shift else whole
    final = split_of(chosen) if shift else split
    two_ends = len(chosen.setup) > 1 and first_turned(chosen) == 1 and not is_parted(chosen)
    return EarlyPlan(
        old,
        chosen,
        assumed,
        final,
        is_parted(chosen),
        zeros_of(chosen if assumed else old, chosen),
        rules_of(chosen),
        jaws_fronts(chosen),
        orders_of(chosen) if two_ends else (),
    )


def _with_setups(job: Job) -> Job:
    """`job` with the set-ups that are taken where it has none: half of the spare at either end."""
    if job.setup:
        return job
    spare = to_step((job.blank.length - job.part.length) / 2, increment_of(job))
    first = Setup(
        name="first end",
        zero=Zero(way="touch", face_allowance=exact_sum(spare)),
        jaws=job.jaws,
    )
    second = Setup(
        name="second end", offset="G55", zero=Zero(way="finished-on-stop"), jaws=job.jaws
    )
    return job.model_copy(update={"setup": [first, second]})
