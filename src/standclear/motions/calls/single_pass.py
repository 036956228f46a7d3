"""Single-pass calls: G90 and G94."""

from __future__ import annotations

from standclear.blocks.program import Block
from standclear.motions import cycles
from standclear.motions.block import SortedBlock
from standclear.motions.calls.arguments import argument, standing_for_call
from standclear.motions.calls.lay_out import lay_out
from standclear.motions.move import target
from standclear.motions.places import Standing
from standclear.motions.run import Run
from standclear.motions.state import SinglePass
from standclear.motions.step import Position
from standclear.motions.words import Act


def single_pass(run: Run, block: Block, words: SortedBlock, act: Act) -> int:
    """G90 and G94 and their repeats: words left out keep their values, the start stays the same."""
    following = block.index + 1
    given = single_pass_words(run, block, words)
    if given is None or not run.emitting:
        return following
    start, now = given
    cycle = cycles.turn_pass if act == Act.TURN_PASS else cycles.face_pass
    lay_out(run, block, act, start, cycle(start, now.z, now.r, now.taper, run.control))
    return following


def single_pass_words(
    run: Run, block: Block, words: SortedBlock
) -> tuple[Position, SinglePass] | None:
    """S and what a single-pass call or its repeat asks for, kept for the next; None where either is
    not known, which is reported."""
    start = standing_for_call(run, block)
    if start is None:
        return None
    kept = run.state.single_pass
    base = Standing(*start, run.state.offset)
    to = target(run, block, words.words, base)
    if to.position is None:
        return None
    z, r = to.position
    if kept is not None:
        z = z if {"Z", "W"} & words.words.keys() else kept.z
        r = r if {"X", "U"} & words.words.keys() else kept.r
    taper = kept.taper if kept else 0.0
    if "R" in words.words:
        taper = argument(run, block, words, "R")
    run.state.single_pass = SinglePass(z, r, taper)
    return start, run.state.single_pass
