"""Pecking: G74 along the axis, G75 across it.

Common practice across makes of lathe; in the (along, across) frame of `path`. In each column, from
the along coordinate of S: feed one peck, withdraw e, feed a peck and e, to the end, the last peck
shortened; relief against the step; back to the start; then a step across towards the end, the last
shortened. Pecks count from S, not from the metal. The next column counts from the last one before
relief. At the end the tool is back at S. Whether withdrawals, relief and return are fed or rapid
differs between controls: they are tested as rapids and credited with no cutting.
"""

from __future__ import annotations

from collections.abc import Callable
from math import ceil

from standclear.job.models import Control
from standclear.motions.cycles.path import (
    MOST_STEPS,
    TOUCH,
    Result,
    exchanged,
    exchanged_readings,
    only_moving,
    rapid,
    sign,
)
from standclear.motions.step import CycleFault, Position, Reading, Step
from standclear.motions.table import Kind

Steps = tuple[Step, ...]


PECKING_X: dict[str, float] = {"radial": 1.0, "diameter": 0.5}
"""Values of the row for P, and what they make of it as a radial length."""


def peck_along(
    start: Position,
    end: Position,
    step: float,
    peck: float,
    withdrawal: float,
    relief: float,
    has_x: bool,
    control: Control,
) -> Result:
    """G74: pecks along Z in columns across X.

    `start` S and `end` are (z, r); `step` is along X as P is written, 0 for none; `peck` is along
    Z, `withdrawal` after each peck along Z, `relief` at the bottom radial; `has_x`: X or U is
    written. Directions come from S and `end`. The row `pecking_x` says what `step` counts; a
    reading for each value where it is open and matters.

    Faults, all unproven: `cycle-depth-unknown` without a peck, `profile-stands-still` where the end
    lies level with S, `cannot-follow` for a length below zero, and for relief or columns without a
    known direction.
    """
    return _readings(
        control,
        lambda factor: _peck(start, end, step * factor, peck, withdrawal, relief, has_x),
    )


def peck_across(
    start: Position,
    end: Position,
    step: float,
    peck: float,
    withdrawal: float,
    relief: float,
    has_z: bool,
    control: Control,
) -> Result:
    """G75: pecks along X in columns along Z. As `peck_along` with the axes exchanged: `step` and
    `relief` are along Z, `withdrawal` is radial, `peck` along X as P is written; `has_z`: Z or W is
    written."""
    turned_start, turned_end = exchanged(start), exchanged(end)
    readings, faults = _readings(
        control,
        lambda factor: _peck(
            turned_start, turned_end, step, peck * factor, withdrawal, relief, has_z
        ),
    )
    return exchanged_readings(readings), faults


def _readings(control: Control, cycle: Callable[[float], Steps | CycleFault]) -> Result:
    """One reading for each different meaning of P that the control's row allows."""
    values: tuple[str, ...] = tuple(PECKING_X)
    if control.pecking_x is not None:
        values = (control.pecking_x,)
    elif control.x_words == "radius":
        values = ("radial",)
    found: dict[Steps, str] = {}
    for value in values:
        steps = cycle(PECKING_X[value])
        if isinstance(steps, CycleFault):
            return (Reading((), ()),), (steps,)
        found.setdefault(steps, value)
    if len(found) == 1:
        return tuple(Reading((), steps) for steps in found), ()
    return tuple(Reading((f"pecking_x={value}",), steps) for steps, value in found.items()), ()


def _peck(
    start: Position,
    end: Position,
    step: float,
    peck: float,
    withdrawal: float,
    relief: float,
    has_across: bool,
) -> Steps | CycleFault:
    fault = _refusal(start, end, step, peck, withdrawal, relief, has_across)
    if fault is not None:
        return fault
    way = sign(end[1] - start[1]) if has_across else 0
    feed_sign = sign(end[0] - start[0])
    bottoms = _stops(start[0], end[0], peck)
    steps: list[Step] = []
    columns = (start[1], *_stops(start[1], end[1], step)) if way else (start[1],)
    for across in columns:
        steps.append(rapid((start[0], across)))
        for bottom in bottoms[:-1]:
            steps.append(Step(Kind.FEED, (bottom, across)))
            steps.append(rapid((bottom - feed_sign * withdrawal, across)))
        steps.append(Step(Kind.FEED, (end[0], across)))
        relieved = across - way * relief
        steps.append(rapid((end[0], relieved)))
        steps.append(rapid((start[0], relieved)))
    steps.append(rapid(start))
    return only_moving(start, steps)


def _stops(begin: float, end: float, step: float) -> tuple[float, ...]:
    """Places from `begin` (left out) to `end` (exactly) `step` apart, the last one shortened."""
    count = max(ceil((abs(end - begin) - TOUCH) / step), 1)
    way = sign(end - begin)
    return (*(begin + way * step * k for k in range(1, count)), end)


def _refusal(
    start: Position,
    end: Position,
    step: float,
    peck: float,
    withdrawal: float,
    relief: float,
    has_across: bool,
) -> CycleFault | None:
    """Why the call cannot be followed, None if it can."""
    length, width = abs(end[0] - start[0]), abs(end[1] - start[1])
    if min(step, peck, withdrawal, relief) < 0:
        return CycleFault(
            "cannot-follow",
            "The pecking call gives a peck, a step, a withdrawal or a relief below zero, which "
            "controls read differently.",
            "Give each as a number that is not negative: its direction follows from the end.",
            unproven=True,
        )
    if peck == 0:
        return CycleFault(
            "cycle-depth-unknown",
            "The pecking call gives no depth of a peck above zero.",
            "Give the depth of a peck in the call.",
            unproven=True,
        )
    if length <= TOUCH:
        return CycleFault(
            "profile-stands-still",
            "The pecking call ends level with the point it is called from, so it never plunges.",
            "Check the end of the call and the point that it is called from.",
            unproven=True,
        )
    if has_across and width > TOUCH and step <= TOUCH:
        return CycleFault(
            "cannot-follow",
            "The pecking call goes to another column but gives no step towards it.",
            "Give the step in the call.",
            unproven=True,
        )
    if relief > 0 and not (has_across and width > TOUCH):
        return CycleFault(
            "cannot-follow",
            "The pecking call has a relief at the bottom but no step for it to go against.",
            "Leave the relief out, or give the column that the call ends in.",
            unproven=True,
        )
    columns = width / step + 1 if has_across and width > TOUCH else 1.0
    if columns * (length / peck + 1) > MOST_STEPS:
        return CycleFault(
            "cannot-follow",
            f"The pecking call asks for more than {MOST_STEPS:,} pecks.",
            "Check the depth of a peck and the step for a missing decimal point.",
            unproven=True,
        )
    return None
