"""The steps that a cycle yields as rows of the table, its faults as findings."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from standclear.blocks.program import Block
from standclear.findings.finding import Place, Severity
from standclear.motions.checks import check_cut
from standclear.motions.meaning.words import LEADS, WITH_PROFILE, Act
from standclear.motions.nose.pieces import ON
from standclear.motions.rows import Conditions
from standclear.motions.run import Run, cannot_follow, place_of, report
from standclear.motions.state import conditions
from standclear.motions.step import CycleFault, Position, Reading, Step
from standclear.motions.table import Call, Kind, Path, Spindle
from standclear.motions.way.ahead import settle_all, settle_for
from standclear.motions.way.move import in_frame, tool_index
from standclear.motions.way.rapids import rapid_legs

if TYPE_CHECKING:
    from standclear.motions.cycles.path import Result


def _settle(run: Run, block: Block, act: Act) -> None:
    """Lays down the move that waits before a cycle begins from where the program says.

    Only cycles that follow a profile know compensation (common practice, no source); drilling,
    pecks and threads begin from a place that is not known if the tool stands on a contour.
    """
    if act in WITH_PROFILE:
        settle_all(run)
        return
    settle_for(run, block, act.value)
    if act in (Act.TURN_PASS, Act.FACE_PASS) and run.state.compensation != ON:
        cannot_follow(
            run,
            block,
            f"nose compensation is on in {act.value}: which way its passes then take differs "
            "between controls",
            "cancel compensation before the cycle",
            lasting=False,
            once=f"compensated {act}",
        )


def lay_out(run: Run, block: Block, act: Act, start: Position, result: Result) -> None:
    """Rows of every reading of a call, one after another; the cycle's faults as findings."""
    _settle(run, block, act)
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
    steps = (step for reading in readings for step in reading.steps)
    first = next((step for step in steps if step.kind == Kind.FEED), None)
    own = None
    if first is not None and first.feed is not None:
        own = (first.feed, now.feed_mode if first.feed_mode is None else first.feed_mode)
    check_cut(run, block, lead=act in LEADS, own=own)
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
                crest=step.crest,
                compensated=step.compensated,
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
