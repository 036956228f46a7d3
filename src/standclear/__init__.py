"""Know, before cycle start, that a two-sided turning job is clear with the bar on the bench.

The front door: read a job, prove it, ask the proof about another blank.

    >>> import standclear
    >>> files = standclear.read_job("examples/demo-pin")
    >>> held = standclear.hold(files)
    >>> standclear.judge(held, files.job).verdict
    <Verdict.CLEAR: 'clear'>
    >>> standclear.ask(held, bar=60.0).verdict
    <Verdict.CONTACT: 'contact'>

Names are loaded when they are first used, so that importing the package costs next to nothing.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from standclear.errors import StandclearError
    from standclear.findings.finding import Finding, Severity, Verdict
    from standclear.job.read import JobFiles, read_job
    from standclear.plan.amend.mend import mend
    from standclear.proof.held import Held, hold
    from standclear.proof.prove import ask, judge, prove
    from standclear.proof.result import JobProof, SetupProof, WordChange

__version__ = "0.1.0"

_HOMES = {
    "Finding": "standclear.findings.finding",
    "Held": "standclear.proof.held",
    "JobFiles": "standclear.job.read",
    "JobProof": "standclear.proof.result",
    "SetupProof": "standclear.proof.result",
    "Severity": "standclear.findings.finding",
    "StandclearError": "standclear.errors",
    "Verdict": "standclear.findings.finding",
    "WordChange": "standclear.proof.result",
    "ask": "standclear.proof.prove",
    "hold": "standclear.proof.held",
    "judge": "standclear.proof.prove",
    "mend": "standclear.plan.amend.mend",
    "prove": "standclear.proof.prove",
    "read_job": "standclear.job.read",
}

__all__ = [
    "Finding",
    "Held",
    "JobFiles",
    "JobProof",
    "SetupProof",
    "Severity",
    "StandclearError",
    "Verdict",
    "WordChange",
    "ask",
    "hold",
    "judge",
    "mend",
    "prove",
    "read_job",
]


def __getattr__(name: str) -> Any:
    if name not in _HOMES:
        raise AttributeError(f"module 'standclear' has no attribute '{name}'")
    return getattr(import_module(_HOMES[name]), name)
