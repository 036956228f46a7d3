"""One planted job after the other: the fault, what amending makes of it, and whether that holds."""

from __future__ import annotations

import time
import zlib
from dataclasses import dataclass, replace
from random import Random

import standclear
from planted import bounds, faults
from planted.applied import applied
from planted.bases import Base, base_of, weighty
from planted.faults import Planted
from standclear.findings.finding import Verdict
from standclear.plan.amend.amend import Amendment, amend
from standclear.proof.held import Held
from standclear.proof.result import JobProof
from standclear.report.plan.amending import amendment_json

A_BASE = 4
"""Planted jobs drawn from each base."""
MENDABLE = (
    faults.lowered, faults.lowered, faults.start_near, faults.retreat_removed, faults.exchanged,
    faults.offset_off, faults.thicker,
)  # fmt: skip
TOGETHER = (faults.lowered, faults.start_near, faults.retreat_removed)
"""Faults planted beside one another."""
BOUNDS = (
    bounds.jaws_too_long, bounds.bar_too_thin, bounds.blank_too_short, bounds.reach_too_short,
    bounds.depth_too_great,
)  # fmt: skip
BOUND_SHARE = 0.2
"""Share of planted jobs that no word mends."""
TOGETHER_SHARE = 0.3
DRAWS = 8
"""Draws of a place before a job is given up as one where the fault shows nowhere."""


@dataclass(frozen=True)
class Outcome:
    """What became of one planted job."""

    case: str
    """`SEED.K`: the base's seed, and which of the jobs planted in it."""
    base: str
    kind: str
    """Names of the faults joined by `+`."""
    faults: tuple[str, ...]
    bound: str
    broken: int
    words: int
    """Words changed or put in, sections moved and numbers keyed in."""
    kept: str
    """Empty where every promise was kept; else the one that was not."""
    verdict: str
    mended: bool
    left: tuple[str, ...]
    named: tuple[str, ...]
    """Bounds that the answer names."""
    levels: tuple[str, ...]
    seconds: float

    @property
    def good(self) -> bool:
        """The answer is what the fault asks for."""
        if self.kept:
            return False
        if self.bound:
            return not self.mended and self.bound in self.named
        return self.mended and self.words <= self.broken

    def told(self) -> str:
        """One line for a reader of the run."""
        wanted = self.bound or f"{self.broken} words"
        came = self.kept or (
            f"{self.words} words" if self.mended else f"{self.verdict}, left {', '.join(self.left)}"
        )
        named = f"; names {', '.join(self.named)}" if self.named else ""
        return f"{self.case} ({self.base}): {'; '.join(self.faults)}: {wanted} -> {came}{named}"


def outcomes_of(seed: int) -> list[Outcome]:
    """What becomes of each job planted in the base of a seed; empty where that is not clear."""
    base = base_of(seed)
    if base is None:
        return []
    found = []
    for k in range(A_BASE):
        drawn = draw(base, seed, k)
        if drawn is not None:
            found.append(outcome(f"{seed}.{k}", base, drawn))
    return found


@dataclass(frozen=True)
class Shown:
    """A planted job in which the fault shows, with its proof."""

    kind: str
    planted: Planted
    held: Held
    proof: JobProof


def draw(base: Base, seed: int, k: int) -> Shown | None:
    """A fault, or some, that show; None where none drawn does."""
    rng = Random(zlib.crc32(f"{seed}.{k}".encode()))
    chance = rng.random()
    for _ in range(DRAWS):
        if chance < BOUND_SHARE:
            chosen = [rng.choice(BOUNDS)]
        elif chance < BOUND_SHARE + TOGETHER_SHARE:
            chosen = [rng.choice(TOGETHER) for _ in range(rng.choice((2, 2, 3)))]
        else:
            chosen = [rng.choice(MENDABLE)]
        # Each fault must show by itself, or putting it back would be no word that mends.
        kind = "+".join(plant.__name__ for plant in chosen)
        several = []
        for plant in chosen:
            planted = plant(base, rng)
            shown = None if planted is None else _shown(base, kind, planted)
            if shown is None:
                break
            several.append(shown)
        if len(several) == len(chosen) == 1:
            return several[0]
        if len(several) == len(chosen):
            whole = faults.together(base, [each.planted for each in several])
            if whole is not None:
                return _held(base, kind, whole)
    return None


def _held(base: Base, kind: str, planted: Planted) -> Shown:
    held = standclear.hold(planted.files, base.held)
    return Shown(kind, planted, held, standclear.judge(held, planted.files.job))


def _shown(base: Base, kind: str, planted: Planted) -> Shown | None:
    """The job proved; None where the fault shows nowhere."""
    shown = _held(base, kind, planted)
    if not faults.leaves_shape(base, shown.held):
        return None
    found = {f.code for f in weighty(shown.proof)}
    wanted = SHOWN_BY[planted.bound] if planted.bound else found
    return shown if found & wanted else None


SHOWN_BY = {
    "jaws": {"jaws-near", "jaws-struck"},
    "bar": {"diameter-left-raw"},
    "length": {"face-left-raw", "size-wrong"},
    "tool": {"holder-into-metal"},
    "depth": {"cut-too-deep"},
}
"""For each bound the findings by which it shows."""


def outcome(case: str, base: Base, shown: Shown) -> Outcome:
    """Amends a planted job and holds the answer to what was planted."""
    planted = shown.planted
    begun = time.perf_counter()
    found = amend(shown.held, planted.files.job, shown.proof)
    seconds = time.perf_counter() - begun
    left = tuple(sorted({f.code for f in found.left}))
    return Outcome(
        case, base.name, shown.kind, planted.faults, planted.bound, planted.broken, words_of(found),
        broken_promise(planted, found), found.after.value,
        found.after is Verdict.CLEAR and not found.left, left,
        tuple(sorted({each.bound for each in found.beyond})),
        tuple(sorted({edit.level.value for edit in found.edits})), seconds,
    )  # fmt: skip


def words_of(found: Amendment) -> int:
    """How much an amendment changes: words, words put in, sections moved, numbers keyed in."""
    count = (found.offset is not None) + (found.moved is not None)
    for edit in found.edits:
        blocks = edit.new.split("\n") if not edit.old else [""]
        count += len(blocks)
    return count


def broken_promise(planted: Planted, found: Amendment) -> str:
    """Which promise the answer does not keep: every byte reported, and proved anew as it says."""
    files = planted.files
    told = amendment_json(found, None, [])
    for name, data in files.programs.items():
        mine = [edit for edit in told["edits"] if edit["program"] == name]
        moved = told["moved"] if told["moved"] and told["moved"]["program"] == name else None
        if applied(data, mine, moved) != found.programs.get(name, data):
            return f"{name}: the edits reported are not those made"
    programs = {**files.programs, **found.programs}
    job = files.job if found.offset is None else found.offset.job
    again = replace(files, programs=programs, job=job)
    proof = standclear.judge(standclear.hold(again), job)
    if proof.verdict is not found.after:
        return f"said {found.after}, proved anew {proof.verdict}"
    if [f.code for f in weighty(proof)] != [f.code for f in found.left]:
        return "proved anew, other findings are left"
    return ""
