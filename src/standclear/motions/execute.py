"""One block executed: modal words, tool, spindle, motion, stops, in that order."""

from __future__ import annotations

from standclear.blocks.program import Block, Word
from standclear.motions.checks import check_place
from standclear.motions.coordinates.offsets import selected_offset, set_coordinates
from standclear.motions.coordinates.places import Standing
from standclear.motions.dispatch import MODAL, ONE_SHOT
from standclear.motions.flow.outcome import Flow
from standclear.motions.meaning.block import SortedBlock, report_left_over, sort_words
from standclear.motions.meaning.machine_words import meet_machine_word
from standclear.motions.meaning.unfollowed import reason_for
from standclear.motions.meaning.words import (
    ARCS,
    CALL,
    CALLS_AND_RETURNS,
    COMPENSATION,
    COOLANT_OFF,
    COOLANT_ON,
    CUTTING,
    DRILLING,
    LETTERS,
    MOTIONS,
    ONE_SHOTS,
    OPTIONAL_STOP,
    PROGRAM_END,
    RETURN,
    SINGLE_PASSES,
    SPINDLE_FORWARD,
    SPINDLE_OFF,
    SPINDLE_REVERSE,
    STANDING_STILL,
    STOP,
    Act,
)
from standclear.motions.run import Run, cannot_follow, feed_value, spindle_value
from standclear.motions.state import Loss
from standclear.motions.table import FeedMode, SpeedMode, Spindle
from standclear.motions.tool_change.change import change_tool, turns_after_motion
from standclear.motions.way.move import AXES
from standclear.motions.way.straight import begins_by_angle

_KNOWN_M = (
    {SPINDLE_FORWARD, SPINDLE_REVERSE, COOLANT_OFF, STOP, OPTIONAL_STOP}
    | COOLANT_ON
    | SPINDLE_OFF
    | PROGRAM_END
    | CALLS_AND_RETURNS
)
_ARC_WORDS = frozenset("IKR")


def execute(run: Run, block: Block) -> Flow:
    """Executes one block that no switch takes out."""
    following = Flow(block.index + 1)
    if not block.words:
        return following
    words = sort_words(run, block)
    used: set[str] = set()
    _set_modes(run, block, words, used)
    _set_speed_and_feed(run, words, used)
    moving = _moves(run, words, used)
    tool_word = words.words.get("T")
    turns_after = tool_word is not None and turns_after_motion(run, tool_word, moving)
    if tool_word is not None and not turns_after:
        change_tool(run, block, tool_word, with_motion=moving)
    _start_spindle(run, block, words)
    next_index = _motion(run, block, words, used)
    if tool_word is not None and turns_after:
        change_tool(run, block, tool_word, with_motion=False)
    return _stops_and_ends(run, block, words, used, next_index)


def _set_modes(run: Run, block: Block, words: SortedBlock, used: set[str]) -> None:
    """Units, offsets, feed and speed modes, clamp; motion words become modal."""
    state = run.state
    for act, word in words.acts:
        if act in (Act.INCH, Act.MILLIMETRE):
            state.inch, state.unit_stated = act == Act.INCH, True
        elif act in (Act.WORK_OFFSET, Act.FURTHER_OFFSET):
            _select_offset(run, block, words, used, (act, word))
        elif act in (Act.ABSOLUTE, Act.INCREMENTAL):
            state.incremental = act == Act.INCREMENTAL
        elif act == Act.FEED_PER_MINUTE:
            state.feed_mode, state.feed_mode_given = FeedMode.PER_MIN, state.changes
        elif act == Act.FEED_PER_REVOLUTION:
            state.feed_mode, state.feed_mode_given = FeedMode.PER_REV, state.changes
        elif act == Act.SURFACE_SPEED:
            state.speed_mode = SpeedMode.SURFACE
        elif act == Act.SPINDLE_SPEED:
            state.speed_mode = SpeedMode.RPM
        elif act in COMPENSATION:
            state.compensation, state.compensation_block = COMPENSATION[act], block.index
            state.compensation_doubtful = False
        elif act == Act.CANCEL_DRILLING:
            if state.motion in DRILLING:
                state.motion, state.motion_doubtful = Act.RAPID, True
            state.drilling = None
        elif act in (Act.TO_INITIAL_LEVEL, Act.TO_R_LEVEL):
            state.drilling_return = act
        elif act == Act.CLAMP_OR_SETTING:
            _clamp_or_setting(run, block, words, used)
        elif act in MOTIONS:
            if act in SINGLE_PASSES:
                state.single_pass = None
            if act not in DRILLING:
                state.drilling = None
            state.motion, state.motion_doubtful = act, False
    for group in (MOTIONS, ONE_SHOTS):
        acts = words.acts_in(group)
        if len({act for act, _ in acts}) > 1:
            cannot_follow(
                run, block, "two words in this block ask for different motions", word=acts[-1][1]
            )


def _select_offset(
    run: Run, block: Block, words: SortedBlock, used: set[str], selected: tuple[Act, Word]
) -> None:
    act, word = selected
    name = selected_offset(act, word, words.words)
    if name is None:
        cannot_follow(run, block, f"{word.text} names no offset: its P is missing", word=word)
        return
    if act == Act.FURTHER_OFFSET:
        used.add("P")
    run.state.offset = name


def _clamp_or_setting(run: Run, block: Block, words: SortedBlock, used: set[str]) -> None:
    speed = words.words.get("S")
    if speed is not None and speed.number is not None:
        run.state.clamp = float(speed.number)
        used.add("S")
    axes = AXES & words.words.keys()
    if axes:
        used.update(axes)
        set_coordinates(run, block, words)


