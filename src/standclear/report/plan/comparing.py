"""A program from the control beside the job's own, in words."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from standclear.plan.later.compare import Comparison
from standclear.report.text import Line


def comparison_lines(found: Comparison, brought: Path) -> tuple[Line, ...]:
    """The verdict with the program `brought` back, then every difference, the gravest first."""
    return tuple(_lines(found, brought))


def _lines(found: Comparison, brought: Path) -> Iterator[Line]:
    count = len(found.differences)
    said = "no difference" if not count else f"{count} difference{'s' * (count > 1)}"
    yield Line(f"{found.verdict}: the job with {brought}; {said} from {found.program}")
    for each in found.differences:
        lines = f"line {each.old_line or '-'} -> {each.new_line or '-'}"
        yield Line(f"{each.matter}, {lines}: {each.old or '-'} -> {each.new or '-'}", indent=2)
