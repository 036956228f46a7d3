"""The work offset called by its word: where another set-up's is in force, its own is called.

The last word that calls an offset in the blocks of the set-up is changed; where there is none, a
block of its own is put in front of the first motion.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from standclear.job.models import Job
from standclear.motions.coordinates.places import offset_name
from standclear.plan.amend.changes import NewBlocks, NewWord
from standclear.plan.amend.codes import WRONG_OFFSET
from standclear.plan.amend.edit import begins_a_line
from standclear.plan.amend.retreats import numbered
from standclear.plan.amend.trial import BLOCKS, Key, Trial, changed_programs
from standclear.proof.held import Held, hold
from standclear.proof.prove import judge
from standclear.proof.result import JobProof

PLAIN = {f"G{n}": n for n in range(54, 60)}
"""Offsets that are called by a word alone."""


def own_offsets(held: Held, job: Job, proof: JobProof) -> Trial | None:
    """The job with every set-up's own offset called, where another is in force; None where none is,
    or no word can call it."""
    made = dict(_changes(held, job, proof))
    if not made:
        return None
    programs, origin = changed_programs(held, made)
    then = hold(replace(held.files, job=job, programs=programs), held)
    return Trial(made, then, judge(then, job), origin)


def _changes(
    held: Held, job: Job, proof: JobProof
) -> Iterator[tuple[Key, tuple[str, NewWord | NewBlocks]]]:
    for finding in proof.findings:
        if finding.code != WRONG_OFFSET or finding.place is None or finding.place.elsewhere:
            continue
        index = next(k for k, setup in enumerate(job.setup) if setup.name == finding.setup)
        setup = job.setup[index]
        own = offset_name(setup.offset)
        if own not in PLAIN:
            continue
        program = held.programs[setup.program]
        until = finding.place.block
        reason = f"part zero of this set-up is in {own}"
        words = [
            (block.index, number, word)
            for block in program.blocks[_first_block(held, job, index) : until + 1]
            for number, word in enumerate(block.words)
            if word.letter == "G" and word.number in PLAIN.values() and not block.file
        ]
        if words:
            block_number, number, word = words[-1]
            text = word.text[: len(word.text) - len(word.value_text)] + own[1:]
            new = NewWord(block_number, number, text, 0.0, reason, ())
            yield (setup.program, block_number, number), (setup.name, new)
            continue
        block = program.blocks[until]
        if begins_a_line(program, block) and block.delete_level is None and not block.file:
            added = NewBlocks(until, numbered(program, block, (own,)), reason, ())
            yield (setup.program, until, BLOCKS), (setup.name, added)


def _first_block(held: Held, job: Job, index: int) -> int:
    """The first block that is not an earlier set-up's."""
    name = job.setup[index].program
    last = [
        int(reading.trace.motions.block.max(initial=-1))
        for before in range(index)
        if job.setup[before].program == name
        for reading in held.readings[before]
    ]
    return max(last, default=-1) + 1
