"""Blocks put in front of a rapid that strikes: it is led out of the metal first.

One axis a block, in the program's own style: its rapid word, spacing, decimals, line end, and an N
number where the blocks around it carry one and leave one free.
"""

from __future__ import annotations

from collections.abc import Iterator

from standclear.blocks.program import Block, Program
from standclear.findings.finding import Finding, Measure, Quantity
from standclear.job.models import Job
from standclear.motions.table import FAR, Kind, Motions
from standclear.plan.amend.changes import NewBlocks
from standclear.plan.amend.edit import begins_a_line
from standclear.plan.amend.moved_out import beside_of, reach_of
from standclear.plan.amend.places import rapid_of_block
from standclear.plan.amend.words import LETTER, SAME_MM, R, Site, Z, outward_text, site_before
from standclear.proof.approach import Air
from standclear.proof.held import HeldReading
from standclear.proof.result import SetupProof
from standclear.sweeps.areas import less, union


def retreats(
    finding: Finding, reading: HeldReading, setup: SetupProof, air: Air, job: Job
) -> tuple[NewBlocks, ...]:
    """Every way of leading the rapid of a finding out of the metal, the least first; none where
    the motion is no plain rapid of the program's own file."""
    motions, motion = reading.trace.motions, finding.motion
    if motions.call[motion] >= 0 or motions.kind[motion] != Kind.RAPID:
        return ()
    begin, end = rapid_of_block(motions, motion)
    program = setup.program
    block = program.blocks[int(motions.block[motion])]
    if not begins_a_line(program, block) or block.delete_level is not None:
        return ()
    metal = less(setup.metal_before, union(reading.keep.cut.until(begin).cut))
    outline = setup.tool_outlines[motions.tool[begin]]
    if metal.is_empty or outline.is_empty:
        return ()
    reach = reach_of(outline)
    clear = {
        R: metal.bounds[3] + air.across + reach[R],
        Z: metal.bounds[2] + air.along + reach[Z],
    }
    gaps = {R: air.across, Z: air.along}
    start, target = motions.start[begin], motions.end[end]
    beside = beside_of(motions, end + 1)
    out: dict[int, str] = {}
    to_target: dict[int, str] = {}
    for axis in (R, Z):
        site = _model_of(program, motions, begin, axis, job)
        if site is None:
            continue
        word = program.blocks[site.block].words[site.word]
        if start[axis] < clear[axis] - SAME_MM:
            out[axis] = outward_text(word, site, clear[axis])
            if axis == Z and beside is not None:
                out[axis] = outward_text(word, site, beside)
        if abs(target[axis]) < FAR and target[axis] > start[axis] + SAME_MM:
            to_target[axis] = outward_text(word, site, float(target[axis]))
    found = []
    for axes, texts in _ways(out, to_target):
        first = axes[0]
        reason = f"the tool is first led out along {LETTER[first]}"
        measures: tuple[Measure, ...] = ()
        if first == Z and beside is not None and texts[0] == out.get(Z):
            reason += " to where the next pass of the thread begins"
        elif texts[0] == out.get(first):
            reason += ", {gap} clear of the metal" + (" on diameter" if first == R else "")
            gap = gaps[first] * (2 if first == R else 1)
            measures = (Measure("gap", gap, Quantity.DIAMETER if first == R else Quantity.LENGTH),)
        blocks = _as_blocks(program, block, texts)
        if blocks:
            found.append(NewBlocks(block.index, blocks, reason, measures))
    return tuple(found)


def _ways(
    out: dict[int, str], to_target: dict[int, str]
) -> Iterator[tuple[tuple[int, ...], tuple[str, ...]]]:
    """Axes and their words, block by block: one block first, then two."""
    for axis in (R, Z):
        for words in (to_target, out):
            if axis in words:
                yield (axis,), (words[axis],)
    for first, second in ((R, Z), (Z, R)):
        if first in out and (second in to_target or second in out):
            yield (first, second), (out[first], to_target.get(second) or out[second])


def _model_of(program: Program, motions: Motions, row: int, axis: int, job: Job) -> Site | None:
    """The nearest word of a plain rapid that places the tool on `axis`, before `row` or after."""
    rapids = (motions.kind == Kind.RAPID) & (motions.call < 0)
    moves = rapids & (motions.start[:, axis] != motions.end[:, axis])
    rows = [k for k in range(len(motions)) if moves[k]]
    for near in sorted(rows, key=lambda k: (k >= row, abs(k - row))):
        site = site_before(program, motions, near + 1, axis, job)
        if site is not None:
            return site
    return None


def _as_blocks(program: Program, block: Block, texts: tuple[str, ...]) -> tuple[str, ...]:
    """The blocks to put in; none where the program nowhere says its rapid word."""
    rapid = next(
        (w.text for b in program.own_blocks for w in b.words if w.letter == "G" and w.number == 0),
        None,
    )
    if rapid is None:
        return ()
    between = _between(program)
    return numbered(program, block, tuple(rapid + between + text for text in texts))


def numbered(program: Program, block: Block, texts: tuple[str, ...]) -> tuple[str, ...]:
    """`texts` as blocks to put in front of `block`, with N words where those around carry one and
    leave one free."""
    between = _between(program)
    heads = _numbers(program, block, len(texts))
    return tuple(
        head + (between if head else "") + text for head, text in zip(heads, texts, strict=True)
    )


def _between(program: Program) -> str:
    """What stands between two words of the program: a blank or nothing."""
    spaced = any(len(b.words) > 1 and " " in b.text for b in program.own_blocks if not b.comments)
    return " " if spaced else ""


def _numbers(program: Program, block: Block, count: int) -> tuple[str, ...]:
    """N words between those of the blocks around; empty where they carry none or leave none."""
    before = program.blocks[block.index - 1]
    if before.label is None or block.label is None:
        return ("",) * count
    room = block.label - before.label
    taken = {b.label for b in program.blocks if b.label is not None}
    step = room // (count + 1)
    numbers = [before.label + step * (k + 1) for k in range(count)]
    if step < 1 or taken & set(numbers):
        return ("",) * count
    digits = len(next(w.value_text for w in before.words if w.letter == "N"))
    return tuple(f"N{n:0{digits}d}" for n in numbers)
