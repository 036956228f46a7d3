"""What a setter looks for by eye while reading a program: none of it is a strike by itself.

Every bound here is common practice, no source.
"""

from __future__ import annotations

from standclear.blocks.program import Block, Word
from standclear.findings.finding import Measure, Quantity, Severity
from standclear.motions.coordinates.places import Standing
from standclear.motions.run import Run, report
from standclear.motions.table import FAR, FeedMode, SpeedMode, Spindle

FEED_PER_REV_MM = (0.005, 2.0)
FEED_PER_MIN_MM = (1.0, 5000.0)
SURFACE_SPEED_M = (5.0, 1500.0)
REVOLUTIONS = (5.0, 10_000.0)
ROOM_TO_CHANGE_MM = 50.0
"""Nearer to the bar than this in X, and to its face in Z, a turning turret may reach the work."""
LONG_FEED_MM = 20.0
"""A feed through air longer than this was hardly meant as one."""


def check_cut(
    run: Run, block: Block, *, lead: bool = False, own: tuple[float, FeedMode] | None = None
) -> None:
    """A feed begins: coolant, feed and speed in force.

    `lead`: F is the lead of a thread. `own`: the profile's own feed that a cycle cuts with first.
    """
    if not run.emitting:
        return
    _check_coolant(run, block)
    if not lead:
        _check_feed(run, block, own)
    _check_speed(run, block)


def _check_coolant(run: Run, block: Block) -> None:
    if run.state.coolant:
        run.said.add(f"coolant {run.state.changes}")
        return
    if run.uses_coolant:
        report(
            run,
            "coolant-off",
            block,
            "coolant is off in the first cut of this tool; elsewhere the program turns it on",
            "write M08 before the cut, if it is not meant to be dry",
            severity=Severity.NOTE,
            once=f"coolant {run.state.changes}",
        )


def _check_feed(run: Run, block: Block, own: tuple[float, FeedMode] | None) -> None:
    state = run.state
    feed, mode = own or (state.feed, state.feed_mode)
    per_rev = mode == FeedMode.PER_REV
    if feed <= 0:
        report(
            run,
            "feed-odd",
            block,
            "no feed is in force for this cut: the control stops with an alarm",
            "write an F word",
            once=f"feed {state.changes}",
        )
        return
    low, high = FEED_PER_REV_MM if per_rev else FEED_PER_MIN_MM
    if not low <= feed <= high:
        unit = "a revolution" if per_rev else "a minute"
        report(
            run,
            "feed-odd",
            block,
            f"the feed is {{feed}} {unit}: that is hardly meant, in this unit",
            "check the F word, and whether the feed is meant per revolution or per minute",
            measures=(Measure("feed", feed, Quantity.LENGTH),),
            once=f"feed odd {state.changes} {feed}",
        )
    if 0 < state.feed_mode_given < state.changes and not per_rev:
        what = "feed per minute is"
    elif own is None and 0 < state.feed_given < state.changes:
        what = "the F in force is"
    else:
        return
    report(
        run,
        "feed-left",
        block,
        f"{what} left from another tool",
        "write the feed, and its mode, where the tool is called",
        once=f"feed left {state.changes}",
    )


def _check_speed(run: Run, block: Block) -> None:
    state = run.state
    if state.speed <= 0 or state.spindle == Spindle.STOPPED:
        return
    surface = state.speed_mode == SpeedMode.SURFACE
    low, high = SURFACE_SPEED_M if surface else REVOLUTIONS
    limit = run.machine.spindle_limit
    if not surface and limit is not None:
        high = min(high, limit)
    if low <= state.speed <= high:
        return
    unit = "m/min" if surface else "rpm"
    report(
        run,
        "speed-odd",
        block,
        f"the speed in force is {state.speed:g} {unit}; usual is {low:g} to {high:g} {unit} on "
        "this machine",
        "check the S word, and whether it is a surface speed or revolutions",
        once=f"speed odd {state.changes} {state.speed}",
    )


def check_change(run: Run, block: Block, word: Word, standing: Standing) -> None:
    """A tool is changed: has the one before it been taken away from the work?"""
    z, r = standing.z, standing.r
    if z is None or r is None or FAR in (z, r):
        return
    machine = run.machine
    x = 2 * r if run.control.x_words == "diameter" else r
    if machine.safe_x is not None or machine.safe_z is not None:
        safe_x = machine.safe_x is not None and x >= machine.safe_x
        near = not (safe_x or (machine.safe_z is not None and z >= machine.safe_z))
    else:
        room = abs(r) - run.job.blank.size / 2
        near = room < ROOM_TO_CHANGE_MM and z < ROOM_TO_CHANGE_MM
    if not near:
        return
    report(
        run,
        "change-near-work",
        block,
        "the turret turns at {x} {z}, near the work: what swings past there is not examined",
        "go home, or to the place for tool changes, before this block: G28 U0 W0",
        word=word,
        measures=(
            Measure("x", 2 * r, Quantity.POSITION_X),
            Measure("z", z, Quantity.POSITION_Z),
        ),
        once=f"change near {block.index}",
    )


def check_turning_stop(run: Run, block: Block) -> None:
    """The part is turned round before this block: has the program stopped for it?"""
    if run.state.stopped:
        return
    report(
        run,
        "turning-stop-missing",
        block,
        "no stop stands between the last cut and this block, where the part is turned round",
        "write M00 in a block of its own before it",
        severity=Severity.STOP,
        unproven=True,
    )


def check_first_move(
    run: Run, block: Block, start: Standing, to: Standing, *, rapid: bool, worded: bool
) -> None:
    """The first move after a tool change, `worded` where its block has a motion word of its own."""
    state = run.state
    if not run.emitting or state.tool < 0 or state.moved_since_change:
        return
    state.moved_since_change = True
    if not rapid and not worded:
        report(
            run,
            "feed-left-on",
            block,
            "G01 is left on from another tool, so this positioning move is a feed",
            f"write G00 in this block: {_with_rapid(block)}",
        )
    elif (
        rapid
        and run.machine.rapid_path != "straight"
        and start.z != to.z
        and start.r != to.r
        and None not in (start.z, start.r)
    ):
        report(
            run,
            "approach-in-both-axes",
            block,
            "the first move after the tool change goes in both axes at once, on a way that is not "
            "a straight line here",
            "approach in Z first and then in X, in two blocks",
            severity=Severity.NOTE,
            once="both axes",
        )


def check_retreat(run: Run, block: Block, start: Standing, to: Standing, *, worded: bool) -> None:
    """A feed without a motion word of its own: is it really a way through air?"""
    if worded or not run.emitting or start.position is None or to.position is None:
        return
    begin, end = start.position, to.position
    r_bar = run.job.blank.size / 2
    if FAR in begin:
        return
    both_axes = begin[0] != end[0] and begin[1] != end[1]
    outside = end[0] > 0 and end[1] > r_bar
    long = max(abs(end[0] - begin[0]), abs(end[1] - begin[1])) > LONG_FEED_MM
    if both_axes and outside and long:
        report(
            run,
            "feed-left-on",
            block,
            "G01 is left on, so this move away from the work is a feed",
            f"write G00 in this block: {_with_rapid(block)}",
        )


def _with_rapid(block: Block) -> str:
    """The block with G00 written before its first axis word."""
    text = block.text
    first = next(word for word in block.words if word.letter in "XZUW")
    at = text.find(first.text)
    return f"{text[:at]}G00 {text[at:]}" if at >= 0 else f"G00 {text}"
