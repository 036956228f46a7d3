"""Jumps without a condition, and the end that starts the program again.

Whatever leads back to a block that was run before comes round without end: no condition stands on
the way, or the run would have been lost at it. Jumps ahead are not followed.
"""

from __future__ import annotations

import re
from collections.abc import Set

from standclear.blocks.program import Block
from standclear.motions.block import SortedBlock
from standclear.motions.labels import find_label
from standclear.motions.places import at_start
from standclear.motions.run import Run, cannot_follow, place_of, report
from standclear.motions.table import FAR
from standclear.motions.words import Act, meaning_of

_JUMP = re.compile(r"GOTO\s*(\d{1,18})", re.IGNORECASE | re.ASCII)
RETURN = 99


def report_statement(run: Run, block: Block) -> bool:
    """Reports a block of variables or flow words; True where the way on from it is lost."""
    jump = _JUMP.fullmatch(block.statement)
    if jump:
        _report_jump(run, block, int(jump.group(1)), f"GOTO {int(jump.group(1))}")
        return True
    cannot_follow(run, block, "variables and jumps are not followed", "prove it by hand")
    return not block.statement.startswith("#")


def run_again(run: Run, block: Block, words: SortedBlock, used: Set[str]) -> bool:
    """M99 in the main program; True where the pass ends here and the next one can only repeat it.

    With P it is a jump. Without, the program starts again from where the tool stands, with the
    words then in force: from home, and with nothing in force that the first pass began without,
    the next pass is the same as this one.
    """
    target = words.words.get("P")
    if target is not None:
        number = target.number
        if "P" in used or number is None or number < 0 or number != int(number):
            cannot_follow(run, block, "where M99 goes on is not known", word=target)
        else:
            _report_jump(run, block, int(number), f"M99 P{int(number)}")
        return False
    standing, begin = run.state.standing, at_start(run.machine)
    if FAR not in (begin.z, begin.r) or (standing.z, standing.r) != (begin.z, begin.r):
        cannot_follow(
            run,
            block,
            "M99 runs the program again from here: the way from this place to its first motion is "
            "not followed",
            "send the tool home in both axes before M99",
        )
        return False
    state = run.state
    offset_stays = state.offset != begin.offset and not _selects_offset(run)
    if state.incremental or offset_stays or state.motion not in (Act.RAPID, Act.LINE):
        cannot_follow(
            run,
            block,
            "M99 runs the program again, and its top does not undo what is in force here: the next "
            "pass is not the one that is followed",
            "select the work offset at the top of the program, and end it with G00",
        )
        return False
    run.trust("M99 runs the program again from home; every pass meets a fresh blank in its place")
    return True


def _report_jump(run: Run, block: Block, label: int, written: str) -> None:
    index = find_label(run, block, label, written)
    if index is None:
        return
    if index > block.index:
        cannot_follow(
            run,
            block,
            f"{written} leaves out the blocks before N{label}, which is not followed",
            "take those blocks out of the program",
        )
        return
    report(
        run,
        "endless-loop",
        block,
        f"{written} goes back to N{label} every time: the program never comes past this block",
        "take the jump out, or end the program here with M30",
        unproven=True,
        lasting=True,
        related=(place_of(run.program, run.program.blocks[index]),),
    )


def _selects_offset(run: Run) -> bool:
    """True where the program selects a work offset no later than the first block with X or Z."""
    family = run.control.cycle_words
    for block in run.program.blocks:
        numbers = [word.number for word in block.words if word.letter == "G"]
        known = [number for number in numbers if number is not None]
        if any(meaning_of(number, family).act == Act.WORK_OFFSET for number in known):
            return block.delete_level is None
        if {"X", "Z"} & {word.letter for word in block.words}:
            return False
    return False
