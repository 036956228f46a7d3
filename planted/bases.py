"""Jobs to plant faults in: random ones and the examples, proved clear and with nothing to mend.

What a random job has to mend besides clearance (bands, sizes, seats) it is made to allow, and its
margins are set low: its clearance points are drawn nearer than the usual rule wants.
"""

from __future__ import annotations

import tempfile
from dataclasses import dataclass, replace
from pathlib import Path

from judge.compare import write_job
from judge.generate import make_job

import standclear
from standclear.findings.finding import Finding, Severity, Verdict
from standclear.job.models import Job
from standclear.job.models.setup import Allowed, Margin
from standclear.job.read import JobFiles
from standclear.proof.held import Held
from standclear.proof.result import JobProof

EXAMPLES = Path(__file__).parents[1] / "examples"
EXAMPLE_EVERY = 10
"""Of the seeds, one in so many takes an example."""
LOW = Margin(x=0.4, z=0.3, jaws=0.5)
"""Millimetres; `x` on diameter."""


@dataclass(frozen=True)
class Base:
    """A job that is clear, with its proof."""

    name: str
    files: JobFiles
    held: Held
    proof: JobProof

    @property
    def job(self) -> Job:
        """The job itself, in millimetres."""
        return self.files.job

    @property
    def allowed(self) -> frozenset[str]:
        """Codes that the job lets stand."""
        return frozenset(each.code for each in self.job.allow)


def weighty(proof: JobProof) -> list[Finding]:
    """What a setter would have to act on."""
    return [f for f in proof.findings if f.severity > Severity.NOTE and not f.allowed_because]


def base_of(seed: int) -> Base | None:
    """The job of a seed; None where it is not clear as drawn."""
    if seed % EXAMPLE_EVERY == 0:
        names = sorted(p.name for p in EXAMPLES.iterdir() if (p / "job.toml").exists())
        name = names[seed // EXAMPLE_EVERY % len(names)]
        return _proved(name, standclear.read_job(EXAMPLES / name))
    with tempfile.TemporaryDirectory(prefix="planted-") as folder:
        write_job(Path(folder), make_job(seed))
        files = standclear.read_job(folder)
    setups = [setup.model_copy(update={"margin": LOW}) for setup in files.job.setup]
    job = files.job.model_copy(update={"setup": setups})
    return _proved(f"random job {seed}", replace(files, job=job))


def _proved(name: str, files: JobFiles) -> Base | None:
    held = standclear.hold(files)
    proof = standclear.judge(held, files.job)
    if proof.verdict is not Verdict.CLEAR:
        return None
    codes = {f.code for f in weighty(proof) if f.severity is Severity.MEND}
    if codes & {"start-too-near", "approach-too-near"}:
        return None
    if codes:
        allow = [Allowed(code=code, reason="so drawn") for code in sorted(codes)]
        files = replace(files, job=files.job.model_copy(update={"allow": allow}))
        held = replace(held, files=files)
        proof = standclear.judge(held, files.job)
    return None if weighty(proof) else Base(name, files, held, proof)
