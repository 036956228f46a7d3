"""The sums from a measured first part to what is to be keyed in, before anything is proved.

Millimetres throughout; diameters and X on diameter; changes + away from spindle and axis.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from standclear.job.models import Job
from standclear.plan.first_part.causes import Cause, Measured, causes_of
from standclear.plan.first_part.correction import Gauge, SizeSum
from standclear.plan.first_part.effects import Effects, Knob, effects_of
from standclear.plan.first_part.makers import SizeMade, front_and_back, sizes_made
from standclear.plan.setting.split import increment_of
from standclear.proof.held import Held
from standclear.proof.result import JobProof, SizeFound


@dataclass(frozen=True)
class Solved:
    """The sums alone, before anything is proved."""

    measured: tuple[Measured, ...]
    """Those that some offset moves."""
    causes: tuple[Cause, ...]
    keyed: dict[Knob, float]
    """Changes to key in, to the control's increment."""
    sums: tuple[SizeSum, ...]


@dataclass(frozen=True)
class Followed:
    """The sizes of a job, each with what moves it. By name."""

    made: dict[str, SizeMade]
    effects: dict[str, Effects]
    """Without those that no offset moves."""


def followed(held: Held, job: Job, proof: JobProof) -> Followed:
    """Who makes each size; `proof` has sizes and an outcome."""
    made = {each.size.name: each for each in sizes_made(held, job, proof)}
    ends = front_and_back(held, job, proof)
    effects = {name: effects_of(job, each, *ends) for name, each in made.items()}
    return Followed(made, {name: each for name, each in effects.items() if each})


def solve(job: Job, proof: JobProof, known: Followed, gauges: Sequence[Gauge]) -> Solved:
    """What explains the measured sizes and what to key in, as sums."""
    measured = [
        _measured(gauge, known.made[gauge.name].size, known.effects[gauge.name])
        for gauge in gauges
        if gauge.name in known.effects
    ]
    causes = causes_of(measured)
    keyed = {k: _rounded(job, v) for cause in causes for k, v in cause.keyed.items()}
    keyed = {k: v for k, v in keyed.items() if v}
    sums = tuple(_sum(g, known.made[g.name], proof, measured, causes, keyed) for g in gauges)
    return Solved(tuple(measured), causes, keyed, sums)


def _measured(gauge: Gauge, size: SizeFound, effects: dict[Knob, float]) -> Measured:
    low, high = _limits(size)
    return Measured(
        gauge.name,
        effects,
        gauge.measured - size.found,
        gauge.uncertainty,
        (low + high) / 2 - gauge.measured,
        (low + gauge.uncertainty - gauge.measured, high - gauge.uncertainty - gauge.measured),
    )


def _limits(size: SizeFound) -> tuple[float, float]:
    assert size.wanted is not None and size.tolerance is not None
    return size.wanted + size.tolerance[0], size.wanted + size.tolerance[1]


def _rounded(job: Job, change: float) -> float:
    """To the control's increment."""
    step = increment_of(job)
    return round(round(change / step) * step, 9)


def _sum(
    gauge: Gauge,
    made: SizeMade,
    proof: JobProof,
    measured: Sequence[Measured],
    causes: Sequence[Cause],
    keyed: Mapping[Knob, float],
) -> SizeSum:
    low, high = _limits(made.size)
    mine = next((m for m in measured if m.name == gauge.name), None)
    rates = mine.effects if mine is not None else {}
    after = gauge.measured + sum(rate * keyed.get(k, 0.0) for k, rate in rates.items())
    doubt = gauge.uncertainty
    off = any(gauge.name in cause.unexplained for cause in causes)
    right = low + doubt <= gauge.measured <= high - doubt
    reason = ""
    if off:
        reason = "no wear and no offset explains it beside the other sizes; measure it again"
    elif mine is None and not right:
        reason = _why_blind(made)
    maker = made.maker
    noise = 1e-9
    return SizeSum(
        gauge.name,
        made.size.kind,
        gauge.measured,
        gauge.uncertainty,
        made.size.found,
        low,
        high,
        proof.setups[maker.setup].name if maker is not None else "",
        maker.station if maker is not None else None,
        after,
        right,
        low + doubt - noise <= after <= high - doubt + noise,
        reason,
    )


def _why_blind(made: SizeMade) -> str:
    if made.maker is None:
        return "no cut leaves a cylinder or a flat face there that an offset would move"
    if made.maker.own_size and made.size.kind != "length":
        return "the tool makes the size that it has: no offset changes it"
    return "the faces it lies between move together: no offset changes it"
