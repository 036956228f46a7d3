"""The least edits that make a job clear on the blank in hand, each with its reason and level.

Words first, then blocks put in, both leaving every cut where it is; then cuts that run another way
to the same section, a zero keyed in otherwise, another order of tools. Of what is proved clear the
fewest changes are offered; where nothing is, what leaves the least, and what lies beyond edits.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from standclear.findings.finding import Finding, Measure, Severity, Verdict
from standclear.job.models import Job
from standclear.plan.amend.beyond import Beyond, beyond_edits
from standclear.plan.amend.changes import NewBlocks
from standclear.plan.amend.edit import block_with
from standclear.plan.amend.level import Level, level_between
from standclear.plan.amend.offset import OffsetChange, offset_change
from standclear.plan.amend.offset_word import own_offsets
from standclear.plan.amend.order import Moved, Ordered, other_orders
from standclear.plan.amend.search import Search, forward, is_better, without_needless
from standclear.plan.amend.trial import BLOCKS, Key, Trial, changed_programs, open_spots, weighty
from standclear.proof.held import Held, hold
from standclear.proof.prove import judge
from standclear.proof.result import JobProof

MOST_ORDERS = 3
"""Orders of tools in which words are looked for too."""


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
    moved: Moved | None = None
    """Whole lines put elsewhere, after the edits are made."""


@dataclass(frozen=True)
class _Answer:
    """Changes that go together, proved on the whole job."""

    search: Search
    found: Trial
    proof: JobProof
    offset: OffsetChange | None = None
    order: Ordered | None = None

    @property
    def count(self) -> int:
        """Words, blocks put in, sections moved and numbers keyed in."""
        words = sum(
            len(new.texts) if isinstance(new, NewBlocks) else 1
            for _, new in self.found.words.values()
        )
        return words + (self.offset is not None) + (self.order is not None)

    @property
    def is_clean(self) -> bool:
        """Clear, and nothing left to mend."""
        return _is_clean(self.proof)

    @property
    def rank(self) -> tuple[int, int, int]:
        """Less is better: what stops the job, what is left to mend, what is changed."""
        left = weighty(self.proof)
        return sum(f.severity is Severity.STOP or f.unproven for f in left), len(left), self.count


def _is_clean(proof: JobProof) -> bool:
    return proof.verdict is Verdict.CLEAR and not weighty(proof)


def amend(held: Held, job: Job, proof: JobProof) -> Amendment:
    """The least edits found that free `proof`, which `held` gave of `job`.

    Nothing is written. A job with guesses in it gets none: its words may be right.
    """
    best = _best(held, job, proof)
    programs, _ = changed_programs(best.search.base.held, best.found.words)
    left = weighty(best.proof)
    stuck = tuple(best.search.stuck.values()) if left else ()
    last_job = job if best.offset is None else best.offset.job
    return Amendment(
        proof.verdict,
        best.proof.verdict,
        tuple(_edits(best)),
        best.offset,
        {name: data for name, data in programs.items() if data != held.files.programs[name]},
        left,
        beyond_edits(best.found.held, last_job, best.proof, left),
        stuck,
        None if best.order is None else best.order.moved,
    )


def _best(held: Held, job: Job, proof: JobProof) -> _Answer:
    """The answer that leaves the least, with the fewest changes; the first of those alike."""
    base = Trial({}, held, proof)
    nothing = _Answer(Search(base, job, adds_blocks=True), base, proof)
    if job.guesses or not weighty(proof):
        return nothing
    best = nothing
    for answer in _answers(nothing):
        if answer.rank < best.rank or (best is nothing and answer.rank <= best.rank):
            best = answer
        if best.is_clean and best.count <= 1:
            break
    return best


def _answers(nothing: _Answer) -> Iterator[_Answer]:
    """Every kind of change, the mildest first."""
    search = nothing.search
    called = own_offsets(search.base.held, search.job, search.base.proof)
    if called is not None:
        answer = replace(nothing, found=called, proof=called.proof)
        yield answer
        if answer.is_clean:
            return
    words = list(_by_words(nothing))
    yield from words
    # Beside words that mend everything, a zero is worth looking for only if it does so at once.
    keyed = _with_offset(nothing, step_on=not any(each.is_clean for each in words))
    yield from keyed
    mended = [each for each in (*words, *keyed) if each.is_clean]
    if any(each.count <= 1 for each in mended):
        return
    # One section moved is less than several words.
    base = search.base
    orders = [
        _in_order(order, search.job)
        for order in other_orders(base.held, search.job, base.proof)[:MOST_ORDERS]
    ]
    for ordered in orders:
        yield ordered
        if ordered.is_clean:
            return
    if mended:
        return
    for ordered in orders:
        then = list(_by_words(ordered))
        yield from then
        if any(each.is_clean for each in then):
            return
    for each in words:
        if each.found.words:
            yield from _with_offset(each)


def _in_order(order: Ordered, job: Job) -> _Answer:
    """Another order of tools, before any word is changed in it."""
    trial = Trial({}, order.held, order.proof)
    return _Answer(Search(trial, job, adds_blocks=True), trial, order.proof, order=order)


def _by_words(start: _Answer) -> Iterator[_Answer]:
    """Words and blocks: first those that leave every cut where it is, then any that leave the same
    section.

    Where a cut may run another way, a word moved out can take its pass into the air, and the next
    one then has too much to take: so rapids are also led out first.
    """
    for bends, blocks_first in ((False, False), (True, False), (True, True)):
        search = replace(
            start.search, bends=bends, blocks_first=blocks_first, stuck={}, tried={}, spent=0
        )
        if not open_spots(search.base, search.job, search.codes):
            continue
        trial = without_needless(search, forward(search))
        # A cut that runs another way is offered where it leaves nothing open at all.
        if is_better(search, trial) and (not bends or _is_clean(trial.proof)):
            answer = replace(start, search=search, found=trial, proof=trial.proof)
            yield answer
            if answer.is_clean:
                return
        else:
            yield replace(start, search=search)  # with why nothing was found


def _with_offset(start: _Answer, *, step_on: bool = True) -> list[_Answer]:
    """A zero keyed in otherwise, with the changes that are still needed then."""
    search, found = start.search, start.found
    if start.is_clean:
        return []
    moved = offset_change(found.held, search.job, start.proof, step_on=step_on)
    if moved is None:
        return []
    offset, ended = moved
    for key in sorted(found.words, reverse=True):
        fewer = search.try_words({k: w for k, w in found.words.items() if k != key})
        if fewer is None:
            continue
        proof = judge(fewer.held, offset.job)
        kinds = {(f.setup, f.code) for f in weighty(proof)}
        if kinds <= {(f.setup, f.code) for f in weighty(ended)} and len(weighty(proof)) <= len(
            weighty(ended)
        ):
            found, ended = fewer, proof
    return [replace(start, found=found, proof=ended, offset=offset)]


def _edits(answer: _Answer) -> Iterator[Edit]:
    """The edits by their places in the program as it stands."""
    search, found = answer.search, answer.found
    order = {setup.name: k for k, setup in enumerate(search.job.setup)}
    for key, (setup, new) in sorted(
        found.words.items(), key=lambda each: (order[each[1][0]], each[0])
    ):
        name, block_number, number = key
        program = search.base.held.programs[name]
        block = program.blocks[block_number]
        level = _level(search, key, found)
        line = block.line
        if answer.order is not None and answer.order.moved.program == name:
            line = answer.order.lines[block_number]
        if isinstance(new, NewBlocks):
            yield Edit(setup, name, line, 1, "", "\n".join(new.texts), block.text, block.text,
                       level, new.reason, new.measures)  # fmt: skip
            continue
        word = block.words[number]
        here = {
            k: other.text
            for (program_name, index, k), (_, other) in found.words.items()
            if (program_name, index) == (name, block_number)
            and k != BLOCKS
            and not isinstance(other, NewBlocks)
        }
        after = block_with(program, block, here)
        yield Edit(setup, name, line, word.column, word.text, new.text, block.text,
                   after, level, new.reason, new.measures)  # fmt: skip


def _level(search: Search, key: Key, found: Trial) -> Level:
    """What one edit alone does to the motions."""
    base = search.base.held
    programs, _ = changed_programs(base, {key: found.words[key]})
    now = hold(replace(base.files, job=search.job, programs=programs), base)
    levels = []
    for olds, news, setup in zip(
        base.readings, now.readings, search.base.proof.setups, strict=True
    ):
        if len(olds) != len(news):
            return Level.CUTS
        levels += [
            level_between(old, new, setup.metal_before) for old, new in zip(olds, news, strict=True)
        ]
    order = list(Level)
    return max(levels, key=order.index, default=Level.SAME)
