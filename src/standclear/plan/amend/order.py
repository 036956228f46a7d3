"""Another order of tools: the work of one put in front of another's, where a cut that is needed
first comes later.

A stretch runs from a tool call to the next, or to the stop that ends it. Whole lines move; none is
changed. Each tool then moves as it did, feed by feed, or the order is no answer.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import islice, pairwise

import numpy as np

from standclear.blocks.program import Block, Program
from standclear.findings.finding import Severity
from standclear.job.models import Job
from standclear.motions.table import FAR, Kind, Trace
from standclear.plan.amend.edit import begins_a_line
from standclear.plan.amend.trial import traces_of, weighty
from standclear.proof.held import Held, hold
from standclear.proof.prove import judge
from standclear.proof.result import JobProof

ENDS = (0, 1, 2, 5, 30, 99)
"""M words that end the work of a tool: stops, the end of a program, the spindle stopped."""
ROUGHING = frozenset({"G71", "G72", "G73"})
MOST_ORDERS = 12
"""Orders proved for one job."""


@dataclass(frozen=True, slots=True)
class Moved:
    """Whole lines of a program put in front of another line; nothing else of the file changes."""

    setup: str
    program: str
    first: int
    last: int
    to: int
    """Lines count from 1, in the program as it stands."""
    blocks: tuple[str, ...]
    """The first and the last block that move, and the one that they then stand in front of."""


@dataclass(frozen=True)
class Ordered:
    """A job whose tools come in another order, held and judged."""

    moved: Moved
    held: Held
    proof: JobProof
    lines: tuple[int, ...]
    """For each block of the program's own file: its line in the program as it stands."""


def other_orders(held: Held, job: Job, proof: JobProof) -> tuple[Ordered, ...]:
    """Orders of tools that leave fewer findings and bring no other kind of stop, judged; the best
    first, and of those alike what moves past the fewest blocks."""
    found: list[tuple[tuple[int, int], int, Ordered]] = []
    before = _stops(proof)
    for moved, data, lines in islice(_orders(held, job, proof), MOST_ORDERS):
        programs = {**held.files.programs, moved.program: data}
        traces = traces_of(held, job, programs, {})
        if not _same_work(held, traces):
            continue
        now = hold(replace(held.files, job=job, programs=programs), held)
        if _finished_before_roughed(held, now):
            continue
        answer = judge(now, job)
        if {code for _, code in _stops(answer)} <= {code for _, code in before}:
            left = len(_stops(answer)), len(weighty(answer))
            past = max(moved.first - moved.to, moved.to - moved.last)
            found.append((left, past, Ordered(moved, now, answer, lines)))
    here = len(before), len(weighty(proof))
    return tuple(each for left, _, each in sorted(found, key=lambda f: f[:2]) if left < here)


def _stops(proof: JobProof) -> Counter[tuple[str, str]]:
    return Counter(
        (f.setup, f.code) for f in proof.findings if f.severity is Severity.STOP or f.unproven
    )


def _orders(
    held: Held, job: Job, proof: JobProof
) -> Iterator[tuple[Moved, bytes, tuple[int, ...]]]:
    """Orders in which the tool of a finding changes places with another's, or stands just in front
    of it or after it; those of the first finding first."""
    seen: set[tuple[str, bytes]] = set()
    for finding in weighty(proof):
        place = finding.place
        if place is None:
            continue
        setup = next((s for s in job.setup if s.name == finding.setup), None)
        if setup is None:
            continue
        program = held.programs[setup.program]
        runs = _runs(program)
        own = [k for k, (a, b) in enumerate(runs) if a <= place.block < b]
        # A finding in a subprogram does not tell whose work it is: any may be.
        for one, other in _neighbours(runs, own or range(len(runs))):
            early, late = min(one, other), max(one, other)
            for first, to in ((late, runs[early][0]), (early, runs[late][1])):
                a, b = runs[first]
                blocks = program.own_blocks
                if not begins_a_line(program, blocks[to]):
                    continue
                order = [*range(a), *range(b, len(blocks))]
                at = order.index(to)
                order[at:at] = range(a, b)
                data = b"".join(blocks[k].raw for k in order)
                if (setup.program, data) in seen:
                    continue
                seen.add((setup.program, data))
                shown = (blocks[a].text, blocks[b - 1].text, blocks[to].text)
                moved = Moved(
                    setup.name, setup.program, blocks[a].line, blocks[b - 1].line,
                    blocks[to].line, shown,
                )  # fmt: skip
                yield moved, data, tuple(blocks[k].line for k in order)


