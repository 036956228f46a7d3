"""Holds the judge's verdict and the proof's side by side over many random jobs.

The only module of the judge that calls the proof, by its public functions. A run counts only
under the conditions of `Tally.conditions`; jobs on which the two differ are written out.
"""

from __future__ import annotations

import json
import shutil
import tempfile
import time
from collections import Counter
from collections.abc import Iterable, Iterator
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, field
from pathlib import Path

from judge.generate import make_job
from judge.replay import Verdict, judge

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
FINER = 5.0
"""A disagreement is judged again with pixels finer by this factor before it counts."""
FINEST_MM = 0.02
"""Pixels are made no finer than this: a job would take hours."""
DECIDED = ("contact", "clear")


@dataclass(frozen=True)
class Outcome:
    """One job, judged and, where asked, proved."""

    seed: int
    judged: str
    proved: str
    """`clear`, `contact` or `unproven`; `error` where the proof raised; empty: not asked."""
    judge_note: str
    proof_note: str
    cycles: tuple[str, ...]
    """Cycles and other words of note that it uses."""
    judge_seconds: float
    proof_seconds: float

    @property
    def kind(self) -> str:
        """What the two answers amount to."""
        if self.judged not in DECIDED:
            return self.judged
        if self.proved == "":
            return "judged"
        if self.proved == self.judged:
            return "agree"
        if self.proved in ("unproven", "error"):
            return self.proved
        return "false clear" if self.proved == "clear" else "needless contact"


def prove_files(files: dict[str, str]) -> tuple[str, str]:
    """The proof's verdict on a job, and what it says first; `error` where it raises."""
    import standclear

    folder = Path(tempfile.mkdtemp(prefix="judge-"))
    try:
        write_job(folder, files)
        answer = standclear.prove(standclear.read_job(folder))
        weighty = sorted(answer.findings, key=lambda f: (-f.severity, not f.unproven))
        notes = [f"{f.code} {f.setup} line {f.place.line if f.place else 0}" for f in weighty[:3]]
        return answer.verdict.value, "; ".join(notes)
    except Exception as fault:  # a proof that raises is a defect to report, not to pass on
        return "error", f"{type(fault).__name__}: {fault}"
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def write_job(folder: Path, files: dict[str, str]) -> None:
    """Writes a job's files into a folder, making it where needed."""
    folder.mkdir(parents=True, exist_ok=True)
    for name, text in files.items():
        (folder / name).write_text(text, encoding="ascii")


def _note(verdict: Verdict) -> str:
    if verdict.hit is None:
        return verdict.reason
    hit = verdict.hit
    return f"{hit.setup} line {hit.line} {'rapid' if hit.rapid else 'feed'} into {hit.against}"


def compare(seed: int, pixel: float, cheap: bool, alone: bool, only: tuple[str, ...]) -> Outcome:
    """Judges and proves one random job; a disagreement is judged again by finer pixels."""
    files = make_job(seed, cheap, only)
    begun = time.perf_counter()
    verdict = judge(files, pixel)
    judged = time.perf_counter()
    proved, note = ("", "") if alone else prove_files(files)
    done = time.perf_counter()
    outcome = _outcome(seed, verdict, proved, note, judged - begun, done - judged)
    finest = max(pixel / FINER, FINEST_MM)
    if outcome.kind in ("false clear", "needless contact") and finest < pixel:
        finer = judge(files, finest)
        outcome = _outcome(seed, finer, proved, note, judged - begun, done - judged)
    return outcome


def _outcome(seed: int, verdict: Verdict, proved: str, note: str, judging: float,
             proving: float) -> Outcome:  # fmt: skip
    cycles = tuple(sorted(verdict.used)) if verdict.used else ()
    return Outcome(seed, verdict.word, proved, _note(verdict), note, cycles, judging, proving)


@dataclass
class Tally:
    """Counts over a run."""

    kinds: Counter[str] = field(default_factory=Counter)
    judged: Counter[str] = field(default_factory=Counter)
    cycles: Counter[str] = field(default_factory=Counter)
    told: dict[str, Counter[str]] = field(default_factory=dict)
    """For each cycle or word: how many of its jobs ended in each kind."""
    judge_seconds: float = 0.0
    proof_seconds: float = 0.0

    def add(self, outcome: Outcome) -> None:
        """Counts one job."""
        self.kinds[outcome.kind] += 1
        self.judged[outcome.judged] += 1
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
        for name, found, met in self.conditions():
            lines.append(f"  {name:<50}{found:>8}  {'met' if met else 'NOT MET'}")
        lines += self.by_word()
        lines.append(f"  {'seconds a job, judge':<50}{self.judge_seconds / count:>8.3f}")
        lines.append(f"  {'seconds a job, proof':<50}{self.proof_seconds / count:>8.3f}")
        return "\n".join(lines)

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


def run(seeds: Iterable[int], pixel: float, cheap: bool, alone: bool, workers: int,
        only: tuple[str, ...] = ()) -> Iterator[Outcome]:  # fmt: skip
    """Outcomes in the order of the seeds."""
    if workers <= 1:
        for seed in seeds:
            yield compare(seed, pixel, cheap, alone, only)
        return
    with ProcessPoolExecutor(workers) as pool:
        waiting = [pool.submit(compare, seed, pixel, cheap, alone, only) for seed in seeds]
        for job in waiting:
            yield job.result()


def keep(folder: Path, outcome: Outcome, cheap: bool, only: tuple[str, ...] = ()) -> None:
    """Writes a disagreement as a job folder with both answers beside it."""
    target = folder / f"{outcome.kind.replace(' ', '-')}-{outcome.seed}"
    write_job(target, make_job(outcome.seed, cheap, only))
    answers = {
        "seed": outcome.seed, "cheap": cheap, "only": list(only),
        "judge": f"{outcome.judged} {outcome.judge_note}".strip(),
        "proof": f"{outcome.proved} {outcome.proof_note}".strip(),
    }  # fmt: skip
    (target / "answers.json").write_text(json.dumps(answers, indent=2) + "\n", encoding="utf-8")
