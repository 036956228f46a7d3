"""The profile that a cycle call names with P and Q."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from standclear.blocks.program import Block
from standclear.motions.flow.computed import with_numbers
from standclear.motions.flow.dwell import Times, note_dwell
from standclear.motions.labels import find_label
from standclear.motions.meaning.block import (
    SortedBlock,
    is_comment,
    is_deleted,
    report_left_over,
    sort_words,
)
from standclear.motions.meaning.words import (
    ARCS,
    CALLS_AND_RETURNS,
    COMPENSATION,
    FEEDS,
    LETTERS,
    OPTIONAL_STOP,
    PROGRAM_END,
    SPINDLE_FORWARD,
    SPINDLE_OFF,
    SPINDLE_REVERSE,
    STOP,
    Act,
)
from standclear.motions.run import Run, cannot_follow, feed_value, place_of, report, spindle_value
from standclear.motions.state import State
from standclear.motions.step import Profile, ProfileMove
from standclear.motions.table import FeedMode, Kind
from standclear.motions.way.ahead import settle_all
from standclear.motions.way.corners import ANGLE
from standclear.motions.way.drive import Ahead
from standclear.motions.way.move import AXES, arc_of, here, target
from standclear.motions.way.profile_corners import Cornering, with_corners
from standclear.motions.way.straight import begins_by_angle, line_ends

_FOLLOWED = FEEDS | {
    *COMPENSATION,
    Act.RAPID,
    Act.DWELL,
    Act.NOTHING,
    Act.SURFACE_SPEED,
    Act.SPINDLE_SPEED,
    Act.FEED_PER_MINUTE,
    Act.FEED_PER_REVOLUTION,
}
_NOT_IN_PROFILE = (
    CALLS_AND_RETURNS
    | PROGRAM_END
    | SPINDLE_OFF
    | {STOP, OPTIONAL_STOP, SPINDLE_FORWARD, SPINDLE_REVERSE}
)


@dataclass(frozen=True, slots=True)
class Span:
    """Indices of a profile's first and last block."""

    first: int
    last: int


def find_span(run: Run, call: Block, words: SortedBlock) -> Span | None:
    """The blocks from label P to label Q; None where they are not one clear run of blocks, which
    is reported."""
    found: list[int] = []
    for letter in "PQ":
        word = words.words.get(letter)
        if word is None or word.number is None or word.number != int(word.number):
            report(
                run,
                "profile-missing",
                call,
                f"the call has no {letter} word that names a label",
                "write P and Q with the labels of the profile's first and last block",
                unproven=True,
                lasting=True,
            )
            return None
        label = int(word.number)
        index = find_label(run, call, label, f"{letter}{label}", word)
        if index is None:
            return None
        found.append(index)
    if found[1] < found[0] or found[0] <= call.index <= found[1]:
        report(
            run,
            "profile-crossed",
            call,
            "the profile's last block stands before its first"
            if found[1] < found[0]
            else "the call stands inside the profile that it names",
            "let P name the first block of the profile and Q the last",
            unproven=True,
            lasting=True,
            related=tuple(place_of(run.program, run.program.blocks[i]) for i in found),
        )
        return None
    return Span(found[0], found[1])


def block_after_call(run: Run, call: Block, span: Span) -> int:
    """Index of the block that is executed after a roughing call.

    The profile right after the call: the block after Q. Elsewhere: the block after the call, and
    where the way from there runs on into the profile, what happens between is not followed.
    """
    if span.first < call.index:
        return call.index + 1
    between = [b for b in run.program.blocks[call.index + 1 : span.first] if b.words or b.statement]
    if not between:
        return span.last + 1
    if not any(_ends(block) for block in between):
        cannot_follow(
            run,
            call,
            f"{len(between)} blocks stand between the call and its profile: whether they are run "
            "differs between controls",
            "write the profile right after the call",
        )
        return span.last + 1
    return call.index + 1


def _ends(block: Block) -> bool:
    return any(
        word.letter == "M" and word.number is not None and int(word.number) in PROGRAM_END | {99}
        for word in block.words
    )


def read_profile(run: Run, call: Block, span: Span, waits: Times) -> Profile | None:
    """Runs the blocks P to Q from where the tool stands, with a copy of the state. `waits`: how
    often the call makes the waits among them.

    None where the start is not known or nothing moves, which is reported. T words serve finishing
    only, M words that move nothing are passed over.
    """
    start = here(run).position
    if start is None:
        return None
    saved = run.state
    run.state = replace(saved, standing=here(run), motion=saved.motion, ahead=Ahead())
    moves = with_corners(run, start, list(_moves(run, span, waits)))
    settle_all(run)
    side_after = run.state.compensation
    run.state = saved
    if not moves:
        report(
            run,
            "profile-missing",
            call,
            "the profile between the two labels moves nothing",
            "write the profile between the labels P and Q",
            unproven=True,
        )
        return None
    return Profile(start, tuple(moves), side_after)


