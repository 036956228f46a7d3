"""What changed since a kept proof, in words."""

from __future__ import annotations

from standclear.plan.later.since import Since
from standclear.report.sizes import length
from standclear.report.text import Line


def since_lines(found: Since, units: str) -> tuple[Line, ...]:
    """A heading, then one line a change; gaps in the job's unit."""
    lines = [
        Line(f"Since {found.proved_at or found.kept}", "heading"),
        Line(f"verdict: {found.old_verdict} -> {found.new_verdict}", found.new_verdict, 2),
        Line(f"was {found.old_headline}", indent=2),
    ]
    for said, names in (
        ("changed", found.changed),
        ("new", found.added),
        ("no longer read", found.gone),
    ):
        if names:
            lines.append(Line(f"{said}: {', '.join(names)}", indent=2))
    if not (found.changed or found.added or found.gone):
        lines.append(Line("every file and the tool itself are the same", indent=2))
    lines += [Line(f"new: {each}", "mend", 2) for each in found.new_findings]
    lines += [Line(f"no longer: {each}", indent=2) for each in found.ended_findings]
    for gap in found.gaps:
        old, new = length(gap.old, units), length(gap.new, units)
        where = f"set-up {gap.setup}, line {gap.line}, {gap.tool}"
        lines.append(Line(f"gap at {where}: {old} -> {new}", indent=2))
    return tuple(lines)