def _set_speed_and_feed(run: Run, words: SortedBlock, used: set[str]) -> None:
    feed = words.words.get("F")
    if feed is not None and (value := feed_value(run, feed)) is not None:
        run.state.feed = value
        run.state.feed_given = run.state.changes + ("T" in words.words)
    speed = words.words.get("S")
    if speed is not None and "S" not in used:
        value = spindle_value(run, speed)
        if value is not None:
            run.state.speed = value


def _start_spindle(run: Run, block: Block, words: SortedBlock) -> None:
    for number, word in words.m_words:
        if number == SPINDLE_FORWARD:
            run.state.spindle = Spindle.FORWARD
        elif number == SPINDLE_REVERSE:
            run.state.spindle = Spindle.REVERSE
        elif number in COOLANT_ON:
            run.state.coolant = True
        elif number not in _KNOWN_M:
            meet_machine_word(run, block, number, word)


def _moves(run: Run, words: SortedBlock, used: set[str]) -> bool:
    """True where the block moves the tool besides what its other words do."""
    if words.acts_in(STANDING_STILL):
        return False
    return bool(AXES & words.words.keys() - used) or bool(words.acts_in(ONE_SHOTS))


def _motion(run: Run, block: Block, words: SortedBlock, used: set[str]) -> int:
    """The motion of the block, if any; returns the index of the block to go on with."""
    state = run.state
    one_shots = words.acts_in(ONE_SHOTS)
    if one_shots:
        act = one_shots[-1][0]
        if act not in ONE_SHOT:
            return _not_followed(run, block, words, used, act)
        used.update(LETTERS[act])
        if act in CUTTING:
            state.stopped = False
        return ONE_SHOT[act](run, block, words, act)
    following = block.index + 1
    axes = AXES & words.words.keys() - used
    new_words = words.acts_in(MOTIONS)
    if new_words and new_words[-1][0] not in MODAL:
        return _not_followed(run, block, words, used, new_words[-1][0])
    if not axes and not (state.motion == Act.LINE and begins_by_angle(words.words)):
        if state.motion in ARCS and new_words and _ARC_WORDS & words.words.keys():
            used.update(_ARC_WORDS)
            cannot_follow(run, block, "an arc without an end point is not followed")
        return following
    if state.motion not in MODAL:
        cannot_follow(
            run,
            block,
            "this block repeats a motion that is not followed",
            lasting=False,
            once=f"repeat {state.motion}",
        )
        used.update(words.words.keys())
        return following
    if state.motion_doubtful:
        cannot_follow(
            run,
            block,
            "no motion word stands between the cycle and this block: whether it is a rapid or a "
            "feed differs between controls",
            "write the motion word in this block",
            once=f"doubtful {block.index}",
        )
        state.motion_doubtful = False
    check_place(run, block)
    used.update(LETTERS[state.motion])
    if state.motion in CUTTING:
        state.stopped = False
    return MODAL[state.motion](run, block, words, state.motion)


def _not_followed(run: Run, block: Block, words: SortedBlock, used: set[str], act: Act) -> int:
    """A word that could move the tool and is not followed: unproven from here on."""
    word = next(word for each, word in words.acts if each == act)
    why = reason_for(word.letter, word.number)
    lasting = act in (Act.NOT_FOLLOWED, Act.DATA_SETTING, Act.LOCAL_SHIFT)
    cannot_follow(
        run,
        block,
        f"{word.text} is not followed" + (f": {why}" if why else ""),
        "prove what it moves by hand",
        word=word,
        lasting=lasting,
    )
    used.update(words.words.keys())
    if AXES & words.words.keys():
        run.state.standing = Standing(None, None, run.state.offset)
        run.state.loss = Loss(
            "position-unknown",
            "where the tool stands after a block that is not followed is not known",
            "send the tool to a known place in both axes",
        )
    return block.index + 1


def _stops_and_ends(
    run: Run, block: Block, words: SortedBlock, used: set[str], next_index: int
) -> Flow:
    """Stops, ends and returns; then the words that nothing in the block had a use for."""
    stops, ended, lost, calls, returns = 0, False, False, False, False
    for number, word in words.m_words:
        if number in SPINDLE_OFF:
            run.state.spindle = Spindle.STOPPED
        elif number == COOLANT_OFF:
            run.state.coolant = False
        elif number == STOP:
            stops += 1
        elif number == OPTIONAL_STOP:
            stops += _optional_stop(run)
        elif number in PROGRAM_END:
            ended = True
        elif number in CALLS_AND_RETURNS:
            calls, returns = calls or number == CALL, returns or number == RETURN
            letters = frozenset("PLQ" if number == CALL else "P")
            if letters & used & words.words.keys():
                cannot_follow(
                    run,
                    block,
                    f"{word.text} and another word of the block may both have a use for the same "
                    "letter",
                    "write the call or return in a block of its own",
                    word=word,
                )
                lost = True
            used |= letters
    run.state.stopped = run.state.stopped or stops > 0
    report_left_over(run, block, words, used)
    return Flow(next_index, ended, lost, stops, calls, returns)


def _optional_stop(run: Run) -> int:
    """1 where an M01 counts as a stop; that its switch is on may have to be taken on trust."""
    if not run.control.optional_stop_counts or run.control.optional_stop == "off":
        return 0
    if run.control.optional_stop is None and (run.setup.start or run.setup.end):
        run.trusted.setdefault("the switch for optional stops is on, so M01 stops")
    return 1