def _moves(run: Run, span: Span, waits: Times) -> Iterator[Cornering]:
    feed: float | None = None
    feed_mode: FeedMode | None = None
    speed: float | None = None
    for block in run.program.blocks[span.first : span.last + 1]:
        if is_deleted(run, block) or is_comment(run, block):
            continue
        if block.statement:
            cannot_follow(run, block, "this block inside a profile is not followed")
            continue
        words = sort_words(run, with_numbers(run, block))
        _apply_words(run, block, words)
        state = run.state
        if (word := words.words.get("F")) is not None:
            feed, feed_mode = feed_value(run, word), state.feed_mode
        if (word := words.words.get("S")) is not None:
            speed = spindle_value(run, word)
        dwells = bool(words.acts_in({Act.DWELL}))
        used = frozenset("XUP") if dwells else AXES
        if dwells:
            note_dwell(run, block, words.words, times=waits)
        if not dwells and (AXES & words.words.keys() or _begins_line(words, state)):
            used = used | LETTERS.get(state.motion, frozenset())
            for each in _moves_of(run, block, words, state):
                own = replace(each.move, feed=feed, feed_mode=feed_mode, speed=speed)
                yield replace(each, move=own)
        report_left_over(run, block, words, used)


def _begins_line(words: SortedBlock, state: State) -> bool:
    return state.motion == Act.LINE and begins_by_angle(words.words)


def _moves_of(run: Run, block: Block, words: SortedBlock, state: State) -> Iterator[Cornering]:
    """The moves of one profile block."""
    if state.motion != Act.LINE:
        move = _move(run, block, words, state)
        if move is not None:
            yield Cornering(move)
        return
    by_angle = ANGLE in words.words
    has_x = by_angle or bool({"X", "U"} & words.words.keys())
    has_z = by_angle or bool({"Z", "W"} & words.words.keys())
    for line in line_ends(run, block, words.words, here(run)):
        state.standing = line.to
        if line.to.position is None:
            cannot_follow(run, block, "where this block of the profile leads is not known")
            return
        move = ProfileMove(
            Kind.FEED,
            (line.to.position,),
            line.block.index,
            has_x,
            has_z,
            side=state.compensation,
        )
        yield Cornering(move, line.corner)


def _apply_words(run: Run, block: Block, words: SortedBlock) -> None:
    """Modal words of a profile block; jumps, calls and cycles in it are not followed."""
    for act, word in words.acts:
        if act not in _FOLLOWED:
            cannot_follow(run, block, f"{word.text} inside a profile is not followed", word=word)
        elif act in FEEDS or act == Act.RAPID:
            run.state.motion = act
        elif act in COMPENSATION:
            run.state.compensation = COMPENSATION[act]
        elif act == Act.FEED_PER_MINUTE:
            run.state.feed_mode = FeedMode.PER_MIN
        elif act == Act.FEED_PER_REVOLUTION:
            run.state.feed_mode = FeedMode.PER_REV
    for number, word in words.m_words:
        if number in _NOT_IN_PROFILE:
            cannot_follow(run, block, f"{word.text} inside a profile is not followed", word=word)


def _move(run: Run, block: Block, words: SortedBlock, state: State) -> ProfileMove | None:
    """The move of one profile block; None where it leads nowhere known, which is reported."""
    begin = here(run)
    to = target(run, block, words.words, begin)
    state.standing = to
    if begin.position is None or to.position is None:
        cannot_follow(run, block, "where this block of the profile leads is not known")
        return None
    has_x = bool({"X", "U"} & words.words.keys())
    has_z = bool({"Z", "W"} & words.words.keys())
    kind = Kind.RAPID if state.motion == Act.RAPID else Kind.FEED
    side = state.compensation
    move = ProfileMove(kind, (to.position,), block.index, has_x, has_z, side=side)
    if state.motion in ARCS:
        arc = arc_of(
            run, block, words.words, begin.position, to.position, state.motion == Act.ARC_CLOCKWISE
        )
        if arc is not None:
            return replace(
                move,
                points=arc.points,
                sagitta=arc.sagitta,
                centre=arc.centre,
                clockwise=arc.clockwise,
                slack=arc.slack,
            )
    elif state.motion not in FEEDS and state.motion != Act.RAPID:
        cannot_follow(run, block, "the profile's first block has no motion word")
    return move
