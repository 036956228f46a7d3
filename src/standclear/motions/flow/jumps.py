"""Jumps to labels and back to loops: where they lead, and when they come round without end."""

from __future__ import annotations

from dataclasses import replace

from standclear.blocks.program import Block
from standclear.motions.flow.walk import KEPT_ROWS, MOST_BLOCKS, MOST_ROWS, Stamp
from standclear.motions.labels import find_label
from standclear.motions.meaning.block import is_deleted
from standclear.motions.run import Run, cannot_follow, place_of, report


def stamp_of(run: Run) -> Stamp:
    """What everything that happens from a block on depends on, besides the block."""
    walk = run.walk
    calls = tuple((frame.call, frame.left) for frame in walk.frames)
    return run.variables.changes, walk.stops, walk.after_motions, calls


def jump_to_label(run: Run, block: Block, label: int, written: str) -> int | None:
    """Index of the block to go on with; None where it is not known, or where the jump leads round
    without end, which is reported. `block` stands in the program whose labels count."""
    if label < 0:
        cannot_follow(run, block, f"{written} names no label")
        return None
    index = find_label(run, block, label, written)
    if index is None:
        return None
    if is_deleted(run, run.program.blocks[index]):
        cannot_follow(
            run,
            block,
            f"{written} leads to a block that the block delete switch takes out",
            "put the label into a block without a slash",
        )
        return None
    if run.loops.leads_into(block.index, index):
        cannot_follow(
            run,
            block,
            f"{written} leads into the middle of a loop",
            "let the jump lead to the block of the loop's DO, or out of it",
        )
        return None
    return index if may_go_back(run, block, index, f"{written} goes back to N{label}") else None


def may_go_back(run: Run, block: Block, index: int, does: str) -> bool:
    """False, and reported, where nothing has changed since the block `index` was last run: what
    came of it then comes of it again, without end."""
    if run.walk.passed.get(index) != stamp_of(run):
        return True
    report(
        run,
        "endless-loop",
        block,
        f"{does} every time: the program never comes past this block",
        "take the jump out, or end the program here with M30",
        unproven=True,
        lasting=True,
        related=(place_of(run.program, run.program.blocks[index]),),
    )
    return False


def is_within_bounds(run: Run, block: Block) -> bool:
    """Counts one more executed block; False, and reported, beyond what is followed of one run."""
    run.walk.executed += 1
    if run.walk.executed > MOST_BLOCKS:
        does = f"{MOST_BLOCKS:,} blocks are run before this one, and no end is in sight"
    elif len(run.rows) > MOST_ROWS:
        does = f"more than {MOST_ROWS:,} motions are made before this block"
    else:
        return True
    _cut_short(run)
    report(
        run,
        "endless-loop",
        block,
        does,
        "see that what the loop counts comes to its end",
        unproven=True,
        lasting=True,
    )
    return False


def _cut_short(run: Run) -> None:
    """Leaves the first motions of a run that has gone beyond its bounds."""
    run.rows.keep(KEPT_ROWS)
    count = len(run.rows)
    last = run.rows.last_call()
    run.calls = [call for call in run.calls if call.number <= last]
    run.findings = [replace(f, motion=min(f.motion, count)) for f in run.findings]
    run.first_row = count
