"""A program brought back from the control beside the one that was proved, word by word.

What a difference does is found by making it alone in the old program and tracing that: if the
motions stay, the words move nothing. Only the table of motions decides, never how words look.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from difflib import SequenceMatcher
from enum import StrEnum

from standclear.blocks.program import Block, Program, linked
from standclear.blocks.read import read_program
from standclear.findings.finding import Verdict
from standclear.job.models import Job
from standclear.motions.table import Trace
from standclear.motions.trace import trace_setup
from standclear.plan.later.same_motions import GRAVEST_FIRST, Matter, differences
from standclear.proof.held import Held, hold
from standclear.proof.prove import judge

MOST_TRIED = 100
"""Differences that are traced one by one, from the top; those beyond are traced all together."""


class Kept(StrEnum):
    """What a difference may be besides one in the motions."""

    WORDS = "words"
    """Words that move nothing."""
    SPACING = "spacing"
    """Comments, blanks, line ends and empty lines."""


_Hunk = tuple[int, int, int, int]
"""From and to among the old blocks, from and to among the new ones."""
ORDER: tuple[Matter | Kept, ...] = (*GRAVEST_FIRST, *Kept)


@dataclass(frozen=True)
class Difference:
    """One place where the two programs differ."""

    matter: Matter | Kept
    old_line: int | None
    """None where the old program has nothing there."""
    new_line: int | None
    old: str
    new: str
    alone: bool = True
    """Whether `matter` is this difference's own; else it is the gravest of all beyond the first
    `MOST_TRIED`, of which this is one."""


@dataclass(frozen=True)
class Comparison:
    """The two programs, the gravest difference first."""

    program: str
    differences: tuple[Difference, ...]
    verdict: Verdict
    """Of the job with the program that was brought back."""

    @property
    def moves_alike(self) -> bool:
        """No difference in motion, feed, speed or coolant."""
        return not any(isinstance(each.matter, Matter) for each in self.differences)


def compare(held: Held, job: Job, name: str, new: bytes) -> Comparison:
    """The job's program `name` beside `new`, and the job proved with `new` in its place.

    Raises JobError where the job cannot be held with it.
    """
    old = held.files.programs[name]
    again = hold(replace(held.files, job=job, programs={**held.files.programs, name: new}))
    found = differences_of(held, job, name, old, new)
    return Comparison(name, found, judge(again, job).verdict)


def differences_of(
    held: Held, job: Job, name: str, old: bytes, new: bytes
) -> tuple[Difference, ...]:
    """Every difference between two texts of the job's program `name`, the gravest first."""
    one, other = read_program(old, name).own_blocks, read_program(new, name).own_blocks
    base = _traces(held, job, name, old)
    hunks = list(_hunks(one, other))
    moving = [h for h in hunks if any(_says(b) for b in (*one[h[0] : h[1]], *other[h[2] : h[3]]))]
    whole = _differ(base, _traces(held, job, name, new))
    found: dict[_Hunk, Matter | Kept] = dict.fromkeys(hunks, Kept.SPACING)
    beyond = moving[MOST_TRIED:]
    seen: set[Matter] = set()
    for some in (*((hunk,) for hunk in moving[:MOST_TRIED]), beyond):
        matters = _differ(base, _traces(held, job, name, _mixed(one, other, some)))
        seen.update(matters)
        found.update(dict.fromkeys(some, matters[0] if matters else Kept.WORDS))
    together = [each for each in whole if each not in seen]
    if together:
        # Words that do nothing alone do it together: all of them are suspect.
        idle = [hunk for hunk in moving if found[hunk] is Kept.WORDS]
        found.update(dict.fromkeys(idle, together[0]))
    late = set(beyond)
    told = [
        _difference(found[h], one[h[0] : h[1]], other[h[2] : h[3]], alone=h not in late)
        for h in hunks
    ]
    told += _spaced(one, other)
    return tuple(sorted(told, key=lambda d: (ORDER.index(d.matter), d.old_line or 0)))


