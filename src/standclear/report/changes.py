"""Words to change, one a line, and what is left once they are changed."""

from __future__ import annotations

from standclear.findings.finding import Finding
from standclear.proof.result import JobProof, WordChange
from standclear.report.sizes import fill
from standclear.report.words import open_findings


def change_reason(change: WordChange, units: str) -> str:
    """What a change brings about, sizes in the job's unit."""
    return fill(change.reason, change.measures, units)


def change_words(change: WordChange, units: str) -> str:
    """`set-up front, line 10: X51. -> X55.   (the cycle then starts ...)`."""
    where = f"set-up {change.setup}, line {change.line}"
    return f"{where}: {change.old} -> {change.new}   ({change_reason(change, units)})"


def changed_words(proof: JobProof) -> str:
    """One sentence: what the job answers with every word changed; empty without changes."""
    if proof.changed is None:
        return ""
    said = f"Proved again with these words: {proof.changed.verdict}"
    if not proof.changed.findings:
        return f"{said}, and nothing else to mend."
    first, after = left_to_cure(proof)
    return f"{said}; what is left to change:" if after or not first else f"{said}, as said above."


def left_to_cure(proof: JobProof) -> tuple[tuple[Finding, ...], tuple[Finding, ...]]:
    """The findings whose own cures still count: those that the words changed leave, or all.

    Apart: those of set-ups before the first that has a word to change, and the others.
    """
    left = open_findings(proof) if proof.changed is None else proof.changed.findings
    order = [setup.name for setup in proof.setups]
    changed = {change.setup for change in proof.changes}
    at = next((i for i, name in enumerate(order) if name in changed), 0)
    earlier = order[:at]
    return (
        tuple(f for f in left if f.setup in earlier),
        tuple(f for f in left if f.setup not in earlier),
    )
