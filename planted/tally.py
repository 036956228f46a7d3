"""Counts over many planted jobs."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field

from planted.run import Outcome

GOAL = 0.99
"""Share of the mendable that must be mended with no more words than were broken."""


@dataclass
class Tally:
    """What became of the planted jobs so far."""

    jobs: Counter[str] = field(default_factory=Counter)
    good: Counter[str] = field(default_factory=Counter)
    """Both by name of the fault, or by bound."""
    count: int = 0
    mendable: int = 0
    mended: int = 0
    lean: int = 0
    """Mended with no more words than were broken."""
    bound: int = 0
    named: int = 0
    not_kept: int = 0
    seconds: float = 0.0
    longest: float = 0.0

    def add(self, outcome: Outcome) -> None:
        """Counts one job."""
        kind = f"bound: {outcome.bound}" if outcome.bound else outcome.kind
        if "+" in kind:
            kind = f"{kind.count('+') + 1} faults"
        self.jobs[kind] += 1
        self.good[kind] += outcome.good
        self.count += 1
        self.seconds += outcome.seconds
        self.longest = max(self.longest, outcome.seconds)
        self.not_kept += bool(outcome.kept)
        if outcome.bound:
            self.bound += 1
            self.named += outcome.good
        else:
            self.mendable += 1
            self.mended += outcome.mended
            self.lean += outcome.good

    @property
    def passed(self) -> bool:
        """The goal is met and every promise kept."""
        return (
            self.count > 0
            and self.not_kept == 0
            and self.lean >= GOAL * self.mendable
            and self.named >= GOAL * self.bound
        )

    def table(self) -> str:
        """One line a kind of fault, then the sums; the last line says it all."""
        lines = [
            f"  {kind:<28}{self.good[kind]:>6} of {n:>5}" for kind, n in self.jobs.most_common()
        ]
        lines.append(f"  seconds to amend one: {self.seconds / max(1, self.count):.2f}, "
                     f"longest {self.longest:.1f}")  # fmt: skip
        lines.append(
            f"{self.count} jobs: {self.mended} of {self.mendable} mendable mended "
            f"({_share(self.mended, self.mendable)}), {self.lean} with no more words than were "
            f"broken ({_share(self.lean, self.mendable)}); {self.named} of {self.bound} others "
            f"name their bound; promises not kept: {self.not_kept}"
        )
        return "\n".join(lines)


def _share(part: int, whole: int) -> str:
    return f"{100 * part / max(1, whole):.1f} %"
