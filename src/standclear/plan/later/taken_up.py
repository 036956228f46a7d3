"""Whether a program taken up at a tool call, after some blocks keyed in, does what it did.

The words are put in front of the call in memory, with a label, and the program is traced from a
search for that label. Only where that gives the very motions that follow the call in the whole run
do the words bring back all that the call relies on.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

import numpy as np

from standclear.blocks.program import Program, linked
from standclear.blocks.read import read_program
from standclear.job.models import Job, Machine, Mark, Setup
from standclear.motions.table import Motions, ToolChange, Trace
from standclear.motions.trace import trace_setup
from standclear.plan.later.keyed import InForce, keyed_blocks
from standclear.plan.later.same_motions import Matter, differences
from standclear.proof.held import Held

FIRST_LABEL = 9001
"""Labels put in start here, at the first that the program does not use."""


_FEWER: tuple[Callable[[InForce], InForce], ...] = (
    lambda given: replace(given, clamp=False),
    lambda given: replace(given, spindle=False),
    lambda given: replace(given, feed=False),
    lambda given: replace(given, coolant=False),
    lambda given: replace(given, variables=False),
)


def rows_from(motions: Motions, first: int, end: int | None = None) -> Motions:
    """The rows from `first` up to, not including, `end`."""
    return motions.take(np.arange(first, len(motions) if end is None else end))


def blocks_to_key(
    held: Held, job: Job, setup: int, traces: Sequence[Trace], at: int
) -> tuple[str, ...]:
    """The blocks to key in before set-up number `setup` is taken up at its tool call number `at`;
    empty where none bring back what the call relies on.

    `traces` are the readings of the whole run. Clamp, spindle, feed, coolant and
    variables are named only where the program does not say them itself before it first cuts.
    """
    change = traces[0].changes[at]
    block = held.programs[job.setup[setup].program].blocks[change.block]
    alike = all(len(t.changes) > at and t.changes[at].block == change.block for t in traces)
    if not (alike and change.in_main and not change.compensated and block.line > 0):
        return ()
    assert isinstance(job.machine, Machine)
    given = InForce(change, job.setup[setup].offset, True, True, True, True, True)
    if not _does_the_same(held, job, setup, traces, at, given):
        return ()
    for fewer_of in _FEWER:
        fewer = fewer_of(given)
        if _does_the_same(held, job, setup, traces, at, fewer):
            given = fewer
    return keyed_blocks(given, job.machine)


def _does_the_same(
    held: Held, job: Job, setup: int, traces: Sequence[Trace], at: int, given: InForce
) -> bool:
    assert isinstance(job.machine, Machine)
    name = job.setup[setup].program
    label = _unused_label(held.programs[name])
    keyed = keyed_blocks(given, job.machine)
    text = _with_blocks(held.programs[name], given.change.block, label, keyed)
    if text is None:
        return False
    others = [read_program(held.files.programs[each], each) for each in job.subprograms]
    program = linked(read_program(text, name), others)
    setups = list(job.setup)
    setups[setup] = _marked(job, setup, label, given.change)
    again = trace_setup(program, job.model_copy(update={"setup": setups}), setup)
    return len(again) == len(traces) and all(
        _goes_on_alike(whole, taken, whole.changes[at].row)
        for whole, taken in zip(traces, again, strict=True)
    )


def _goes_on_alike(whole: Trace, taken: Trace, row: int) -> bool:
    """True where `taken` makes the motions of `whole` from `row` on, and follows as much."""
    differ: tuple[Matter, ...] = differences(
        rows_from(whole.motions, row), whole.tools, taken.motions, taken.tools
    )
    lost = {f.code for f in taken.findings if f.unproven}
    return not differ and lost <= {f.code for f in whole.findings if f.unproven}


def _marked(job: Job, setup: int, label: int, change: ToolChange) -> Setup:
    own = job.setup[setup]
    end = own.end
    if end is not None and end.stop is not None:
        if end.stop <= change.stops:
            return own
        end = Mark(stop=end.stop - change.stops)
    return own.model_copy(update={"start": Mark(label=label, reached="search"), "end": end})


def _unused_label(program: Program) -> int:
    used = {block.label for block in program.blocks}
    return next(n for n in range(FIRST_LABEL, FIRST_LABEL + len(used) + 1) if n not in used)


def _with_blocks(program: Program, before: int, label: int, blocks: Sequence[str]) -> bytes | None:
    """The file with the labelled blocks in front of block number `before`; None where that block
    does not begin a line."""
    own = program.own_blocks
    if before > 0 and own[before - 1].line == own[before].line:
        return None
    text = f"N{label} " + "".join(f"{each}\n" for each in blocks)
    head = b"".join(block.raw for block in own[:before])
    tail = b"".join(block.raw for block in own[before:])
    return head + text.encode("ascii") + tail
