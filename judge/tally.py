"""Counts over a run of the judge against the proof, and the conditions under which it counts."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field

from judge.chance import bound_text
from judge.compare import DECIDED, Outcome

LEAST_USES = 20
"""Jobs with each cycle of everyday work."""
LEAST_RARE = 3
"""The same of words that come with a feature."""
CYCLES = {
    **dict.fromkeys(("G70", "G71", "G72", "G74", "G75", "G90", "G94"), LEAST_USES),
    **dict.fromkeys(("G32", "G73", "G76", "G83", "G84", "G92", "G41", "G42", "G10", "G52", "G53",
                     "G65", "G66", "M98", "M99", "IF", "WHILE", "#", ",C", "G71 away"),
                    LEAST_RARE),
}  # fmt: skip


@dataclass
class Tally:
    """Counts over a run."""

    kinds: Counter[str] = field(default_factory=Counter)
    judged: Counter[str] = field(default_factory=Counter)
    cycles: Counter[str] = field(default_factory=Counter)
    told: dict[str, Counter[str]] = field(default_factory=dict)
    """For each cycle or word: how many of its jobs ended in each kind."""
    both: Counter[str] = field(default_factory=Counter)
    """Of the jobs that agree, how many end in which verdict."""
    judge_seconds: float = 0.0
    proof_seconds: float = 0.0

    def add(self, outcome: Outcome) -> None:
        """Counts one job."""
        self.kinds[outcome.kind] += 1
        self.judged[outcome.judged] += 1
        if outcome.kind == "agree":
            self.both[outcome.judged] += 1
        self.cycles.update(outcome.cycles)
        for word in outcome.cycles:
            self.told.setdefault(word, Counter())[outcome.kind] += 1
        self.judge_seconds += outcome.judge_seconds
        self.proof_seconds += outcome.proof_seconds

    @property
    def count(self) -> int:
        """Jobs so far."""
        return sum(self.kinds.values())

    def conditions(self) -> list[tuple[str, str, bool]]:
        """Each condition of a run: what is asked, what was found, whether it is met."""
        count = max(1, self.count)
        decided = max(1, sum(self.judged[word] for word in DECIDED))
        shares = [
            ("contact, at least 30 %", self.judged["contact"] / count, 0.30, True),
            ("clear, at least 30 %", self.judged["clear"] / count, 0.30, True),
            ("doubtful, at most 10 %",
             (self.judged["doubtful"] + self.judged["undecided"]) / count, 0.10, False),
            ("unproven where the judge decides, at most 5 %",
             (self.kinds["unproven"] + self.kinds["error"]) / decided, 0.05, False),
        ]  # fmt: skip
        rows = [
            (name, f"{100 * share:.1f} %", share >= bound if least else share <= bound)
            for name, share, bound, least in shares
        ]
        for cycle, least_uses in CYCLES.items():
            uses = self.cycles[cycle]
            rows.append((f"jobs with {cycle}, at least {least_uses}", str(uses),
                         uses >= least_uses))  # fmt: skip
        return rows

    def table(self) -> str:
        """The summary, one line a row."""
        count = max(1, self.count)
        lines = [f"{self.count} jobs"]
        for kind in ("agree", "judged", "needless contact", "false clear", "doubtful",
                     "undecided", "unproven", "error"):  # fmt: skip
            if self.kinds[kind] or kind in ("false clear", "needless contact"):
                lines.append(f"  {kind:<50}{self.kinds[kind]:>8}")
        lines += [f"  {word:<50}{self.judged[word]:>8}" for word in DECIDED]
        for name, seen, trials in self.false_clears():
            lines.append(f"  {name:<50}{bound_text(seen, trials)}")
        for name, found, met in self.conditions():
            lines.append(f"  {name:<50}{found:>8}  {'met' if met else 'NOT MET'}")
        lines += self.by_word()
        lines.append(f"  {'seconds a job, judge':<50}{self.judge_seconds / count:>8.3f}")
        lines.append(f"  {'seconds a job, proof':<50}{self.proof_seconds / count:>8.3f}")
        return "\n".join(lines)

    def false_clears(self) -> list[tuple[str, int, int]]:
        """False clears: among which jobs, how many, of how many."""
        seen = self.kinds["false clear"]
        return [
            ("false clears among jobs that strike", seen, self.both["contact"] + seen),
            ("false clears among jobs proved clear", seen, self.both["clear"] + seen),
        ]

    def by_word(self) -> list[str]:
        """One line for each cycle or word: jobs, and what became of them."""
        names = ("jobs", "agree", "differ", "unproven", "undecided")
        lines = [f"  {'word':<16}" + "".join(f"{name:>10}" for name in names)]
        for word, uses in sorted(self.cycles.items()):
            kinds = self.told[word]
            differ = kinds["false clear"] + kinds["needless contact"]
            open_ones = kinds["doubtful"] + kinds["undecided"]
            unproven = f"{100 * (kinds['unproven'] + kinds['error']) / uses:.0f} %"
            cells = (uses, kinds["agree"], differ, unproven, open_ones)
            lines.append(f"  {word:<16}" + "".join(f"{cell:>10}" for cell in cells))
        return lines


def passed(tally: Tally) -> bool:
    """Whether the run counts and found nothing wrong."""
    wrong = tally.kinds["false clear"] + tally.kinds["error"]
    return wrong == 0 and all(met for _, _, met in tally.conditions())
