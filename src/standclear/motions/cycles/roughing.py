"""Roughing to a profile: G71 along the axis, G72 across the face.

Common practice across makes of lathe; in the (along, across) frame of `path`, with S the point of
call and S' the same moved by the allowance:

1. Rapid from S to S'.
2. Levels at growing depth from S' (or S) until the moved entry's depth is passed. Infeed at the
   along coordinate of S', as the first profile block says; feed to the first meeting with the
   moved profile, or to the moved exit's coordinate where nothing lies ahead; withdraw at 45
   degrees; back. Withdrawal and return are tested as rapids and credited with no cutting.
3. To the moved entry as the first block says, then once along the moved profile.
4. Home to S.

A first block in the one axis that levels are counted in asks for plain roughing; one with both X
and Z asks for roughing with pockets, see `pocket_levels`.

Directions come from the profile alone, never from the signs of the allowance.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from standclear.job.models import Control
from standclear.motions.cycles.levels import Levels, level_readings, most_levels
from standclear.motions.cycles.outline import first_meeting, outline_of
from standclear.motions.cycles.path import (
    MOST_STEPS,
    Home,
    Result,
    exchanged,
    exchanged_readings,
    follow,
    home_of,
    moved,
    only_moving,
    rapid,
    sign,
    way_home,
)
from standclear.motions.cycles.plain_levels import LEVEL_ENDS, Call, plain_steps
from standclear.motions.cycles.pocket_levels import pocket_readings
from standclear.motions.cycles.roughing_faults import (
    levels_outside,
    not_monotone,
    pocket_walls,
    refusal,
    runs_back_fault,
    too_many_levels,
    wrong_side,
)
from standclear.motions.step import CycleFault, Position, Profile, ProfileMove, Reading, Step


def rough_along(
    profile: Profile, depth: float, withdrawal: float, u: float, w: float, control: Control
) -> Result:
    """G71: levels fed along Z, counted in X.

    `depth` of a level and `withdrawal` are radial millimetres; `u` diametral and `w` along Z, both
    signed, are the allowance. What cannot be followed is answered with an unproven fault and the
    profile pass alone.
    """
    return _rough(profile, depth, withdrawal, (w, u / 2), control, home_of(control))


def rough_across(
    profile: Profile, depth: float, withdrawal: float, u: float, w: float, control: Control
) -> Result:
    """G72: levels fed along X, counted in Z; `depth` is along Z, `u` stays diametral."""
    home = home_of(control, axes_exchanged=True)
    turned = Profile(exchanged(profile.start), tuple(_exchanged_move(m) for m in profile.moves))
    readings, faults = _rough(turned, depth, withdrawal, (u / 2, w), control, home)
    return exchanged_readings(readings), faults


def _rough(
    profile: Profile,
    depth: float,
    withdrawal: float,
    allowance: Position,
    control: Control,
    home: Home | None,
) -> Result:
    if not profile.moves:
        missing = CycleFault(
            "profile-missing",
            "The roughing call names a profile without a single motion.",
            "Write the profile between the two labels of the call.",
            unproven=True,
        )
        return (Reading((), ()),), (missing,)
    start, entry, exit_ = profile.start, profile.entry, profile.exit
    across_sign, along_sign = sign(entry[1] - start[1]), sign(exit_[0] - start[0])
    fault = refusal(profile, depth, withdrawal, across_sign, along_sign)
    if fault is not None:
        return (Reading((), _pass_alone(profile, allowance, home)),), (fault,)
    call = Call(
        start,
        moved(start, allowance),
        outline_of(profile.moves, allowance, along_sign, across_sign),
        profile.moves,
        allowance,
        withdrawal,
        home,
    )
    with_pockets = profile.moves[0].has_x and profile.moves[0].has_z
    deepest = _deepest(call) if with_pockets else abs(entry[1] - start[1])
    moved_by = -across_sign * allowance[1]
    fault = None
    if most_levels(moved_by, deepest, depth) > MOST_STEPS:
        fault = too_many_levels(MOST_STEPS)
    elif with_pockets:
        fault = runs_back_fault(call)
    if fault is not None:
        return (Reading((), _pass_alone(profile, allowance, home)),), (fault,)
    levels = level_readings(moved_by, deepest, depth, control)
    if with_pockets:
        readings, outside = pocket_readings(call, levels, control)
        pocket_faults = pocket_walls(call)
    else:
        readings, outside = _plain_readings(call, levels, control)
        pocket_faults = not_monotone(call, control)
    faults = (*wrong_side(call), *pocket_faults, *levels_outside(outside, control))
    return readings, faults


def _deepest(call: Call) -> float:
    """How far below S' the profile goes."""
    way = call.outline.across_sign
    places = [way * point[1] for piece in call.outline.pieces for point in (piece.start, piece.end)]
    return max(places) - way * call.moved_start[1]


def _plain_readings(
    call: Call, levels: Sequence[Levels], control: Control
) -> tuple[tuple[Reading, ...], int]:
    """Each different list of steps of plain roughing, and the most levels that one lays outside the
    profile."""
    ends = LEVEL_ENDS if control.level_end is None else (control.level_end,)
    readings: dict[tuple[Step, ...], Reading] = {}
    for reading in levels:
        variants = {end: plain_steps(call, reading, end) for end in ends}
        differ = len(set(variants.values())) > 1
        for end, steps in variants.items():
            values = (*reading.values, f"level_end={end}") if differ else reading.values
            readings.setdefault(steps, Reading(values, steps))
    outline, (begin, top) = call.outline, call.moved_start
    outside = max(
        sum(
            first_meeting(outline, begin, top + outline.across_sign * depth) is None
            for depth in reading.depths
        )
        for reading in levels
    )
    return tuple(readings.values()), outside


def _pass_alone(profile: Profile, allowance: Position, home: Home | None) -> tuple[Step, ...]:
    """What a call that cannot be followed is given: the moved profile once, and the way home."""
    steps = [
        rapid(moved(profile.start, allowance)),
        *follow(profile.moves, allowance),
        *way_home(moved(profile.exit, allowance), profile.start, home),
    ]
    return only_moving(profile.start, steps)


def _exchanged_move(move: ProfileMove) -> ProfileMove:
    return replace(
        move,
        points=tuple(exchanged(point) for point in move.points),
        has_x=move.has_z,
        has_z=move.has_x,
    )
