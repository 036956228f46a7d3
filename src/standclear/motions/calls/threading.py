"""Threads: G32, G33 and G34 pass by pass, G92 and its repeats, G76 in its two forms."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import radians, sqrt

from standclear.blocks.program import Block
from standclear.findings.finding import Measure, Severity
from standclear.motions import cycles
from standclear.motions.calls.arguments import argument, standing_for_call
from standclear.motions.calls.lay_out import lay_out
from standclear.motions.calls.single_pass import single_pass_words
from standclear.motions.checks import check_place
from standclear.motions.cycles.threading import ThreadCall
from standclear.motions.meaning.block import SortedBlock
from standclear.motions.meaning.words import Act
from standclear.motions.run import Run, cannot_follow, report
from standclear.motions.state import ThreadValues
from standclear.motions.table import SpeedMode
from standclear.motions.way.move import AXES, go_in_thread, here, target

LEAST_SHARE, MOST_SHARE = 0.5, 0.87
"""Depth of a thread in leads. ISO 68-1: the basic profile is 0.541 of the pitch deep, an outside
thread to its root 0.613, the sharp V 0.866; trapezoidal threads (ISO 2901) begin at 0.5."""
_ONE_BLOCK, _TWO_BLOCKS = frozenset("IKDA"), frozenset("R")


def thread(run: Run, block: Block, words: SortedBlock, act: Act) -> int:
    """G32 or G33, one pass on a line; G34, whose lead changes by K each turn. Q is the angle at
    which it starts and moves nothing."""
    lead = _lead(run, block, words)
    start = here(run)
    to = target(run, block, words.words, start)
    if lead <= 0:
        report(
            run,
            "thread-lead-missing",
            block,
            "the thread has no lead: no F above zero is in force",
            "write F with the lead in the threading block",
            unproven=True,
        )
    if act == Act.THREAD_OF_CHANGING_LEAD and start.position and to.position:
        way = max(abs(a - b) for a, b in zip(start.position, to.position, strict=True))
        # A lead that grows by K in each turn: its square grows by 2 K for each millimetre.
        square = lead**2 + 2 * argument(run, block, words, "K") * way
        if square <= 0:
            cannot_follow(run, block, "the lead of this thread falls to nothing before its end")
        lead = max(lead, sqrt(max(square, 0.0)))
    go_in_thread(run, block, to, lead)
    return block.index + 1


def thread_pass(run: Run, block: Block, words: SortedBlock, act: Act) -> int:
    """G92 and its repeats, from the same start. Q moves nothing."""
    following = block.index + 1
    lead = _lead(run, block, words)
    given = single_pass_words(run, block, words)
    if given is None or not run.emitting:
        return following
    start, kept = given
    result = cycles.thread_pass(start, kept.z, kept.r, kept.taper, lead, run.control)
    lay_out(run, block, act, start, result)
    return following


def threading(run: Run, block: Block, words: SortedBlock, act: Act) -> int:
    """G76: its first block, its second, or the form of one block, which K and D tell apart."""
    following = block.index + 1
    letters = words.words.keys()
    one_block = bool(letters & {"K", "D"})
    for letter in sorted(letters & (_TWO_BLOCKS if one_block else _ONE_BLOCK)):
        cannot_follow(
            run,
            block,
            f"{words.words[letter].text} has no meaning in this form of the threading cycle",
            "write the cycle in one block with K and D, or in two with P, Q and R",
            word=words.words[letter],
        )
    if not AXES & letters:
        _keep(run, block, words)
        return following
    lead = _lead(run, block, words)
    check_place(run, block)
    if not run.emitting:
        return following
    values = _values(run, block, words, one_block)
    start = standing_for_call(run, block)
    if values is None or start is None:
        return following
    end = target(run, block, words.words, here(run)).position
    if end is None:
        return following
    taper, depth, first = ("I", "K", "D") if one_block else ("R", "P", "Q")
    call = ThreadCall(
        end,
        taper=argument(run, block, words, taper),
        depth=argument(run, block, words, depth),
        first_depth=argument(run, block, words, first),
        lead=lead,
        angle=radians(values.angle),
        finish_passes=values.finish_passes,
        least_depth=values.least_depth,
        finish_allowance=values.finish_allowance,
    )
    _weigh_depth(run, block, call)
    lay_out(run, block, act, start, cycles.thread_cycle(start, call, run.control))
    return following


def _lead(run: Run, block: Block, words: SortedBlock) -> float:
    """The lead: F, always for one turn. An F that was written as a feed is reported."""
    state = run.state
    if "F" in words.words:
        state.lead = state.feed
    elif state.feed > 0 and state.feed != state.lead:
        state.lead = state.feed
        report(
            run,
            "thread-lead-missing",
            block,
            "no F stands in this thread: its lead is {lead}, the feed left from an earlier block",
            "write F with the lead in the threading block",
            measures=(Measure("lead", state.feed),),
        )
    if state.speed_mode == SpeedMode.SURFACE:
        report(
            run,
            "thread-with-surface-speed",
            block,
            "constant surface speed is on in a thread: the spindle changes its speed from pass to "
            "pass, and the thread begins elsewhere each time",
            "write G97 with a fixed speed before the thread",
            once="thread with surface speed",
        )
    return state.lead


def _keep(run: Run, block: Block, words: SortedBlock) -> None:
    """The first block: P is six digits, finish passes, pull-out and angle; Q the least depth; R the
    finish allowance. What it does not name stays."""
    kept = run.state.threading
    word = words.words.get("P")
    if word is not None:
        number = word.number
        if number is None or word.has_point or not 0 <= number < 1_000_000:
            cannot_follow(
                run,
                block,
                f"{word.text} is not the six digits of a threading cycle: finish passes, pull-out "
                "and angle",
                "write P with six digits, such as P010060",
                word=word,
            )
        else:
            passes, angle = int(number) // 10_000, int(number) % 100
            kept = replace(kept, finish_passes=passes, angle=float(angle))
    if "Q" in words.words:
        kept = replace(kept, least_depth=abs(argument(run, block, words, "Q")))
    if "R" in words.words:
        kept = replace(kept, finish_allowance=abs(argument(run, block, words, "R")))
    run.state.threading = kept


@dataclass(frozen=True, slots=True)
class _Values:
    finish_passes: int
    angle: float
    least_depth: float
    finish_allowance: float


def _values(run: Run, block: Block, words: SortedBlock, one_block: bool) -> _Values | None:
    """What the program has kept or the job states; None where neither does, which is reported."""
    kept: ThreadValues = run.state.threading
    control = run.control
    angle_word = words.words.get("A") if one_block else None
    if angle_word is not None and angle_word.number is not None:
        kept = replace(kept, angle=float(angle_word.number))
    finish = control.threading_finish_passes if kept.finish_passes is None else kept.finish_passes
    angle = control.threading_angle if kept.angle is None else kept.angle
    least = control.threading_least_depth if kept.least_depth is None else kept.least_depth
    allowance = (
        control.threading_finish_allowance
        if kept.finish_allowance is None
        else kept.finish_allowance
    )
    missing = [
        name
        for name, value in (
            ("angle (threading_angle)", angle),
            ("least depth (threading_least_depth)", least),
            ("finish allowance (threading_finish_allowance)", allowance),
        )
        if value is None
    ]
    if angle is None or least is None or allowance is None:
        report(
            run,
            "cycle-depth-unknown",
            block,
            f"of this threading cycle neither the program nor the job sets: {', '.join(missing)}",
            "write the first block of the cycle with P, Q and R, or state the values in the job",
            unproven=True,
        )
        return None
    # How many passes run at full depth moves nothing: it matters for the time alone.
    return _Values(1 if finish is None else finish, angle, least, allowance)


def _weigh_depth(run: Run, block: Block, call: ThreadCall) -> None:
    """A note where the depth does not suit the lead."""
    if call.lead <= 0 or LEAST_SHARE <= call.depth / call.lead <= MOST_SHARE or call.depth <= 0:
        return
    deep = call.depth > call.lead * MOST_SHARE
    report(
        run,
        "thread-depth-odd",
        block,
        "the thread is {depth} deep at a lead of {lead}: "
        + (
            "deeper than a sharp V of 60 degrees, {sharp}"
            if deep
            else "less than half the lead, as only a thread of several starts is"
        ),
        "check the depth and the lead; a metric outside thread is 0.613 of its pitch deep",
        severity=Severity.NOTE,
        measures=(
            Measure("depth", call.depth),
            Measure("lead", call.lead),
            Measure("sharp", sqrt(3) / 2 * call.lead),
        ),
    )
