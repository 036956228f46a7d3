"""The least edits that make a job clear on the blank in hand, each with its reason and level.

Words first, then blocks put in, both leaving every cut where it is; then the offset, which changes
what each end gives. What is left is said to be beyond edits, with what can mend it.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from standclear.findings.finding import Finding, Measure, Verdict
from standclear.job.models import Job
from standclear.motions.table import Kind, Motions, Trace
from standclear.plan.amend.beyond import Beyond, beyond_edits
from standclear.plan.amend.offset import OffsetChange, offset_change
from standclear.plan.amend.places import NewBlocks, NewWord
from standclear.plan.amend.search import Search, forward, is_better, without_needless
from standclear.plan.amend.trial import (
    BLOCKS,
    Key,
    Trial,
    changed_programs,
    open_spots,
    traces_of,
    weighty,
)
from standclear.proof.held import Held
from standclear.proof.prove import judge
from standclear.proof.result import JobProof

SAME_MM = 1e-6


class Level(StrEnum):
    """What an edit does to the motions."""

    SAME = "same motion"
    AIR = "motion changes in clear air only"
    CUTS = "changes what is cut"


@dataclass(frozen=True, slots=True)
class Edit:
    """One word changed, or blocks put in front of a line; nothing else of the file changes."""

    setup: str
    program: str
    line: int
    column: int
    """Both count from 1, in the program as it stands."""
    old: str
    """Empty where blocks are put in front of `line`."""
    new: str
    """The word, or the blocks with line breaks between."""
    before: str
    """The block as it stands."""
    after: str
    """The block with every edit made to it; for blocks put in, the block as it stands."""
    level: Level
    reason: str
    """May hold `{name}` for any measure, as a finding's sentence."""
    measures: tuple[Measure, ...] = ()


@dataclass(frozen=True)
class Amendment:
    """What was found for a job."""

    before: Verdict
    after: Verdict
    """With every edit and the offset keyed in, proved on the whole job."""
    edits: tuple[Edit, ...]
    offset: OffsetChange | None
    programs: dict[str, bytes]
    """The changed programs, whole, by name."""
    left: tuple[Finding, ...]
    """Findings above `note` that the job does not allow and no edit mends."""
    beyond: tuple[Beyond, ...]
    """What can mend those."""
    not_mended: tuple[str, ...]
    """Sentences: where no edit was proved to help, and why."""


def amend(held: Held, job: Job, proof: JobProof) -> Amendment:
    """The least edits found that free `proof`, which `held` gave of `job`.

    Nothing is written. A job with guesses in it gets none: its words may be right.
    """
    base = Trial({}, held, proof)
    search = Search(base, job, adds_blocks=True)
    found = base
    if not job.guesses and open_spots(base, job):
        trial = without_needless(search, forward(search))
        found = trial if is_better(search, trial) else base
    offset = None
    ended = found.proof
    if not job.guesses and weighty(ended):
        moved = offset_change(found.held, job, ended)
        if moved is not None:
            offset, ended = moved
            found, ended = _still_needed(search, found, offset, ended)
    programs, _ = changed_programs(held, found.words)
    left = weighty(ended)
    return Amendment(
        proof.verdict,
        ended.verdict,
        _edits(search, found),
        offset,
        {name: data for name, data in programs.items() if data != held.files.programs[name]},
        left,
        beyond_edits(job, ended, left),
        tuple(search.stuck.values()) if left else (),
    )


def _still_needed(
    search: Search, found: Trial, offset: OffsetChange, ended: JobProof
) -> tuple[Trial, JobProof]:
    """The changes that are still needed once the offset is keyed in, and the answer then."""
    for key in sorted(found.words, reverse=True):
        fewer = search.try_words({k: w for k, w in found.words.items() if k != key})
        if fewer is None:
            continue
        proof = judge(fewer.held, offset.job)
        if {(f.setup, f.code) for f in weighty(proof)} <= {
            (f.setup, f.code) for f in weighty(ended)
        } and len(weighty(proof)) <= len(weighty(ended)):
            found, ended = fewer, proof
    return found, ended


