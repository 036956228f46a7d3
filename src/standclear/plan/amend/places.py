"""Which words could free a finding, and what they must say: the places that its motion stands at.

A motion inside a cycle starts and ends where the cycle is called; a plain rapid has two ends.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import combinations
from math import ceil

from standclear.findings.finding import Finding, Measure
from standclear.job.models import Job
from standclear.motions.table import Kind, Motions
from standclear.plan.amend.changes import NewWord
from standclear.plan.amend.codes import NOT_FOLLOWED, RUN_IN_SHORT
from standclear.plan.amend.moved_out import CYCLE_STARTS, moved_out
from standclear.plan.amend.words import SAME_MM, Z, outward_text, site_before, value_of
from standclear.proof.approach import Air
from standclear.proof.held import HeldReading
from standclear.proof.result import SetupProof


def choices(
    finding: Finding, reading: HeldReading, setup: SetupProof, air: Air, job: Job
) -> tuple[tuple[NewWord, ...], ...]:
    """Every set of words that might free a finding of `reading`, the least first.

    X before Z: beside the bar the tool is clear all the way to the chuck. Empty where no word of
    a plain rapid places the tool, or every such word already clears the metal by the margin.
    """
    if finding.code == RUN_IN_SHORT:
        return tuple((word,) for word in _run_in(finding, reading.trace.motions, setup, job))
    motions = reading.trace.motions
    motion = finding.motion
    call = int(motions.call[motion]) if motion < len(motions) else -1
    starts = ""
    if finding.code == NOT_FOLLOWED:
        groups, starts = [(motion, motion)], CYCLE_STARTS
    elif call >= 0:
        first = _first_of(motions, call)
        groups = [(first, first)]
    elif motions.kind[motion] == Kind.RAPID:
        begin, end = rapid_of_block(motions, motion)
        groups = [(end + 1, begin), (begin, begin)]
    else:
        groups = [(motion, motion)]
    found: list[tuple[NewWord, ...]] = []
    everything: dict[tuple[int, int], NewWord] = {}
    for place, moment in groups:
        nearest, *others = moved_out(place, moment, reading, setup, air, job, starts)
        fresh = [w for w in nearest if (w.block, w.word) not in everything]
        found += _subsets(fresh)
        found += [some for words in others for some in _subsets(words) if some not in found]
        everything |= {(w.block, w.word): w for w in fresh}
    if len(everything) > 2:
        found.append(tuple(everything.values()))
    return tuple(found)


def _subsets(words: Iterable[NewWord]) -> list[tuple[NewWord, ...]]:
    some = list(words)
    return [c for size in range(1, len(some) + 1) for c in combinations(some, size)]


def _first_of(motions: Motions, call: int) -> int:
    return int((motions.call == call).argmax())


def rapid_of_block(motions: Motions, motion: int) -> tuple[int, int]:
    """First and last row of the rapid that row `motion` is a leg of."""
    begin = end = motion
    block = motions.block[motion]

    def same(row: int) -> bool:
        return bool(
            motions.block[row] == block
            and motions.kind[row] == Kind.RAPID
            and motions.call[row] < 0
        )

    while begin > 0 and same(begin - 1):
        begin -= 1
    while end + 1 < len(motions) and same(end + 1):
        end += 1
    return begin, end


def _run_in(finding: Finding, motions: Motions, setup: SetupProof, job: Job) -> Iterator[NewWord]:
    """The word that a thread begins at, further from the metal: as far as is asked for, and by
    whole leads, which keeps it in step with passes that other words place."""
    row = finding.motion
    if motions.end[row, Z] > motions.start[row, Z]:
        return  # cut away from the chuck: further back is towards the jaws
    value = {m.name: float(m.value) for m in finding.measures}
    call = int(motions.call[row])
    first = _first_of(motions, call) if call >= 0 else row
    site = site_before(setup.program, motions, first, Z, job)
    if site is None:
        return
    back = value["wanted"] - value["run_in"]
    word = setup.program.blocks[site.block].words[site.word]
    for by in (back, ceil(back / value["lead"] - SAME_MM) * value["lead"]):
        text = outward_text(word, site, site.mm + by)
        mm = value_of(site, word, text)
        gap = value["run_in"] + mm - site.mm
        measures = (Measure("gap", gap), Measure("lead", value["lead"]))
        reason = "the thread then begins {gap} in front of the metal, at a lead of {lead}"
        yield NewWord(site.block, site.word, text, mm, reason, measures)
