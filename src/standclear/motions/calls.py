"""Cycle calls: their words to arguments, and the steps a cycle yields to rows of the table."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from standclear.blocks.program import Block
from standclear.findings.finding import Place, Severity
from standclear.motions import cycles
from standclear.motions.block import SortedBlock
from standclear.motions.checks import check_clamp, check_place
from standclear.motions.move import (
    AXES,
    here,
    in_frame,
    radial,
    target,
    tool_index,
)
from standclear.motions.places import Standing
from standclear.motions.profile import block_after_call, find_span, read_profile
from standclear.motions.rapids import rapid_legs
from standclear.motions.rows import Conditions
from standclear.motions.run import Run, cannot_follow, length, place_of, report
from standclear.motions.state import SinglePass, conditions
from standclear.motions.step import CycleFault, Position, Reading, Step
from standclear.motions.table import Call, Kind, Path, Spindle
from standclear.motions.words import Act

if TYPE_CHECKING:
    from standclear.motions.cycles.path import Result

_ROUGHING = {Act.ROUGH_ALONG: "U", Act.ROUGH_ACROSS: "W"}
"""Roughing cycles and the letter that gives their depth in the first block."""
_SIBLING = {
    Act.ROUGH_ALONG: Act.ROUGH_ACROSS,
    Act.ROUGH_ACROSS: Act.ROUGH_ALONG,
    Act.PECK_ALONG: Act.PECK_ACROSS,
    Act.PECK_ACROSS: Act.PECK_ALONG,
}


def standing_for_call(run: Run, block: Block) -> Position | None:
    """S, where a cycle is called from; None where it is not known exactly, which is reported."""
    start = here(run)
    if start.position is not None and start.exact:
        return start.position
    report(
        run,
        "position-unknown",
        block,
        "the cycle is called from a place that is not known",
        "go to the clearance point in both axes before the call",
        unproven=True,
    )
    return None


def _argument(run: Run, block: Block, words: SortedBlock, letter: str) -> float:
    """A length word of the call as written, mm; 0 where it is left out."""
    word = words.words.get(letter)
    if word is None:
        return 0.0
    value = length(run, block, word, of_cycle=letter in "PQD")
    if value is None:
        cannot_follow(run, block, f"the value of {word.text} is not followed", word=word)
        return 0.0
    return value


def rough(run: Run, block: Block, words: SortedBlock, act: Act) -> int:
    """G71 and G72, first and second block; returns the index of the block to go on with."""
    depth_letter = _ROUGHING[act]
    if {"P", "Q"} & words.words.keys():
        check_place(run, block)
    if not {"P", "Q"} & words.words.keys():
        if depth_letter in words.words:
            run.state.depth[act] = abs(_argument(run, block, words, depth_letter))
        if "R" in words.words:
            run.state.withdrawal[act] = abs(_argument(run, block, words, "R"))
        return block.index + 1
    span = find_span(run, block, words)
    if span is None:
        return block.index + 1
    following = block_after_call(run, block, span)
    run.state.motion_doubtful = True
    if not run.emitting:
        return following
    depth = _kept(run, run.state.depth, act, run.control.roughing_depth)
    withdrawal = _kept(run, run.state.withdrawal, act, run.control.roughing_withdrawal)
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
    profile = read_profile(run, block, span) if start else None
    if start is None or profile is None:
        return following
    u = 2 * (radial(run, _argument(run, block, words, "U")) or 0.0)
    w = _argument(run, block, words, "W")
    cycle = cycles.rough_along if act == Act.ROUGH_ALONG else cycles.rough_across
    lay_out(run, block, act, start, cycle(profile, depth, withdrawal, u, w, run.control))
    return following


def _kept(run: Run, kept: dict[Act, float], act: Act, stated: float | None) -> float | None:
    """What an earlier block or the job sets for this cycle; None where neither does.

    Some controls keep one value for both cycles of a pair: what the sibling has set makes the job's
    value doubtful.
    """
    if act in kept:
        return kept[act]
    return None if _SIBLING[act] in kept else stated


def finish(run: Run, block: Block, words: SortedBlock, act: Act) -> int:
    """G70: goes on at the block after it."""
    following = block.index + 1
    check_place(run, block)
    span = find_span(run, block, words)
    run.state.motion_doubtful = True
    if span is None or not run.emitting:
        return following
    start = standing_for_call(run, block)
    profile = read_profile(run, block, span) if start else None
    if start is None or profile is None:
        return following
    for index in range(span.first, span.last + 1):
        inside = run.program.blocks[index]
        if any(word.letter == "T" for word in inside.words):
            cannot_follow(run, inside, "a tool is changed inside the finished profile")
    lay_out(run, block, Act.FINISH, start, cycles.finish(profile, run.control))
    return following


def peck(run: Run, block: Block, words: SortedBlock, act: Act) -> int:
    """G74 and G75, first and second block."""
    following = block.index + 1
    if not AXES & words.words.keys():
        if "R" in words.words and not {"P", "Q"} & words.words.keys():
            run.state.withdrawal[act] = abs(_argument(run, block, words, "R"))
        else:
            cannot_follow(run, block, "the pecking call does not say where it ends")
        return following
    check_place(run, block)
    if not run.emitting:
        return following
    back = _kept(run, run.state.withdrawal, act, run.control.pecking_return)
    if back is None:
        report(
            run,
            "cycle-depth-unknown",
            block,
            "how far each peck comes back is set neither by the program nor by the job",
            "write the first block of the cycle with R, or state pecking_return in the job",
            unproven=True,
        )
        return following
    start = standing_for_call(run, block)
    if start is None:
        return following
    end = target(run, block, words.words, here(run)).position
    if end is None:
        return following
    along_x, along_z = (abs(_argument(run, block, words, letter)) for letter in ("P", "Q"))
    relief = abs(_argument(run, block, words, "R"))
    if act == Act.PECK_ALONG:
        has_x = bool({"X", "U"} & words.words.keys())
        step = along_x if end[1] >= start[1] else -along_x
        result = cycles.peck_along(start, end, step, along_z, back, relief, has_x, run.control)
    else:
        has_z = bool({"Z", "W"} & words.words.keys())
        step = along_z if end[0] >= start[0] else -along_z
        result = cycles.peck_across(start, end, step, along_x, back, relief, has_z, run.control)
    lay_out(run, block, act, start, result)
    return following


def single_pass(run: Run, block: Block, words: SortedBlock, act: Act) -> int:
    """G90 and G94 and their repeats: words left out keep their values, the start stays the same."""
    following = block.index + 1
    start = standing_for_call(run, block)
    if start is None:
        return following
    kept = run.state.single_pass
    base = Standing(*start, run.state.offset)
    to = target(run, block, words.words, base)
    if to.position is None:
        return following
    z, r = to.position
    if kept is not None:
        z = z if {"Z", "W"} & words.words.keys() else kept.z
        r = r if {"X", "U"} & words.words.keys() else kept.r
    taper = kept.taper if kept else 0.0
    if "R" in words.words:
        taper = _argument(run, block, words, "R")
    run.state.single_pass = SinglePass(z, r, taper)
    if not run.emitting:
        return following
    cycle = cycles.turn_pass if act == Act.TURN_PASS else cycles.face_pass
    lay_out(run, block, act, start, cycle(start, z, r, taper, run.control))
    return following


def lay_out(run: Run, block: Block, act: Act, start: Position, result: Result) -> None:
    """Rows of every reading of a call, one after another; the cycle's faults as findings."""
    readings, faults = result
    for fault in faults:
        _report_fault(run, block, fault)
    if not any(reading.steps for reading in readings):
        return
    tool = tool_index(run, block)
    number = len(run.calls)
    begin = in_frame(run, start)
    run.calls.append(
        Call(
            number=number,
            block=block.index,
            cycle=act.value,
            point=begin,
            tool=tool,
            readings=tuple(reading.values for reading in readings),
        )
    )
    now = conditions(run.state, run.machine)
    check_clamp(run, block)
    for variant, reading in enumerate(readings):
        _lay_out_reading(run, block, reading, begin, now, (tool, number, variant))


