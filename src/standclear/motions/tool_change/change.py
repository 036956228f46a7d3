"""Tool changes: a T word executed, with or without a motion in its block."""

from __future__ import annotations

from standclear.blocks.program import Block, Word
from standclear.motions.coordinates.places import Standing
from standclear.motions.habits import check_change
from standclear.motions.nose.pieces import ON
from standclear.motions.run import Run, cannot_follow, report
from standclear.motions.table import ToolChange, ToolUse
from standclear.motions.tool_change.turret import after_change, find_tool, read_t_word
from standclear.motions.way.ahead import off_contour, settle_for
from standclear.motions.way.move import appear, go, here


def turns_after_motion(run: Run, word: Word, with_motion: bool) -> bool:
    """True where the turret turns once the block's motion is done, in this reading.

    Only a word that brings another station to the work is asked for.
    """
    if not with_motion:
        return False
    call = read_t_word(word.value_text, run.job_tools) if not word.broken else None
    in_use = run.tools[run.state.tool] if run.state.tool >= 0 else None
    if call is None or call.station is None or (in_use and in_use.station == call.station):
        return run.control.tool_with_motion == "after"
    stated = run.control.tool_with_motion
    return run.chooser.value("tool_with_motion", stated, ("before", "after")) == "after"


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
    state.offset_change = state.offset_changes.get(call.offset, (0.0, 0.0))
    if call.station is None:
        return
    if in_use and in_use.station == call.station and call.offset in (0, in_use.offset):
        return
    index, _ = find_tool(run.job_tools, call.station, call.offset)
    settle_for(run, block, "another tool")
    start = here(run)
    old = run.job_tools[in_use.tool] if in_use and in_use.tool >= 0 else None
    new = run.job_tools[index] if index >= 0 else None
    change = after_change(start, old, new, run.machine, run.control.x_words == "diameter")
    state.standing = change.standing
    if change.loss is None:
        check_change(run, block, word, start)
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
    _note_change(run, block, run.tools.index(use))
    state.tool, state.tool_block = run.tools.index(use), block.index
    state.changes += 1
    state.moved_since_change = False
    run.shown = False
    appear(run, block)
    if with_motion and start.exact and _offset_jumps(run):
        _jump(run, block, start)


def _note_change(run: Run, block: Block, tool: int) -> None:
    """Keeps what is in force where a tool is called: what a restart there has to begin with."""
    if not run.emitting:
        return
    state = run.state
    run.changes.append(
        ToolChange(
            row=run.first_row,
            block=block.index,
            tool=tool,
            stops=run.walk.stops,
            in_main=not run.walk.frames and not block.file,
            offset=state.offset,
            inch=state.inch,
            incremental=state.incremental,
            compensated=state.compensation != ON,
            motion=state.motion,
            feed=state.feed,
            feed_mode=state.feed_mode,
            speed=state.speed,
            speed_mode=state.speed_mode,
            clamp=state.clamp,
            spindle=state.spindle,
            coolant=state.coolant,
            variables=run.variables.written(),
        )
    )


def _offset_jumps(run: Run) -> bool:
    """True where the slides jump by the difference of the offsets before the block's motion."""
    stated = run.control.offset_with_motion
    return run.chooser.value("offset_with_motion", stated, ("jump", "with-motion")) == "jump"


def _jump(run: Run, block: Block, programmed: Standing) -> None:
    """The slides jump by the difference of the offsets: the new point takes the old one's place."""
    with off_contour(run):
        go(run, block, programmed, rapid=True)