def lines_now(name: str, old: bytes, new: bytes) -> dict[int, int]:
    """The line of the new text for each line of the old one whose block is there too, as it was or
    with other words in its place. Lines count from 1."""
    one, other = read_program(old, name).own_blocks, read_program(new, name).own_blocks
    return {
        one[i + n].line: other[k + n].line
        for _, i, j, k, m in _matcher(one, other).get_opcodes()
        if j - i == m - k
        for n in range(j - i)
    }


def _mixed(one: Sequence[Block], other: Sequence[Block], hunks: Sequence[_Hunk]) -> bytes:
    """The old program with the stretches `hunks`, in order, as the new one has them."""
    parts, at = [], 0
    for i, j, k, m in hunks:
        parts += [*one[at:i], *other[k:m]]
        at = j
    return b"".join(block.raw for block in (*parts, *one[at:]))


def _says(block: Block) -> bool:
    return bool(block.words or block.statement)


def _key(block: Block) -> tuple[object, ...]:
    return tuple(w.text for w in block.words), block.statement, block.delete_level


def _matcher(one: Sequence[Block], other: Sequence[Block]) -> SequenceMatcher[tuple[object, ...]]:
    return SequenceMatcher(None, [_key(b) for b in one], [_key(b) for b in other], autojunk=False)


def _hunks(one: Sequence[Block], other: Sequence[Block]) -> Iterator[_Hunk]:
    """Stretches of blocks that differ in words; as many on both sides are taken pair by pair."""
    for tag, i, j, k, m in _matcher(one, other).get_opcodes():
        if tag == "equal":
            continue
        if j - i == m - k:
            yield from ((i + n, i + n + 1, k + n, k + n + 1) for n in range(j - i))
        else:
            yield i, j, k, m


def _spaced(one: Sequence[Block], other: Sequence[Block]) -> list[Difference]:
    """Blocks of the same words that are written with other comments, blanks or line ends."""
    found = []
    for tag, i, j, k, _ in _matcher(one, other).get_opcodes():
        for n in range(j - i if tag == "equal" else 0):
            a, b = one[i + n], other[k + n]
            if a.raw != b.raw:
                found.append(Difference(Kept.SPACING, a.line, b.line, a.text, b.text))
    return found


def _difference(
    matter: Matter | Kept, one: Sequence[Block], other: Sequence[Block], *, alone: bool
) -> Difference:
    old, new = _words_of(one), _words_of(other)
    if len(one) == len(other) == 1:
        a, b = [w.text for w in one[0].words], [w.text for w in other[0].words]
        changed = SequenceMatcher(None, a, b, autojunk=False).get_opcodes()
        parts = [(a[i:j], b[k:m]) for tag, i, j, k, m in changed if tag != "equal"]
        if parts:
            old = " ".join(w for part, _ in parts for w in part)
            new = " ".join(w for _, part in parts for w in part)
    return Difference(
        matter,
        one[0].line if one else None,
        other[0].line if other else None,
        old,
        new,
        alone,
    )


def _words_of(blocks: Sequence[Block]) -> str:
    return " / ".join(block.shown for block in blocks)


def _traces(held: Held, job: Job, name: str, text: bytes) -> list[tuple[Trace, ...]]:
    """The readings of every set-up with `text` as the program `name`."""
    read: dict[str, Program] = {
        each: read_program(text if each == name else data, each)
        for each, data in held.files.programs.items()
    }
    others = [read[each] for each in job.subprograms]
    return [
        trace_setup(linked(read[setup.program], others), job, index)
        for index, setup in enumerate(job.setup)
    ]


def _differ(one: list[tuple[Trace, ...]], other: list[tuple[Trace, ...]]) -> tuple[Matter, ...]:
    """What two runs of the job differ in, the gravest first."""
    found: set[Matter] = set()
    for a, b in zip(one, other, strict=True):
        if len(a) != len(b):
            found.add(Matter.MOTION)
        for x, y in zip(a, b, strict=False):
            found.update(differences(x.motions, x.tools, y.motions, y.tools))
            if _lost(x) != _lost(y):
                found.add(Matter.MOTION)
    return tuple(each for each in GRAVEST_FIRST if each in found)


def _lost(trace: Trace) -> list[tuple[str, int]]:
    return [(f.code, f.motion) for f in trace.findings if f.unproven]
