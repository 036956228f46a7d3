"""One block of a program executed, and where the way goes on."""

from __future__ import annotations

from standclear.blocks.program import Block
from standclear.motions.execute import execute
from standclear.motions.flow.jumps import is_within_bounds, stamp_of
from standclear.motions.flow.macros import call_after_motion, macro_act, run_macro_word
from standclear.motions.flow.outcome import Flow
from standclear.motions.flow.statements import run_statements
from standclear.motions.flow.subprograms import call_subprogram, go_back
from standclear.motions.run import Run, cannot_follow


def block_in_hand(run: Run) -> Block | None:
    """The block to run next; None at the end of the program.

    A file's first program is its main one; what stands behind it is run only where it is called.
    """
    walk, blocks = run.walk, run.program.blocks
    block = blocks[walk.index] if walk.index < len(blocks) else None
    if walk.frames:
        section = run.labels.section
        if block is None or section[block.index] != section[walk.frames[-1].start]:
            return None
        if any(word.letter == "%" and not word.broken for word in block.words):
            return None
    return block


def report_no_return(run: Run) -> None:
    """A called program has come to its end without M99."""
    frame = run.walk.frames[-1]
    call = run.program.blocks[frame.call]
    line = run.program.blocks[frame.start].line
    cannot_follow(
        run,
        call,
        f"what is called here (from line {line} on) comes to an end without M99",
        "end the subprogram with M99",
    )


def advance(run: Run, block: Block) -> Flow:
    """Executes a block whose words carry plain numbers, that no switch takes out."""
    walk = run.walk
    if not is_within_bounds(run, block):
        return Flow(block.index, lost=True)
    if block.label is not None or block.statement:
        walk.passed[block.index] = stamp_of(run)
    if block.statement and block.after_semicolon:
        cannot_follow(run, block, "a statement after ; is not followed")
        return Flow(block.index + 1, lost=True)
    if block.statement:
        return run_statements(run, block)
    if (found := macro_act(run, block)) is not None:
        return run_macro_word(run, block, *found)
    flow = execute(run, block)
    if walk.after_motions is not None:
        flow = call_after_motion(run, block, flow)
    if flow.lost or not (flow.calls or flow.returns):
        return flow
    if (flow.calls and flow.returns) or flow.ended:
        cannot_follow(run, block, "two words in this block say where the program goes on")
        return Flow(flow.next, lost=True)
    onward = call_subprogram(run, block, flow.next) if flow.calls else go_back(run, block)
    return Flow(onward.next, onward.ended, onward.lost, flow.stops)
