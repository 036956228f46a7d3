"""M99 at the end of a main program, which runs it again."""

from __future__ import annotations

from standclear.blocks.program import Block
from standclear.motions.coordinates.places import at_start
from standclear.motions.meaning.words import Act, meaning_of
from standclear.motions.nose.pieces import ON
from standclear.motions.run import Run, cannot_follow
from standclear.motions.table import FAR


def run_again(run: Run, block: Block) -> bool:
    """M99 in the main program; True where the pass ends here and the next one can only repeat it.

    The program starts again from where the tool stands, with the words then in force: from home,
    and with nothing in force that the first pass began without, the next pass is the same as this
    one.
    """
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
    if run.walk.after_motions is not None or not run.variables.as_begun():
        cannot_follow(
            run,
            block,
            "M99 runs the program again with other variables, or under a G66: the next pass is not "
            "the one that is followed",
            "set the variables at the top of the program",
        )
        return False
    state = run.state
    offset_stays = state.offset != begin.offset and not _selects_offset(run)
    compensated = state.compensation != ON or state.compensation_doubtful
    if (
        state.incremental
        or offset_stays
        or compensated
        or state.motion not in (Act.RAPID, Act.LINE)
    ):
        cannot_follow(
            run,
            block,
            "M99 runs the program again, and its top does not undo what is in force here: the next "
            "pass is not the one that is followed",
            "select the work offset at the top of the program, and end it with G00 and G40",
        )
        return False
    run.trust("M99 runs the program again from home; every pass meets a fresh blank in its place")
    return True


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
