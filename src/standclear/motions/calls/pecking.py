"""Pecking calls: G74 and G75."""

from __future__ import annotations

from standclear.blocks.program import Block
from standclear.motions import cycles
from standclear.motions.calls.arguments import argument, kept, standing_for_call
from standclear.motions.calls.lay_out import lay_out
from standclear.motions.checks import check_place
from standclear.motions.meaning.block import SortedBlock
from standclear.motions.meaning.words import Act
from standclear.motions.run import Run, cannot_follow, report
from standclear.motions.way.move import AXES, here, target


def peck(run: Run, block: Block, words: SortedBlock, act: Act) -> int:
    """G74 and G75, first and second block, or the second alone with I, K and D for P, Q and R."""
    following = block.index + 1
    if not AXES & words.words.keys():
        if "R" in words.words and not {"P", "Q"} & words.words.keys():
            run.state.withdrawal[act] = abs(argument(run, block, words, "R"))
        else:
            cannot_follow(run, block, "the pecking call does not say where it ends")
        return following
    check_place(run, block)
    if not run.emitting:
        return following
    back = kept(run, run.state.withdrawal, act, run.control.pecking_return)
    if back is None:
        report(
            run,
            "cycle-depth-unknown",
            block,
            "how far each peck comes back is set neither by the program nor by the job",
            "write the first block of the cycle with R, or state pecking_return in the job",
            unproven=True,
        )
        return following
    start = standing_for_call(run, block)
    if start is None:
        return following
    end = target(run, block, words.words, here(run)).position
    if end is None:
        return following
    one_block = {"I", "K", "D"} & words.words.keys()
    if one_block and {"P", "Q", "R"} & words.words.keys():
        cannot_follow(
            run,
            block,
            "the pecking call mixes the words of two ways of writing it: P, Q, R and I, K, D",
            "write step, peck and relief as P, Q and R",
        )
        return following
    letters = "IKD" if one_block else "PQR"
    along_x, along_z, relief = (argument(run, block, words, letter) for letter in letters)
    has_x, has_z = ({"X", "U"} & words.words.keys()), ({"Z", "W"} & words.words.keys())
    if act == Act.PECK_ALONG:
        result = cycles.peck_along(
            start, end, along_x, along_z, back, relief, bool(has_x), run.control
        )
    else:
        result = cycles.peck_across(
            start, end, along_z, along_x, back, relief, bool(has_z), run.control
        )
    lay_out(run, block, act, start, result)
    return following
