"""One block executed: modal words, tool, spindle, motion, stops, in that order."""

from __future__ import annotations

from dataclasses import dataclass

from standclear.blocks.program import Block
from standclear.motions import calls
from standclear.motions.block import SortedBlock, report_left_over, sort_words
from standclear.motions.change import change_tool, turns_after_motion
from standclear.motions.checks import check_place
from standclear.motions.home import go_home, go_to_machine_place
from standclear.motions.jumps import RETURN, report_statement, run_again
from standclear.motions.move import AXES, go, go_arc, here, target
from standclear.motions.places import Standing, offset_name
from standclear.motions.run import Run, cannot_follow, feed_value, spindle_value
from standclear.motions.state import Loss
from standclear.motions.table import FeedMode, SpeedMode, Spindle
from standclear.motions.words import (
    ARCS,
    CALLS_AND_RETURNS,
    COOLANT_OFF,
    COOLANT_ON,
    MOTIONS,
    ONE_SHOTS,
    OPTIONAL_STOP,
    PROGRAM_END,
    SPINDLE_FORWARD,
    SPINDLE_OFF,
    SPINDLE_REVERSE,
    STOP,
    UNFOLLOWED,
    Act,
)

_KNOWN_M = (
    {SPINDLE_FORWARD, SPINDLE_REVERSE, COOLANT_OFF, STOP, OPTIONAL_STOP}
    | COOLANT_ON
    | SPINDLE_OFF
    | PROGRAM_END
    | CALLS_AND_RETURNS
)
_TURNS = frozenset({Act.TURN_PASS, Act.FACE_PASS})
_ARC_WORDS = frozenset("IKR")


@dataclass(frozen=True, slots=True)
class Flow:
    """Where execution goes on, and what the block did to it."""

    next: int
    ended: bool = False
    """The program ends here, as it says."""
    lost: bool = False
    """Where it goes on is not known."""
    stops: int = 0


def execute(run: Run, block: Block) -> Flow:
    """Executes one block that no switch takes out."""
    following = Flow(block.index + 1)
    if block.after_semicolon:
        if block.words or block.statement:
            cannot_follow(
                run,
                block,
                "the text after ; is a comment on some controls and a block on others",
                "write it on a line of its own, or in brackets",
            )
        return following
    if block.statement:
        return Flow(block.index + 1, lost=report_statement(run, block))
    if not block.words:
        return following
    words = sort_words(run, block)
    used: set[str] = set()
    _set_modes(run, block, words, used)
    _set_speed_and_feed(run, words, used)
    moving = _moves(run, words, used)
    tool_word = words.words.get("T")
    if tool_word is not None and not turns_after_motion(run, moving):
        change_tool(run, block, tool_word, with_motion=moving)
    _start_spindle(run, words)
    next_index = _motion(run, block, words, used)
    if tool_word is not None and turns_after_motion(run, moving):
        change_tool(run, block, tool_word, with_motion=False)
    return _stops_and_ends(run, block, words, used, next_index)


def _set_modes(run: Run, block: Block, words: SortedBlock, used: set[str]) -> None:
    """Units, offsets, feed and speed modes, clamp; motion words become modal."""
    state = run.state
    for act, word in words.acts:
        if act in (Act.INCH, Act.MILLIMETRE):
            state.inch, state.unit_stated = act == Act.INCH, True
        elif act == Act.WORK_OFFSET:
            state.offset = offset_name(f"G{int(word.number or 0)}")
        elif act in (Act.ABSOLUTE, Act.INCREMENTAL):
            state.incremental = act == Act.INCREMENTAL
        elif act == Act.FEED_PER_MINUTE:
            state.feed_mode = FeedMode.PER_MIN
        elif act == Act.FEED_PER_REVOLUTION:
            state.feed_mode = FeedMode.PER_REV
        elif act == Act.SURFACE_SPEED:
            state.speed_mode = SpeedMode.SURFACE
        elif act == Act.SPINDLE_SPEED:
            state.speed_mode = SpeedMode.RPM
        elif act == Act.COMPENSATION_OFF:
            state.compensation = False
        elif act == Act.COMPENSATION_ON:
            state.compensation = True
            cannot_follow(
                run,
                block,
                "nose compensation is switched on; the path under it is not followed",
                "prove the block by hand",
                word=word,
                lasting=False,
            )
        elif act == Act.CLAMP_OR_SETTING:
            _clamp_or_setting(run, block, words, used)
        elif act in MOTIONS:
            if act in _TURNS:
                state.single_pass = None
            state.motion, state.motion_doubtful = act, False
    for group in (MOTIONS, ONE_SHOTS):
        acts = words.acts_in(group)
        if len({act for act, _ in acts}) > 1:
            cannot_follow(
                run, block, "two words in this block ask for different motions", word=acts[-1][1]
            )


def _clamp_or_setting(run: Run, block: Block, words: SortedBlock, used: set[str]) -> None:
    speed = words.words.get("S")
    if speed is not None and speed.number is not None:
        run.state.clamp = float(speed.number)
        used.add("S")
    axes = AXES & words.words.keys()
    if axes:
        used.update(axes)
        cannot_follow(
            run,
            block,
            "this block gives the present place new coordinates, which is not followed",
            "set the part zero with a work offset",
        )
        run.state.standing = Standing(None, None, run.state.offset)


def _set_speed_and_feed(run: Run, words: SortedBlock, used: set[str]) -> None:
    feed = words.words.get("F")
    if feed is not None and (value := feed_value(run, feed)) is not None:
        run.state.feed = value
    speed = words.words.get("S")
    if speed is not None and "S" not in used:
        value = spindle_value(run, speed)
        if value is not None:
            run.state.speed = value