def _neighbours(runs: Sequence[tuple[int, int]], own: Iterable[int]) -> list[tuple[int, int]]:
    """Each stretch of `own` with every other that no stop lies between, the nearest first."""
    found = []
    for one in own:
        first = last = one
        while first > 0 and runs[first - 1][1] == runs[first][0]:
            first -= 1
        while last + 1 < len(runs) and runs[last][1] == runs[last + 1][0]:
            last += 1
        found += [(one, other) for other in range(first, last + 1) if other != one]
    return sorted(found, key=lambda pair: abs(pair[0] - pair[1]))


def _runs(program: Program) -> list[tuple[int, int]]:
    """(first block, block after the last) of the work of each tool."""
    blocks = program.own_blocks
    starts = [_with_heading(program, b) for b in blocks if _calls_tool(b)]
    runs = []
    for k, start in enumerate(starts):
        if not begins_a_line(program, blocks[start]):
            return []
        limit = starts[k + 1] if k + 1 < len(starts) else len(blocks)
        call = next(b.index for b in blocks[start:] if _calls_tool(b))
        end = next((b.index for b in blocks[call:limit] if _ends(b)), limit)
        if end < len(blocks):
            runs.append((start, end))
    return runs


def _calls_tool(block: Block) -> bool:
    return any(w.letter == "T" and not w.broken for w in block.words)


def _ends(block: Block) -> bool:
    return any(w.letter == "M" and w.number in ENDS for w in block.words)


def _with_heading(program: Program, block: Block) -> int:
    """The block, or the comment in front of it that says what the tool does."""
    index = block.index
    while index > 1:
        before = program.blocks[index - 1]
        if before.words or before.statement or not before.comments:
            return index
        index -= 1
    return index


def _finished_before_roughed(held: Held, now: Held) -> bool:
    """True where a profile that was roughed before its finish no longer is: the finishing tool
    would take all of the stock, which no limit need be stated against."""
    was, comes = _roughed_first(held), _roughed_first(now)
    return any(was[key] and not comes.get(key, False) for key in was)


def _roughed_first(held: Held) -> dict[tuple[int, str, str], bool]:
    """For each profile that G70 follows, by set-up and by the words that name it: whether a
    roughing cycle of it comes before."""
    found: dict[tuple[int, str, str], bool] = {}
    for index, readings in enumerate(held.readings):
        trace, roughed = readings[0].trace, set[tuple[int, str, str]]()
        blocks = held.programs[held.files.job.setup[index].program].blocks
        for call in trace.calls:
            named = {w.letter: w.value_text for w in blocks[call.block].words if w.letter in "PQ"}
            key = (index, named.get("P", ""), named.get("Q", ""))
            if call.cycle in ROUGHING:
                roughed.add(key)
            elif call.cycle == "G70" and named:
                found[key] = found.get(key, True) and key in roughed
    return found


def _same_work(one: Held, other: tuple[tuple[Trace, ...], ...]) -> bool:
    """True where each tool's motions are the same, in whatever order the tools come."""
    return all(
        len(a) == len(b) and all(_work(x.trace) == _work(y) for x, y in zip(a, b, strict=True))
        for a, b in zip(one.readings, other, strict=True)
    )


def _work(trace: Trace) -> Counter[bytes]:
    """What each tool does between leaving home and going back, as one value to compare."""
    motions = trace.motions
    near = (np.abs(motions.start) < FAR / 2).all(axis=1) & (np.abs(motions.end) < FAR / 2).all(
        axis=1
    )
    work = motions.take(np.flatnonzero(near & (motions.kind != Kind.APPEAR)))
    if len(work) == 0:
        return Counter()
    changes = np.flatnonzero(work.tool[1:] != work.tool[:-1]) + 1
    numbers = ("start", "end", "sagitta", "crest", "feed", "speed")
    names = ("kind", "variant", "credited", "compensated", "spindle", "feed_mode", "speed_mode")
    found: Counter[bytes] = Counter()
    for a, b in pairwise([0, *changes.tolist(), len(work)]):
        said = [str(trace.tools[work.tool[a]]).encode()]
        said += [getattr(work, n)[a:b].tobytes() for n in names]
        said += [(np.round(getattr(work, n)[a:b], 6) + 0.0).tobytes() for n in numbers]
        found[b"|".join(said)] += 1
    return found
