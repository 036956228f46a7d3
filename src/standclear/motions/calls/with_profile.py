"""Calls that name a profile: G70, G71, G72 and G73."""

from __future__ import annotations

from standclear.blocks.program import Block
from standclear.motions import cycles
from standclear.motions.block import SortedBlock
from standclear.motions.calls.arguments import argument, kept, standing_for_call
from standclear.motions.calls.lay_out import lay_out
from standclear.motions.checks import check_place
from standclear.motions.profile import block_after_call, find_span, read_profile
from standclear.motions.run import Run, cannot_follow, radial, report
from standclear.motions.words import Act

_ROUGHING = {Act.ROUGH_ALONG: "U", Act.ROUGH_ACROSS: "W"}
"""Roughing cycles and the letter that gives their depth in the first block."""


def rough(run: Run, block: Block, words: SortedBlock, act: Act) -> int:
    """G71 and G72, first and second block; returns the index of the block to go on with."""
    depth_letter = _ROUGHING[act]
    if {"P", "Q"} & words.words.keys():
        check_place(run, block)
    if not {"P", "Q"} & words.words.keys():
        if depth_letter in words.words:
            run.state.depth[act] = abs(argument(run, block, words, depth_letter))
        if "R" in words.words:
            run.state.withdrawal[act] = abs(argument(run, block, words, "R"))
        return block.index + 1
    span = find_span(run, block, words)
    if span is None:
        return block.index + 1
    following = block_after_call(run, block, span)
    run.state.motion_doubtful = True
    if not run.emitting:
        return following
    depth = kept(run, run.state.depth, act, run.control.roughing_depth)
    withdrawal = kept(run, run.state.withdrawal, act, run.control.roughing_withdrawal)
    if not depth or withdrawal is None:
        what = "withdrawal" if depth else "depth of a level"
        report(
            run,
            "cycle-depth-unknown",
            block,
            f"the {what} of this roughing cycle is set neither by the program nor by the job",
            f"write the first block of the cycle with {depth_letter} and R, or state it in the job",
            unproven=True,
        )
        return following
    start = standing_for_call(run, block)
    profile = read_profile(run, block, span) if start else None
    if start is None or profile is None:
        return following
    u = 2 * (radial(run, argument(run, block, words, "U")) or 0.0)
    w = argument(run, block, words, "W")
    cycle = cycles.rough_along if act == Act.ROUGH_ALONG else cycles.rough_across
    lay_out(run, block, act, start, cycle(profile, depth, withdrawal, u, w, run.control))
    return following


def finish(run: Run, block: Block, words: SortedBlock, act: Act) -> int:
    """G70: goes on at the block after it."""
    following = block.index + 1
    check_place(run, block)
    span = find_span(run, block, words)
    run.state.motion_doubtful = True
    if span is None or not run.emitting:
        return following
    start = standing_for_call(run, block)
    profile = read_profile(run, block, span) if start else None
    if start is None or profile is None:
        return following
    for index in range(span.first, span.last + 1):
        inside = run.program.blocks[index]
        if any(word.letter == "T" for word in inside.words):
            cannot_follow(run, inside, "a tool is changed inside the finished profile")
    lay_out(run, block, Act.FINISH, start, cycles.finish(profile, run.control))
    return following
