"""Macros: G65 calls one with arguments, G66 after each block that moves, G67 ends that.

Letters and their variables, common practice, no source. First list: A to Z without G, L, N, O, P.
Second list: A, B, C and up to ten groups of I, J, K.
"""

from __future__ import annotations

from standclear.blocks.program import Block, Word
from standclear.motions.flow.computed import refuse
from standclear.motions.flow.numbers import FlowFault, Value, written
from standclear.motions.flow.outcome import Flow
from standclear.motions.flow.subprograms import count_of, enter, program_start, whole_word
from standclear.motions.flow.walk import Frame, MacroCall
from standclear.motions.meaning.words import ARCS, CALLS, ONE_SHOTS, STANDING_STILL, Act, meaning_of
from standclear.motions.run import Run, cannot_follow, length, unit_factor

FIRST_LIST = {
    "A": 1, "B": 2, "C": 3, "I": 4, "J": 5, "K": 6, "D": 7, "E": 8, "F": 9, "H": 11, "M": 13,
    "Q": 17, "R": 18, "S": 19, "T": 20, "U": 21, "V": 22, "W": 23, "X": 24, "Y": 25, "Z": 26,
}  # fmt: skip
_GROUPED = "IJK"
_MOST_GROUPS = 10
_WHOLE = frozenset("DHMST")
"""Letters that count nothing in increments."""
_FEEDS = frozenset("EF")
_ACTS = CALLS | {Act.NO_MORE_CALLS}


def macro_act(run: Run, block: Block) -> tuple[Act, Word] | None:
    """The word of a block that calls a macro or ends such calls, if it has one."""
    for word in block.words:
        if word.letter == "G" and word.number is not None and 65 <= word.number <= 67:
            act = meaning_of(word.number, run.control.cycle_words).act
            if act in _ACTS:
                return act, word
    return None


def run_macro_word(run: Run, block: Block, act: Act, word: Word) -> Flow:
    """Executes a block of G65, G66 or G67."""
    following = Flow(block.index + 1)
    try:
        if act == Act.NO_MORE_CALLS:
            _refuse_others(block, word, "NG")
            run.walk.after_motions = None
            return following
        macro = _read_call(run, block, word)
    except FlowFault as fault:
        unknown = next((each for each in block.words if each.broken), word)
        refuse(run, block, f"{word.text.strip()} is not followed: {fault}", unknown)
        return Flow(block.index + 1, lost=True)
    if act == Act.CALL:
        frame = Frame(block.index, block.index + 1, macro.start, macro.count, macro)
        return enter(run, block, frame)
    if run.walk.after_motions is not None or any(f.after_motion for f in run.walk.frames):
        cannot_follow(run, block, "a G66 inside another is not followed", word=word)
        return Flow(block.index + 1, lost=True)
    run.walk.after_motions = macro
    return following


def _read_call(run: Run, block: Block, call: Word) -> MacroCall:
    before = [word.letter for word in block.words[: block.words.index(call)]]
    if any(letter != "N" for letter in before):
        raise FlowFault("words stand before it in the block")
    words = {word.letter: word for word in block.words}
    if "P" not in words:
        raise FlowFault("it names no program")
    start = program_start(run, whole_word(words["P"]))
    arguments = _arguments(run, block, call)
    return MacroCall(block.index, start, count_of(words) or 1, arguments)


def _arguments(run: Run, block: Block, call: Word) -> dict[int, Value]:
    """The locals that a call sets."""
    given: dict[int, Value] = {}
    group, last = 1, ""
    inner = [word for word in block.words if word is not call and word.letter not in "NPL"]
    letters = [word.letter for word in inner]
    in_groups = any(letters.count(letter) > 1 for letter in _GROUPED)
    for word in inner:
        number = FIRST_LIST.get(word.letter)
        if number is None:
            raise FlowFault(f"{word.text.strip()} is no argument")
        if word.letter in _GROUPED:
            if last and word.letter <= last:
                group += 1
                if not in_groups:
                    raise FlowFault("I, J and K out of their order")
            last = word.letter
            number += 3 * (group - 1)
        if group > _MOST_GROUPS:
            raise FlowFault(f"more than {_MOST_GROUPS} groups of I, J and K")
        if number in given:
            raise FlowFault(f"{word.text.strip()} sets #{number}, which is set before it")
        given[number] = _argument(run, block, word)
    return given


def _argument(run: Run, block: Block, word: Word) -> Value:
    if word.number is None:
        raise FlowFault(f"the value of {word.text.strip()} is not known")
    if word.has_point or word.number == 0 or word.letter in _WHOLE:
        return written(float(word.number))
    if word.letter in _FEEDS:
        raise FlowFault(f"what {word.text.strip()} without a point counts differs")
    mm = length(run, block, word)
    assert mm is not None
    # What a float quotient leaves beyond a nanometre is noise.
    return written(round(mm / float(unit_factor(run.state.inch)), 6))


def _refuse_others(block: Block, word: Word, letters: str) -> None:
    for other in block.words:
        if other is not word and other.letter not in letters:
            raise FlowFault(f"{other.text.strip()} stands in its block")


def call_after_motion(run: Run, block: Block, flow: Flow) -> Flow:
    """What G66 has asked for, after a block that moved. What moves more than once or names a place
    without going there is not followed under it."""
    macro = run.walk.after_motions
    letters = {word.letter for word in block.words}
    if macro is None or not letters & set("XZUW") or any(f.after_motion for f in run.walk.frames):
        return flow
    acts = {
        meaning_of(word.number, run.control.cycle_words).act
        for word in block.words
        if word.letter == "G" and word.number is not None
    }
    if acts & STANDING_STILL:
        return flow
    plain = run.state.motion in ARCS | {Act.RAPID, Act.LINE}
    if not plain or acts & (ONE_SHOTS | {Act.CLAMP_OR_SETTING}) or flow != Flow(block.index + 1):
        cannot_follow(run, block, "whether G66 calls its macro after this block is not known")
        return Flow(flow.next, lost=True)
    frame = Frame(block.index, flow.next, macro.start, macro.count, macro, after_motion=True)
    return enter(run, block, frame)
