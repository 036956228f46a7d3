"""Jobs, bars and programs with their time and cost, to stand side by side."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from standclear.estimate.job_time import JobTime, job_time
from standclear.estimate.taken import all_taken
from standclear.job.models import Job
from standclear.plan.bar_table.table import SAME_MM
from standclear.plan.cost.cost import JobCost, job_cost
from standclear.proof.held import Held, hold
from standclear.proof.prove import judge, other_blank
from standclear.proof.result import JobProof


@dataclass(frozen=True)
class Costed:
    """One column: a job on one bar."""

    title: str
    proof: JobProof
    time: JobTime
    cost: JobCost


def costed(held: Held, job: Job, proof: JobProof, title: str) -> Costed:
    """The column of `job`; `held` and `proof` are its own."""
    time = job_time(job, all_taken(held, job, proof))
    return Costed(title, proof, time, job_cost(job, time))


def with_program(held: Held, name: str, data: bytes) -> Held:
    """The job with other text in place of its program `name`.

    Raises JobError where the job cannot be held with it.
    """
    return hold(replace(held.files, programs={**held.files.programs, name: data}))


USUAL_MM = (
    10, 12, 14, 15, 16, 18, 20, 22, 24, 25, 28, 30, 32, 35, 36, 38, 40, 42, 45, 48, 50, 52, 55, 56,
    60, 63, 65, 70, 75, 80, 85, 90, 95, 100, 110, 120, 130, 140, 150, 160, 180, 200,
)  # fmt: skip
"""Round and square bar that merchants keep; common practice, no source."""
HEXAGON_MM = (10, 12, 13, 14, 17, 19, 22, 24, 27, 30, 32, 36, 41, 46, 50, 55, 60, 65, 70, 75, 80)
"""The same across flats."""
EIGHTH_INCH = 25.4 / 8.0


def bars_beside(
    held: Held, job: Job, proof: JobProof, name: Callable[[float], str]
) -> list[Costed]:
    """The job on its bar, then on the usual bars next to it, thinner and thicker; `name` says a
    size. A tube stands alone: its bore would change too."""
    columns = []
    for size in _beside(job):
        same = abs(size - job.blank.size) < SAME_MM
        other = job if same else other_blank(job, bar=size, length=None, face=None)
        found = proof if same else judge(held, other)
        columns.append(costed(held, other, found, name(size)))
    return columns


def _beside(job: Job) -> list[float]:
    stated, shape = job.blank.size, job.blank.shape
    usual: Sequence[float] = HEXAGON_MM if shape == "hexagon" else USUAL_MM
    if job.units == "inch":
        usual = [EIGHTH_INCH * n for n in range(3, 65)]
    if shape == "tube":
        usual = ()
    thinner = [size for size in usual if size < stated - SAME_MM]
    thicker = [size for size in usual if size > stated + SAME_MM]
    return [stated, *thinner[-1:], *thicker[:1]]
