"""Tool changes: a T word executed, with or without a motion in its block."""

from __future__ import annotations

from standclear.blocks.program import Block, Word
from standclear.motions.move import appear, go, here
from standclear.motions.places import Standing
from standclear.motions.run import Run, cannot_follow, report
from standclear.motions.table import FAR, ToolUse
from standclear.motions.turret import after_change, find_tool, read_t_word


def turns_after_motion(run: Run, with_motion: bool) -> bool:
    """True where the turret turns once the block's motion is done."""
    return with_motion and run.control.tool_with_motion == "after"


def change_tool(run: Run, block: Block, word: Word, *, with_motion: bool) -> None:
    """Calls the tool of a T word; the new tool appears where it then stands, if that is known."""
    call = read_t_word(word.value_text, run.job_tools) if not word.broken else None
    if call is None:
        cannot_follow(
            run,
            block,
            f"which tool {word.text} calls is not known",
            "write station and offset with two digits each",
            word=word,
        )
        return
    state = run.state
    in_use = run.tools[state.tool] if state.tool >= 0 else None
    state.offset_cancelled = call.offset == 0
    if call.station is None:
        return
    if in_use and in_use.station == call.station and call.offset in (0, in_use.offset):
        return
    index, _ = find_tool(run.job_tools, call.station, call.offset)
    if with_motion:
        _check_order(run, block, word)
    start = here(run)
    old = run.job_tools[in_use.tool] if in_use and in_use.tool >= 0 else None
    new = run.job_tools[index] if index >= 0 else None
    change = after_change(start, old, new, run.machine, run.control.x_words == "diameter")
    state.standing = change.standing
    if change.trusted:
        run.trust(change.trusted)
    if change.loss is not None:
        state.loss = change.loss
        if change.standing.z is None and change.standing.r is None:
            report(
                run,
                change.loss.code,
                block,
                change.loss.message,
                change.loss.cure,
                word=word,
                unproven=True,
                once=f"{change.loss}",
            )
    use = ToolUse(index, call.station, call.offset)
    if use not in run.tools:
        run.tools.append(use)
    state.tool, state.tool_block = run.tools.index(use), block.index
    run.shown = False
    appear(run, block)
    if with_motion and run.control.offset_with_motion == "jump" and start.exact:
        _jump(run, block, start)


def _check_order(run: Run, block: Block, word: Word) -> None:
    """A tool called in a block that also moves: what the job leaves open is not followed."""
    state = run.state
    if run.control.tool_with_motion is None:
        cannot_follow(
            run,
            block,
            "a tool is called in a block that also moves: whether the turret turns before or after "
            "the motion differs between controls",
            "call the tool in a block of its own, or state tool_with_motion",
            word=word,
            lasting=False,
        )
    at_home = state.standing.z == FAR and state.standing.r == FAR
    if run.control.offset_with_motion is None and not at_home:
        cannot_follow(
            run,
            block,
            "a tool is called in a block that also moves: whether its offset is taken up by a jump "
            "or with the motion differs between controls",
            "call the tool in a block of its own, or state offset_with_motion",
            word=word,
            lasting=False,
        )


def _jump(run: Run, block: Block, programmed: Standing) -> None:
    """The slides jump by the difference of the offsets: the new point takes the old one's place."""
    go(run, block, programmed, rapid=True)