def _edits(search: Search, found: Trial) -> tuple[Edit, ...]:
    order = {setup.name: k for k, setup in enumerate(search.job.setup)}
    made = []
    for key, (setup, new) in sorted(
        found.words.items(), key=lambda each: (order[each[1][0]], each[0])
    ):
        name, block_number, number = key
        block = search.base.held.programs[name].blocks[block_number]
        level = _level(search, key, (setup, new))
        if isinstance(new, NewBlocks):
            made.append(
                Edit(setup, name, block.line, 1, "", "\n".join(new.texts), block.text, block.text,
                     level, new.reason, new.measures)
            )  # fmt: skip
            continue
        word = block.words[number]
        after = block.raw.decode("latin-1")
        offset = _column_of_block(search, name, block_number)
        for (program, index, k), (_, other) in sorted(found.words.items(), reverse=True):
            if (program, index) == (name, block_number) and k != BLOCKS:
                assert isinstance(other, NewWord)
                start = block.words[k].column - 1 - offset
                after = after[:start] + other.text + after[start + len(block.words[k].text) :]
        made.append(
            Edit(setup, name, word.line, word.column, word.text, new.text, block.text,
                 after.strip(), level, new.reason, new.measures)
        )  # fmt: skip
    return tuple(made)


def _column_of_block(search: Search, name: str, number: int) -> int:
    """How many signs of its line stand in front of a block."""
    blocks = search.base.held.programs[name].blocks
    before, at = 0, number
    while at > 0 and blocks[at - 1].line == blocks[number].line and not blocks[at - 1].file:
        at -= 1
        before += len(blocks[at].raw)
    return before


def _level(search: Search, key: Key, made: tuple[str, NewWord | NewBlocks]) -> Level:
    """What one edit alone does to the motions."""
    held = search.base.held
    programs, origin = changed_programs(held, {key: made})
    levels = [
        level_between(old.trace, new)
        for olds, news in zip(
            held.readings, traces_of(held, search.job, programs, origin), strict=True
        )
        for old, new in zip(olds, news, strict=True)
    ]
    order = list(Level)
    return max(levels, key=order.index, default=Level.SAME)


def level_between(old: Trace, new: Trace) -> Level:
    """What the change from one trace to the other is, seen by its feeds: none; feeds only begin
    further back on their own lines, or no feed changes; or others."""
    one, other = old.motions, new.motions
    if same_motions(one, other):
        return Level.SAME
    rows, others = (np.flatnonzero(m.kind == Kind.FEED) for m in (one, other))
    if len(rows) != len(others):
        return Level.CUTS
    start, end = one.start[rows], one.end[rows]
    now, end_now = other.start[others], other.end[others]
    if not np.allclose(end, end_now, atol=SAME_MM, rtol=0):
        return Level.CUTS
    way, way_now = end - start, end_now - now
    turned = way[:, 0] * way_now[:, 1] - way[:, 1] * way_now[:, 0]
    longer = (np.abs(way_now) >= np.abs(way) - SAME_MM).all(axis=1)
    along = (np.abs(turned) <= SAME_MM) & (np.sum(way * way_now, axis=1) >= -SAME_MM) & longer
    return Level.AIR if bool(along.all()) else Level.CUTS


def same_motions(one: Motions, other: Motions) -> bool:
    """True where both tables move alike: the same kinds, places, tools, feeds and speeds, row by
    row; blocks may be numbered otherwise."""
    if len(one) != len(other):
        return False
    exact = ("kind", "path", "tool", "call", "variant", "credited", "compensated", "spindle",
             "feed_mode", "speed_mode", "coolant")  # fmt: skip
    near = ("start", "end", "sagitta", "crest", "feed", "speed", "clamp")
    return all(np.array_equal(getattr(one, n), getattr(other, n)) for n in exact) and all(
        np.allclose(getattr(one, n), getattr(other, n), atol=SAME_MM, rtol=0) for n in near
    )
