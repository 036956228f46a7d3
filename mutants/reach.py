"""Which tests run through which lines, so that of a fault only those are asked that can see it.

A test that does not run through the line of a fault cannot see it, unless it starts a process of
its own that does: such tests are not noted. Those that do are asked in turn,
the ones that stand next to the file first, the quick ones before the slow, until what they take
together passes a limit: of a fault in a line that everything runs through not all are asked. What
is left unasked can only make the share of faults that are seen smaller.
"""

from __future__ import annotations

import ast
import json
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path

from mutants.draw import Mutant

NEAR = {
    "blocks": ("blocks", "programs", "motions"),
    "motions": ("motions", "programs"),
    "tools": ("tools",),
    "sweeps": ("sweeps",),
    "proof": ("proof",),
    "audit": ("audit", "certificate"),
}
"""Folders of tests that stand next to a part of the package, asked first."""
FOLDERS = (
    "sweeps", "tools", "motions", "proof", "findings", "examples", "programs", "blocks",
    "certificate", "plan/setting", "audit", "estimate", "plan/windows", "plan/at_machine",
    "plan/later", "plan/first_part", "report",
)  # fmt: skip
"""Folders of tests that are asked at all: those that need neither browser nor other processes."""
LONGEST = 45.0
"""Seconds that the tests asked of one fault may take together, as they were noted."""


@dataclass(frozen=True)
class Reach:
    """What was noted of a run of all tests."""

    seconds: dict[str, float]
    """By name of a test."""
    lines: dict[str, dict[int, tuple[str, ...]]]
    """By file below the package and line: the tests that ran through it."""

    def through(self, path: str, lines: Iterable[int]) -> set[str]:
        """Tests that ran through any of `lines`; of lines that no test is known for, such as those
        that run once when a file is imported, all tests."""
        known = self.lines.get(path, {})
        return {test for line in lines for test in known.get(line, ())} or set(self.seconds)


def read_reach(notes: Sequence[Path]) -> Reach:
    """What `mutants.noting` wrote into `notes`, each of some of the tests."""
    seconds: dict[str, float] = {}
    lines: dict[str, dict[int, tuple[str, ...]]] = {}
    for note in notes:
        noted = json.loads(note.read_text(encoding="utf-8"))
        seconds |= noted["seconds"]
        for path, by_line in noted["lines"].items():
            known = lines.setdefault(path, {})
            for line, tests in by_line.items():
                known[int(line)] = (*known.get(int(line), ()), *tests)
    return Reach(seconds, lines)


def asked(mutant: Mutant, text: str, reach: Reach, longest: float = LONGEST) -> list[str]:
    """Names of the tests that are asked of a fault in the file with this text, in order."""
    near = tuple(f"tests/{folder}/" for folder in NEAR[mutant.path.split("/")[0]])
    through = reach.through(mutant.path, lines_of(text, mutant.line))
    found, taken = [], 0.0
    for test in sorted(through, key=lambda t: (not t.startswith(near), reach.seconds[t], t)):
        if taken + reach.seconds[test] <= longest:
            found.append(test)
            taken += reach.seconds[test]
    return found


def lines_of(text: str, line: int) -> range:
    """Lines of the innermost statement at a line; of one that others stand in, its own alone."""
    best = range(line, line + 1)
    size = None
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, ast.stmt) and node.lineno <= line <= (node.end_lineno or node.lineno):
            body = getattr(node, "body", None)
            last = body[0].lineno - 1 if body else node.end_lineno or node.lineno
            own = range(node.lineno, max(last, node.lineno) + 1)
            if line in own and (size is None or len(own) < size):
                best, size = own, len(own)
    return best
