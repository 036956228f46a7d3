"""The offset to key in: part zero moved along Z by what the findings are short of.

Moved away from the chuck every motion stands further out from the raw face and the jaws; the first
end then gives less and the other end more. Read off the gaps, then judged once; nothing is swept.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import ceil

from standclear.findings.finding import Finding
from standclear.job.models import Job
from standclear.plan.amend.trial import MENDABLE, weighty
from standclear.plan.setting.changed import first_turned, zero_moved
from standclear.plan.setting.split import increment_of
from standclear.proof.held import Held
from standclear.proof.judge_setup import JAW_MARGIN_MM, air_owed
from standclear.proof.prove import judge
from standclear.proof.result import JobProof, SetupProof
from standclear.sweeps.areas import less, union


@dataclass(frozen=True)
class OffsetChange:
    """A zero set otherwise; lengths in mm."""

    setup: str
    offset: str
    """The word, such as `G54`."""
    change: float
    """Of part zero along +Z, away from the chuck."""
    way: str
    """How the zero is set: `stop`, `touch` or `rule`."""
    old: float
    """The number as keyed in now: zero from the stop, or face allowance."""
    new: float
    job: Job
    """The job with it keyed in."""


def offset_change(held: Held, job: Job, proof: JobProof) -> tuple[OffsetChange, JobProof] | None:
    """The least move of the first end's zero that leaves fewer findings and brings none, with the
    answer then; None where there is none."""
    zero = job.setup[0].zero
    if zero.way not in ("stop", "touch", "rule"):
        return None
    here = {(f.setup, f.code) for f in weighty(proof)}
    step = increment_of(job)
    last = first_turned(job) or len(job.setup)
    wanted = {
        ceil(short / step - 1e-6) * step
        for finding in weighty(proof)
        for index in range(last)
        if job.setup[index].name == finding.setup
        for short in _short_by(held, job, proof.setups[index], index, finding)
        if short > 1e-6
    }
    best: tuple[OffsetChange, JobProof] | None = None
    fewest = len(weighty(proof))
    for out in sorted(wanted):
        moved = zero_moved(job, -round(out, 6))
        answer = judge(held, moved)
        found = weighty(answer)
        if {(f.setup, f.code) for f in found} <= here and len(found) < fewest:
            fewest = len(found)
            key = "from_stop" if zero.way == "stop" else "face_allowance"
            now = moved.setup[0].zero
            change = OffsetChange(
                job.setup[0].name,
                job.setup[0].offset,
                round(out, 6),
                zero.way,
                float(getattr(zero, key) or 0.0),
                float(getattr(now, key) or 0.0),
                moved,
            )
            best = change, answer
    return best


def _short_by(
    held: Held, job: Job, setup: SetupProof, index: int, finding: Finding
) -> Iterator[float]:
    """How far the motions would have to stand further out for a finding to go, mm."""
    value = {m.name: m.value for m in finding.measures if isinstance(m.value, float)}
    margin = job.setup[index].margin.jaws
    margin = JAW_MARGIN_MM if margin is None else margin
    if finding.code == "jaws-near":
        yield value["margin"] - value["gap"]
    elif finding.code == "jaws-struck":
        yield value["z_to"] - value["z_from"] + margin
    elif finding.code in MENDABLE and finding.motion >= 0:
        for reading in held.readings[index]:
            motions = reading.trace.motions
            if finding.motion >= len(motions):
                continue
            metal = less(setup.metal_before, union(reading.keep.cut.until(finding.motion).cut))
            outline = setup.tool_outlines[motions.tool[finding.motion]]
            if metal.is_empty or outline.is_empty:
                continue
            needed = metal.bounds[2] + air_owed(job, job.setup[index]).along
            for place in (motions.start[finding.motion], motions.end[finding.motion]):
                yield needed - (float(place[0]) + min(0.0, outline.bounds[0]))
