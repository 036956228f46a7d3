"""A program from the control beside the job's own, in words."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from pathlib import Path

from standclear.plan.later.compare import MOST_TRIED, Comparison, Difference
from standclear.plan.later.same_motions import Matter
from standclear.report.lines import Line

MOST_SHOWN = 100
"""Differences told one by one; JSON has them all."""


def comparison_lines(found: Comparison, brought: Path) -> tuple[Line, ...]:
    """The verdict with the program `brought` back, then the differences, the gravest first."""
    count = len(found.differences)
    said = "no difference" if not count else f"{count} difference{'s' * (count > 1)}"
    heading = Line(
        f"{found.verdict}: the job with {brought}; {said} from {found.program}", str(found.verdict)
    )
    return (heading, *difference_lines(found.differences, 2))


def difference_lines(differences: Sequence[Difference], indent: int) -> Iterator[Line]:
    """The first hundred one by one, then how many more there are and of what kind."""
    for each in differences[:MOST_SHOWN]:
        lines = f"line {each.old_line or '-'} -> {each.new_line or '-'}"
        said = f"{each.matter}, {lines}: {each.old or '-'} -> {each.new or '-'}"
        yield Line(said, "mend" if isinstance(each.matter, Matter) else "plain", indent)
    more = Counter(str(each.matter) for each in differences[MOST_SHOWN:])
    if more:
        kinds = ", ".join(f"{count} {matter}" for matter, count in more.items())
        said = f"and {sum(more.values())} more ({kinds}); --json lists them all"
        yield Line(said, "words", indent)
    late = sum(not each.alone for each in differences)
    if late:
        yield Line(
            f"{late} of them lie beyond the first {MOST_TRIED} that were followed one by one: they "
            "were followed together, and each is called by the gravest that they do.",
            "words",
            indent,
        )
