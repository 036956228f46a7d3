"""Holds the judge's verdict and the proof's side by side over many random jobs.

The only module of the judge that calls the proof, by its public functions. Jobs on which the two
differ are written out.
"""

from __future__ import annotations

import json
import shutil
import tempfile
import time
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from judge.generate import make_job
from judge.replay import Verdict, judge

FINER_MM = (0.02, 0.01, 0.005)
"""A disagreement is judged again with pixels of these sizes, one after the other, before it counts:
what is struck may be thinner than a pixel. Finer ones take seconds and gigabytes."""
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


@dataclass(frozen=True)
class Kind:
    """Which jobs a run is for, and how they are judged."""

    pixel: float = 0.1
    cheap: bool = True
    alone: bool = False
    """Without the proof."""
    only: tuple[str, ...] = ()

    @property
    def row(self) -> dict[str, Any]:
        """As it stands in the head of a log."""
        return {"pixel": self.pixel, "full": not self.cheap, "alone": self.alone,
                "only": list(self.only)}  # fmt: skip

    def files(self, seed: int) -> dict[str, str]:
        """The job of a seed."""
        return make_job(seed, self.cheap, self.only)


def compare(seed: int, asked: Kind) -> Outcome:
    """Judges and proves one random job."""
    return compare_files(asked.files(seed), asked.pixel, asked.alone, seed)


def compare_files(files: dict[str, str], pixel: float, alone: bool = False, seed: int = 0
                  ) -> Outcome:  # fmt: skip
    """Judges and proves a job; a disagreement is judged again by finer pixels, until the two agree,
    the judge cannot tell, or the pixels are as fine as they can be held."""
    begun = time.perf_counter()
    verdict = _judged(files, pixel)
    judged = time.perf_counter()
    proved, note = ("", "") if alone else prove_files(files)
    done = time.perf_counter()
    outcome = _outcome(seed, verdict, proved, note, judged - begun, done - judged)
    for size in (size for size in FINER_MM if size < pixel):
        if outcome.kind not in ("false clear", "needless contact"):
            break
        finer = _judged(files, size)
        if finer.word == "undecided":
            break  # too many pixels to hold: the coarser ones have answered
        outcome = _outcome(seed, finer, proved, note, judged - begun, done - judged)
    return outcome


def _judged(files: dict[str, str], pixel: float) -> Verdict:
    try:
        return judge(files, pixel)
    except Exception as fault:  # a defect of the judge is counted too, and stops no run
        return Verdict("error", reason=f"{type(fault).__name__}: {fault}")


def _outcome(seed: int, verdict: Verdict, proved: str, note: str, judging: float,
             proving: float) -> Outcome:  # fmt: skip
    cycles = tuple(sorted(verdict.used)) if verdict.used else ()
    return Outcome(seed, verdict.word, proved, _note(verdict), note, cycles, judging, proving)


def keep(folder: Path, outcome: Outcome, asked: Kind) -> Path:
    """Writes a disagreement as a job folder with both answers beside it."""
    target = folder / f"{outcome.kind.replace(' ', '-')}-{outcome.seed}"
    write_job(target, asked.files(outcome.seed))
    answers = {
        "seed": outcome.seed, **asked.row,
        "judge": f"{outcome.judged} {outcome.judge_note}".strip(),
        "proof": f"{outcome.proved} {outcome.proof_note}".strip(),
    }  # fmt: skip
    (target / "answers.json").write_text(json.dumps(answers, indent=2) + "\n", encoding="utf-8")
    return target