def _lay_out_reading(
    run: Run,
    block: Block,
    reading: Reading,
    begin: Position,
    now: Conditions,
    numbers: tuple[int, int, int],
) -> None:
    tool, call, variant = numbers
    at = begin
    for step in reading.steps:
        end = in_frame(run, step.end)
        legs: tuple[tuple[Position, Path], ...] = ((end, step.path),)
        if step.kind == Kind.RAPID and step.path == Path.STRAIGHT and not step.straight:
            legs = rapid_legs(at, end, run.machine)
        for leg_end, path in legs:
            run.rows.add(
                step.kind,
                at,
                leg_end,
                tool,
                block.index,
                _with_own(now, step),
                path=path,
                sagitta=step.sagitta,
                profile=step.profile,
                call=call,
                variant=variant,
                credited=step.credited,
            )
            at = leg_end


def _with_own(now: Conditions, step: Step) -> Conditions:
    """The call's conditions with the step's own feed and speed, where it has them."""
    if step.feed is None and step.speed is None:
        return now
    stands_still = step.speed is not None and step.speed <= 0
    return replace(
        now,
        spindle=Spindle.STOPPED if stands_still else now.spindle,
        feed=now.feed if step.feed is None else step.feed,
        feed_mode=now.feed_mode if step.feed_mode is None else step.feed_mode,
        speed=now.speed if step.speed is None else step.speed,
    )


def _report_fault(run: Run, block: Block, fault: CycleFault) -> None:
    related: tuple[Place, ...] = ()
    if fault.block >= 0:
        related = (place_of(run.program, run.program.blocks[fault.block]),)
    report(
        run,
        fault.code,
        block,
        fault.message,
        fault.cure,
        severity=Severity.STOP if fault.stop else Severity.MEND,
        unproven=fault.unproven,
        related=related,
        measures=fault.measures,
    )
