"""How short and how long the blank may be and how its length may be split, each proved again."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import inf, isfinite

from standclear.findings.finding import Finding, Severity, Verdict
from standclear.job.models import Job
from standclear.plan.setting.changed import exact_sum, longer, zero_moved
from standclear.plan.setting.limits import SAME_MM, Range
from standclear.plan.setting.split import Split, increment_of, split_of, stepped_into
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
    """What it asks for that the job as it stands does not, or that it has to end: none where the
    bound holds."""

    @property
    def proved(self) -> bool:
        return self.verdict is Verdict.CLEAR and not self.more


def open_findings(proof: JobProof) -> tuple[Finding, ...]:
    """Findings that still ask for something: above `note` and not allowed by the job."""
    return tuple(f for f in proof.findings if f.severity > Severity.NOTE and not f.allowed_because)


def length_bounds(
    held: Held, job: Job, now: JobProof, split: Split
) -> tuple[ProvedLength | None, ProvedLength | None, ProvedLength | None, ProvedLength | None]:
    if split.back is None:
        return None, None, None, None
    step = increment_of(job)
    as_set = [_inward(split.length_as_set, side, step) for side in (0, 1)]
    set_ones = [
        None if x is None else _proved(held, job, now, x, 0.0, must_go(split)) for x in as_set
    ]
    best = [_at_best(held, job, now, split, side) for side in (0, 1)]
    return set_ones[0], set_ones[1], best[0], best[1]


RAW = "face-left-raw"
FOUND_BEYOND = {
    "clean-up": (RAW, "size-wrong"),
    "air": ("approach-too-near", "start-too-near"),
    "depth": ("cut-too-deep",),
    "jaws": ("jaws-near",),
}
"""What the proof finds beyond a limit of each kind."""


def must_go(split: Split) -> frozenset[str]:
    """Findings of the blank in hand that stand for a limit that it leaves: a length that does has
    none of them, while what no length helps may stay as it is."""
    left = [limit.kind for limit in split.limits if limit.slack < -SAME_MM]
    return frozenset(code for kind in left for code in FOUND_BEYOND[kind])


def _at_best(held: Held, job: Job, now: JobProof, split: Split, side: int) -> ProvedLength | None:
    """The shortest (side 0) or the longest blank with the first zero set anew for it."""
    step = increment_of(job)
    x = _inward(split.length_at_best, side, step)
    # On the bound itself no step of the control may lie between the limits of the zero; a step
    # further in, one does.
    for inside in () if x is None else (0.0, step * (1 - 2 * side)):
        at = exact_sum(x or 0.0, inside)
        shift = _shift_at(job, split, at, step)
        if shift is not None:
            return _proved(held, job, now, at, shift, must_go(split))
    return None


def front_end(held: Held, job: Job, now: JobProof, split: Split, side: int) -> ProvedLength | None:
    """The split with the least front allowance (side 0) or the greatest."""
    shift = None if split.back is None else _inward(split.shift, side, increment_of(job))
    return None if shift is None else _proved(held, job, now, 0.0, shift, must_go(split))


def enough_length(held: Held, job: Job, now: JobProof, split: Split) -> ProvedLength | None:
    if split.back is None or split.short == 0 or split.length_at_best.lo <= 0:
        return None
    return _at_best(held, job, now, split, 0)


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


def _proved(
    held: Held, job: Job, now: JobProof, more: float, shift: float, gone: frozenset[str]
) -> ProvedLength:
    changed = zero_moved(longer(job, more), shift) if shift else longer(job, more)
    proof = judge(held, changed)
    known = {
        (f.setup, f.code, f.place and f.place.line)
        for f in open_findings(now)
        if f.code not in gone
    }
    new = tuple(
        f for f in open_findings(proof) if (f.setup, f.code, f.place and f.place.line) not in known
    )
    return ProvedLength(exact_sum(job.blank.length, more), shift, proof.verdict, new)
