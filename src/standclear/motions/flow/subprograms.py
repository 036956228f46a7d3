"""Subprograms: M98, M99, and where a called program is found.

Forms of M98 are common practice, no source: `P1234 L5`; `P51234`, five times O1234, the last four
digits naming the program; `P1234 Q10`, from label 10 on; `Q10` alone, blocks of the same program.
"""

from __future__ import annotations

from standclear.blocks.program import Block, Word
from standclear.motions.flow.again import run_again
from standclear.motions.flow.computed import refuse
from standclear.motions.flow.jumps import jump_to_label
from standclear.motions.flow.numbers import FlowFault, Value, whole
from standclear.motions.flow.outcome import Flow
from standclear.motions.flow.walk import MOST_CALLS, MOST_MACRO_LEVELS, Frame, MacroCall
from standclear.motions.labels import find_label
from standclear.motions.run import Run, cannot_follow

_FOUR_DIGITS = 10_000


def call_subprogram(run: Run, block: Block, back: int) -> Flow:
    """M98: the program of the P word, or the blocks from the label of the Q word on."""
    words = {word.letter: word for word in block.words}
    try:
        found = _called(run, block, words)
    except FlowFault as fault:
        unknown = next((word for word in words.values() if word.broken), words.get("P"))
        refuse(run, block, f"this call is not followed: {fault}", unknown)
        found = None
    if found is None:
        return Flow(back, lost=True)
    start, count = found
    return enter(run, block, Frame(block.index, back, start, count))


def _called(run: Run, block: Block, words: dict[str, Word]) -> tuple[int, int] | None:
    """Where the called blocks begin and how often they run; None where no such label exists, which
    is reported."""
    count = count_of(words)
    label = whole_word(words["Q"]) if "Q" in words else None
    if "P" not in words:
        if label is None:
            raise FlowFault("it names neither a program nor a label")
        index = find_label(run, block, label, f"Q{label}", words["Q"])
        return None if index is None else (index, count or 1)
    start, count = _start_of(run, whole_word(words["P"]), count)
    if label is not None:
        index = find_label(run, run.program.blocks[start], label, f"Q{label}", words["Q"])
        return None if index is None else (index, count)
    return start, count


def _start_of(run: Run, number: int, count: int | None) -> tuple[int, int]:
    """The program that P names, and how often it runs."""
    counted, short = divmod(number, _FOUR_DIGITS)
    if count is None and counted and short in run.labels.programs:
        if number in run.labels.programs:
            raise FlowFault(f"P{number} names O{number}, or {counted} times O{short:04d}")
        return program_start(run, short), counted
    return program_start(run, number), 1 if count is None else count


def program_start(run: Run, number: int) -> int:
    """Index of the block that begins program O`number`. Raises FlowFault where none or more than
    one of that number is there."""
    at = run.labels.programs.get(number, ())
    if not at:
        raise FlowFault(
            f"O{number:04d} stands neither in this file nor in one that the job names under "
            "subprograms"
        )
    if len(at) > 1:
        raise FlowFault(f"{len(at)} programs are named O{number:04d}")
    return at[0]


def count_of(words: dict[str, Word]) -> int | None:
    """The L word; None where there is none. Raises FlowFault for one that is no count."""
    if "L" not in words:
        return None
    count = whole_word(words["L"])
    if count < 1:
        raise FlowFault("L0 runs the call once or not at all")
    return count


def whole_word(word: Word) -> int:
    """A word's value as a whole number, 0 or more. Raises FlowFault where it is none."""
    if word.number is None:
        raise FlowFault(f"the value of {word.text.strip()} is not known")
    value = whole(Value(float(word.number)), word.text.strip())
    if value < 0:
        raise FlowFault(f"{word.text.strip()} is negative")
    return value


def enter(run: Run, block: Block, frame: Frame) -> Flow:
    """A call begins; lost where calls stand deeper in one another than is followed."""
    walk = run.walk
    macros = sum(each.macro is not None for each in walk.frames) + (frame.macro is not None)
    if len(walk.frames) >= MOST_CALLS or macros > MOST_MACRO_LEVELS:
        most = MOST_CALLS if len(walk.frames) >= MOST_CALLS else MOST_MACRO_LEVELS
        cannot_follow(run, block, f"more than {most} calls stand inside one another here")
        return Flow(frame.back, lost=True)
    walk.frames.append(frame)
    if frame.macro is not None:
        run.variables.enter(frame.macro.arguments)
    return Flow(frame.start)


def go_back(run: Run, block: Block) -> Flow:
    """M99: the next repeat of the call, or back to where it was made; in the main program the
    program runs again."""
    word = next((word for word in block.words if word.letter == "P"), None)
    label = None
    if word is not None:
        try:
            label = whole_word(word)
        except FlowFault as fault:
            refuse(run, block, f"where M99 goes on is not known: {fault}", word)
            return Flow(block.index, lost=True)
    if run.walk.frames:
        return _leave(run, block, label)
    if label is None:
        ended = run_again(run, block)
        return Flow(block.index, ended=ended, lost=not ended)
    index = jump_to_label(run, block, label, f"M99 P{label}")
    return Flow(block.index if index is None else index, lost=index is None)


def _leave(run: Run, block: Block, label: int | None) -> Flow:
    walk = run.walk
    frame = walk.frames[-1]
    if label is not None and (frame.left > 1 or frame.after_motion):
        cannot_follow(run, block, f"M99 P{label} leaves a call that is not yet done")
        return Flow(block.index, lost=True)
    if frame.left > 1:
        frame.left -= 1
        return _repeat(run, block, frame)
    walk.frames.pop()
    if frame.macro is not None:
        run.variables.leave()
    if label is None:
        return Flow(frame.back)
    caller = run.program.blocks[frame.call]
    index = jump_to_label(run, caller, label, f"M99 P{label}")
    return Flow(frame.back if index is None else index, lost=index is None)


def _repeat(run: Run, block: Block, frame: Frame) -> Flow:
    """The next time round. Whether a macro's locals are as its last pass left them or as its call
    gave them differs between controls."""
    if frame.macro is not None:
        if not run.variables.locals_as_begun():
            cannot_follow(
                run,
                block,
                "the macro is repeated, and changes an argument that it goes by: whether the next "
                "pass begins with the old value differs between controls",
                "count in a common variable, or write the calls one by one",
            )
            return Flow(frame.back, lost=True)
        macro: MacroCall = frame.macro
        run.variables.leave()
        run.variables.enter(macro.arguments)
    return Flow(frame.start)
