"""Calls that name a profile: G70, G71, G72 and G73."""

from __future__ import annotations

from collections.abc import Sequence

from standclear.blocks.program import Block
from standclear.motions import cycles
from standclear.motions.calls.arguments import argument, kept, standing_for_call
from standclear.motions.calls.compensated import finishing, for_roughing
from standclear.motions.calls.lay_out import lay_out
from standclear.motions.checks import check_place
from standclear.motions.cycles.path import Result
from standclear.motions.meaning.block import SortedBlock
from standclear.motions.meaning.words import Act
from standclear.motions.profile import Span, block_after_call, find_span, read_profile
from standclear.motions.run import Run, cannot_follow, radial, report
from standclear.motions.step import Position, Profile

_ROUGHING = {Act.ROUGH_ALONG: "U", Act.ROUGH_ACROSS: "W"}
"""Roughing cycles and the letter that gives their depth in the first block."""
ONCE, PERHAPS = (1, 1), (0, 1)
"""How often the waits of a profile are made: finishing follows it as it is written, and of the pass
that roughing makes along it no more is known."""


def rough(run: Run, block: Block, words: SortedBlock, act: Act) -> int:
    """G71 and G72, first and second block, or both in one with D; returns the index of the block to
    go on with."""
    depth_letter = _ROUGHING[act]
    if not {"P", "Q"} & words.words.keys():
        if depth_letter in words.words:
            run.state.depth[act] = abs(argument(run, block, words, depth_letter))
        if "R" in words.words:
            run.state.withdrawal[act] = abs(argument(run, block, words, "R"))
        if "D" in words.words:
            cannot_follow(
                run, block, "D stands in a roughing block that names no profile", "write P and Q"
            )
        return block.index + 1
    span, following = _span_and_following(run, block, words)
    depth = kept(run, run.state.depth, act, run.control.roughing_depth)
    if "D" in words.words:
        if run.state.depth.get(act):
            cannot_follow(
                run,
                block,
                "the depth of a level is given twice: by D, and by the first block of the cycle",
                "write the cycle in two blocks or in one",
                word=words.words["D"],
            )
        depth = abs(argument(run, block, words, "D"))
        # Whether D serves later calls differs between controls: none is known for them.
        run.state.depth[act] = 0.0
    if span is None or not run.emitting:
        return following
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
    profile = read_profile(run, block, span, PERHAPS) if start else None
    if start is None or profile is None:
        return following
    u, w = _allowance(run, block, words)
    cycle = cycles.rough_along if act == Act.ROUGH_ALONG else cycles.rough_across
    results = [
        way.of(cycle(way.profile, depth, withdrawal, u, w, run.control))
        for way in for_roughing(run, block, profile)
    ]
    _lay_out_all(run, block, act, start, profile, results)
    return following


def pattern(run: Run, block: Block, words: SortedBlock, act: Act) -> int:
    """G73, first and second block, or both in one with I, K and D; returns the index of the block
    to go on with."""
    if not {"P", "Q"} & words.words.keys():
        for letter, name in (("U", "i"), ("W", "k")):
            if letter in words.words:
                run.state.pattern[name] = argument(run, block, words, letter)
        if "R" in words.words:
            run.state.pattern["passes"] = _count(run, block, words, "R")
        return block.index + 1
    span, following = _span_and_following(run, block, words)
    if span is None or not run.emitting:
        return following
    shift = dict(run.state.pattern)
    if {"I", "K", "D"} & words.words.keys():
        # Without an I or a K that axis is not shifted: a block with D gives all there is to give.
        shift = {"i": argument(run, block, words, "I"), "k": argument(run, block, words, "K")}
        if "D" in words.words:
            shift["passes"] = _count(run, block, words, "D")
    missing = [name for name in ("i", "k", "passes") if name not in shift]
    if missing:
        what = {"i": "shift in X", "k": "shift in Z", "passes": "number of passes"}[missing[0]]
        report(
            run,
            "cycle-depth-unknown",
            block,
            f"the {what} of this pattern cycle is not set by the program",
            "write the first block of the cycle with U, W and R",
            unproven=True,
        )
        return following
    start = standing_for_call(run, block)
    passes = int(shift["passes"])
    profile = read_profile(run, block, span, (0, passes)) if start else None
    if start is None or profile is None:
        return following
    u, w = _allowance(run, block, words)
    results = [
        way.of(cycles.pattern(way.profile, shift["i"], shift["k"], passes, u, w, run.control))
        for way in for_roughing(run, block, profile)
    ]
    _lay_out_all(run, block, act, start, profile, results)
    return following


def _lay_out_all(
    run: Run,
    block: Block,
    act: Act,
    start: Position,
    profile: Profile,
    results: Sequence[Result],
) -> None:
    """Rows of all readings of all profiles that the call may follow."""
    readings = tuple(reading for each, _ in results for reading in each)
    faults = tuple(dict.fromkeys(fault for _, each in results for fault in each))
    lay_out(run, block, act, start, (readings, faults))
    _leave_in_doubt(run, profile)


def _leave_in_doubt(run: Run, profile: Profile) -> None:
    """A profile that leaves compensation on, or off, other than it found it: controls differ in
    whether that holds after the cycle."""
    if profile.side_after != run.state.compensation:
        run.state.compensation_doubtful = True


def _span_and_following(run: Run, block: Block, words: SortedBlock) -> tuple[Span | None, int]:
    """The profile that a call names, None where it is not clear, and the block to go on with."""
    check_place(run, block)
    span = find_span(run, block, words)
    if span is None:
        return None, block.index + 1
    run.state.motion_doubtful = True
    return span, block_after_call(run, block, span)


def _allowance(run: Run, block: Block, words: SortedBlock) -> tuple[float, float]:
    """U as a diameter and W, mm."""
    return 2 * (radial(run, argument(run, block, words, "U")) or 0.0), argument(
        run, block, words, "W"
    )


def _count(run: Run, block: Block, words: SortedBlock, letter: str) -> float:
    """A number of passes; 0 where it is not one, which is reported."""
    word = words.words[letter]
    if word.number is None or word.number < 1 or word.number % 1:
        cannot_follow(
            run,
            block,
            f"{word.text} is not a number of passes",
            "write a whole number above zero",
            word=word,
        )
        return 0.0
    return float(word.number)


def finish(run: Run, block: Block, words: SortedBlock, act: Act) -> int:
    """G70: goes on at the block after it."""
    following = block.index + 1
    check_place(run, block)
    span = find_span(run, block, words)
    run.state.motion_doubtful = True
    if span is None or not run.emitting:
        return following
    start = standing_for_call(run, block)
    profile = read_profile(run, block, span, ONCE) if start else None
    if start is None or profile is None:
        return following
    for index in range(span.first, span.last + 1):
        inside = run.program.blocks[index]
        if any(word.letter == "T" for word in inside.words):
            cannot_follow(run, inside, "a tool is changed inside the finished profile")
    lay_out(run, block, Act.FINISH, start, finishing(run, block, profile))
    _leave_in_doubt(run, profile)
    return following