def _start_spindle(run: Run, words: SortedBlock) -> None:
    for number, word in words.m_words:
        if number == SPINDLE_FORWARD:
            run.state.spindle = Spindle.FORWARD
        elif number == SPINDLE_REVERSE:
            run.state.spindle = Spindle.REVERSE
        elif number in COOLANT_ON:
            run.state.coolant = True
        elif number not in _KNOWN_M:
            run.trust(f"M{number} (first on line {word.line}) moves nothing")


def _moves(run: Run, words: SortedBlock, used: set[str]) -> bool:
    """True where the block moves the tool besides what its other words do."""
    if words.acts_in({Act.DWELL}):
        return False
    return bool(AXES & words.words.keys() - used) or bool(words.acts_in(ONE_SHOTS))


def _motion(run: Run, block: Block, words: SortedBlock, used: set[str]) -> int:
    """The motion of the block, if any; returns the index of the block to go on with."""
    one_shots = words.acts_in(ONE_SHOTS)
    if one_shots:
        return _one_shot(run, block, words, used, one_shots[-1][0])
    following = block.index + 1
    axes = AXES & words.words.keys() - used
    state = run.state
    new_words = words.acts_in(MOTIONS)
    if new_words and new_words[-1][0] in UNFOLLOWED:
        _not_followed(run, block, words, used, new_words[-1][0])
        return following
    if not axes:
        if state.motion in ARCS and new_words and _ARC_WORDS & words.words.keys():
            used.update(_ARC_WORDS)
            cannot_follow(run, block, "an arc without an end point is not followed")
        return following
    used.update(axes)
    if state.motion in UNFOLLOWED:
        cannot_follow(
            run,
            block,
            "this block repeats a motion that is not followed",
            lasting=False,
            once=f"repeat {state.motion}",
        )
        used.update(words.words.keys())
        if state.motion == Act.THREAD:
            state.standing = target(run, block, words.words, here(run))
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
    if state.motion in _TURNS:
        used.add("R")
        calls.single_pass(run, block, words, state.motion)
        return following
    to = target(run, block, words.words, here(run))
    if state.motion in ARCS:
        used.update(_ARC_WORDS)
        go_arc(run, block, words.words, to, state.motion == Act.ARC_CLOCKWISE)
    else:
        go(run, block, to, rapid=state.motion == Act.RAPID)
    return following


def _one_shot(run: Run, block: Block, words: SortedBlock, used: set[str], act: Act) -> int:
    following = block.index + 1
    axes = AXES & words.words.keys()
    if act == Act.DWELL:
        used.update(frozenset("XUP"))
    elif act == Act.HOME:
        used.update(axes)
        go_home(run, block, words.words)
    elif act == Act.MACHINE_PLACE:
        used.update(axes)
        go_to_machine_place(run, block, words.words)
    elif act in (Act.ROUGH_ALONG, Act.ROUGH_ACROSS):
        used.update(frozenset("PQUWR"))
        if {"P", "Q"} & words.words.keys():
            check_place(run, block)
        following = calls.rough(run, block, words, act)
    elif act == Act.FINISH:
        used.update(frozenset("PQ"))
        check_place(run, block)
        calls.finish(run, block, words)
    elif act in (Act.PECK_ALONG, Act.PECK_ACROSS):
        used.update(frozenset("XUZWPQR"))
        if axes:
            check_place(run, block)
        calls.peck(run, block, words, act)
    else:
        _not_followed(run, block, words, used, act)
    return following


def _not_followed(run: Run, block: Block, words: SortedBlock, used: set[str], act: Act) -> None:
    """A word that could move the tool and is not followed: unproven from here on."""
    word = next(word for each, word in words.acts if each == act)
    cannot_follow(
        run,
        block,
        f"{word.text} is not followed",
        "prove what it moves by hand",
        word=word,
        lasting=act == Act.NOT_FOLLOWED,
    )
    axes = AXES & words.words.keys()
    used.update(words.words.keys())
    if act == Act.THREAD:
        run.state.standing = target(run, block, words.words, here(run))
    elif act == Act.NOT_FOLLOWED and axes:
        run.state.standing = Standing(None, None, run.state.offset)
        run.state.loss = Loss(
            "position-unknown",
            "where the tool stands after a block that is not followed is not known",
            "send the tool to a known place in both axes",
        )


def _stops_and_ends(
    run: Run, block: Block, words: SortedBlock, used: set[str], next_index: int
) -> Flow:
    """Stops, ends and returns; then the words that nothing in the block had a use for."""
    stops, ended, lost = 0, False, False
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
        elif number == RETURN:
            ended = run_again(run, block, words, used)
            lost = not ended
            used.add("P")
        elif number in CALLS_AND_RETURNS:
            cannot_follow(
                run,
                block,
                f"M{number} is not followed",
                "write the blocks in one program",
                word=word,
            )
            lost = True
            used.update("PL")
    report_left_over(run, block, words, used)
    return Flow(next_index, ended, lost, stops)


def _optional_stop(run: Run) -> int:
    """1 where an M01 counts as a stop; that its switch is on may have to be taken on trust."""
    if not run.control.optional_stop_counts or run.control.optional_stop == "off":
        return 0
    if run.control.optional_stop is None and (run.setup.start or run.setup.end):
        run.trusted.setdefault("the switch for optional stops is on, so M01 stops")
    return 1
