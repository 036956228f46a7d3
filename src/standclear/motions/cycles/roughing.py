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

Directions come from the profile alone, never from the signs of the allowance.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

from standclear.findings.finding import Measure
from standclear.job.models import Control
from standclear.motions.cycles.levels import Levels, level_readings, most_levels
from standclear.motions.cycles.outline import (
    Meeting,
    Outline,
    first_meeting,
    first_not_monotone,
    outline_of,
    point_before,
    runs_back,
    turns_back,
)
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
from standclear.motions.step import CycleFault, Position, Profile, ProfileMove, Reading, Step
from standclear.motions.table import Kind, Path

LevelEnd = Literal["45-degrees", "along-profile"]
LEVEL_ENDS: tuple[LevelEnd, ...] = ("45-degrees", "along-profile")


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


@dataclass(frozen=True, slots=True)
class _Call:
    """A call that can be followed; positions in the (along, across) frame."""

    start: Position
    """S."""
    moved_start: Position
    """S'."""
    outline: Outline
    moves: tuple[ProfileMove, ...]
    allowance: Position
    withdrawal: float
    home: Home | None

    @property
    def infeed(self) -> Kind:
        """The manner of the profile's first block."""
        return self.moves[0].kind

    def outward(self, point: Position) -> Position:
        """The point withdrawn at 45 degrees."""
        return (
            point[0] - self.outline.along_sign * self.withdrawal,
            point[1] - self.outline.across_sign * self.withdrawal,
        )


def _rough(
    profile: Profile,
    depth: float,
    withdrawal: float,
    allowance: Position,
    control: Control,
    home: Home | None,
) -> Result:
    if not profile.moves:
        fault = CycleFault(
            "profile-missing",
            "The roughing call names a profile without a single motion.",
            "Write the profile between the two labels of the call.",
            unproven=True,
        )
        return (Reading((), ()),), (fault,)
    start, entry, exit_ = profile.start, profile.entry, profile.exit
    across_sign, along_sign = sign(entry[1] - start[1]), sign(exit_[0] - start[0])
    refusal = _refusal(profile, depth, withdrawal, across_sign, along_sign)
    moved_start = moved(start, allowance)
    entry_depth = abs(entry[1] - start[1])
    moved_by = -across_sign * allowance[1]
    if refusal is None and most_levels(moved_by, entry_depth, depth) > MOST_STEPS:
        refusal = CycleFault(
            "cannot-follow",
            f"The roughing call asks for more than {MOST_STEPS:,} levels.",
            "Check the depth of a level for a missing decimal point.",
            unproven=True,
        )
    if refusal is not None:
        return (Reading((), _pass_alone(profile, allowance, home)),), (refusal,)
    call = _Call(
        start,
        moved_start,
        outline_of(profile.moves, allowance, along_sign, across_sign),
        profile.moves,
        allowance,
        withdrawal,
        home,
    )
    levels = level_readings(moved_by, entry_depth, depth, control)
    ends = LEVEL_ENDS if control.level_end is None else (control.level_end,)
    readings: dict[tuple[Step, ...], Reading] = {}
    for reading in levels:
        variants = {end: _steps(call, reading, end) for end in ends}
        differ = len(set(variants.values())) > 1
        for end, steps in variants.items():
            values = (*reading.values, f"level_end={end}") if differ else reading.values
            readings.setdefault(steps, Reading(values, steps))
    faults = (
        *_wrong_side(call),
        *_not_monotone(call, control),
        *_levels_outside(call, levels, control),
    )
    return tuple(readings.values()), faults


def _steps(call: _Call, levels: Levels, level_end: LevelEnd) -> tuple[Step, ...]:
    """All steps of one reading, from S back to S."""
    outline = call.outline
    steps = [rapid(call.moved_start)]
    above = call.moved_start[1] + outline.across_sign * levels.base
    for depth in levels.depths:
        across = call.moved_start[1] + outline.across_sign * depth
        if sign(across - outline.entry[1]) == 0:
            across = outline.entry[1]
        steps += _level(call, across, above, level_end)
        above = across
    first = call.moves[0]
    steps.append(Step(first.kind, outline.entry, profile=first.block))
    steps += follow(call.moves[1:], call.allowance)
    steps += way_home(outline.exit, call.start, call.home)
    return only_moving(call.start, steps)


def _level(call: _Call, across: float, above: float, level_end: LevelEnd) -> list[Step]:
    """Infeed, feed, withdrawal and return of the level at `across`; `above` is the one before."""
    outline, begin = call.outline, call.moved_start[0]
    meeting = first_meeting(outline, begin, across)
    infeed = Step(call.infeed, (begin, across))
    if meeting is None:
        end = (outline.exit[0], across)
        return [infeed, Step(Kind.FEED, end), *_withdraw(call, end)]
    met = outline.pieces[meeting.index]
    end = (meeting.along, across)
    steps = [infeed, Step(Kind.FEED, end, profile=met.block, sagitta=met.sagitta)]
    if level_end == "45-degrees":
        return steps + _withdraw(call, end)
    climb = _climb(outline, meeting, above, begin)
    if not climb:
        return steps + _withdraw(call, end)
    top = climb[-1].end
    # Whether such a control also withdraws before it returns is not known: both ways lie in the
    # rectangle between the withdrawn point and the return at the height reached.
    return [
        *steps,
        *climb,
        Step(Kind.RAPID, call.outward(top), straight=True),
        Step(Kind.RAPID, (begin, top[1]), path=Path.ANYWHERE),
    ]


def _withdraw(call: _Call, end: Position) -> list[Step]:
    """Away at 45 degrees and back to where levels begin."""
    away = call.outward(end)
    return [
        Step(Kind.RAPID, away, straight=True),
        rapid((call.moved_start[0], away[1])),
    ]


def _climb(outline: Outline, meeting: Meeting, above: float, begin: float) -> list[Step]:
    """Feed along the profile from where a level met it to the level above.

    Ends before that where the profile ends or a pocket begins: a pocket is left to the pass along
    the profile.
    """
    goal = first_meeting(outline, begin, above)
    steps: list[Step] = []
    for index in range(meeting.index, len(outline.pieces)):
        piece = outline.pieces[index]
        if turns_back(outline, piece):
            break
        last = goal is not None and goal.index == index
        end = point_before(outline, goal, above) if goal is not None and last else piece.end
        steps.append(Step(Kind.FEED, end, profile=piece.block, sagitta=piece.sagitta))
        if last:
            break
    return steps


def _pass_alone(profile: Profile, allowance: Position, home: Home | None) -> tuple[Step, ...]:
    """What a call that cannot be followed is given: the moved profile once, and the way home."""
    steps = [
        rapid(moved(profile.start, allowance)),
        *follow(profile.moves, allowance),
        *way_home(moved(profile.exit, allowance), profile.start, home),
    ]
    return only_moving(profile.start, steps)


def _refusal(
    profile: Profile, depth: float, withdrawal: float, across_sign: int, along_sign: int
) -> CycleFault | None:
    """Why the call cannot be followed, None if it can."""
    first = profile.moves[0]
    if depth <= 0:
        return CycleFault(
            "profile-stands-still",
            "The roughing call gives no depth of a level above zero, so it never arrives.",
            "Give the depth of a level as a number above zero.",
            unproven=True,
        )
    if withdrawal < 0:
        return CycleFault(
            "cannot-follow",
            "The roughing call withdraws by less than nothing, that is into the metal.",
            "Give the withdrawal as a number that is not negative.",
            unproven=True,
        )
    if (first.has_x and first.has_z) or len(first.points) != 1:
        return CycleFault(
            "cannot-follow",
            "The profile's first block moves in both axes, which asks for roughing of pockets; "
            "its order and links are not followed.",
            "Begin the profile with a straight block in the one axis that levels are counted in.",
            block=first.block,
            unproven=True,
        )
    if across_sign == 0:
        return CycleFault(
            "profile-stands-still",
            "The profile's first block does not leave the clearance point in the direction that "
            "levels are counted in, so there is nothing to rough.",
            "Call the cycle from outside the metal, or begin the profile at its deepest size.",
            block=first.block,
            unproven=True,
        )
    if along_sign == 0:
        return CycleFault(
            "profile-stands-still",
            "The profile ends level with the clearance point, so no way to feed follows from it.",
            "Check the end of the profile and the point that the cycle is called from.",
            block=profile.moves[-1].block,
            unproven=True,
        )
    return None


def _wrong_side(call: _Call) -> tuple[CycleFault, ...]:
    """The allowance must be nothing or point away from the metal, in each axis."""
    along = call.outline.along_sign * call.allowance[0]
    across = call.outline.across_sign * call.allowance[1]
    parts = [
        *(["{along} the way the levels are fed"] if along > 0 else []),
        *(["{across} the way the levels are counted"] if across > 0 else []),
    ]
    if not parts:
        return ()
    return (
        CycleFault(
            "allowance-wrong-side",
            f"The finishing allowance points into the finished part, {' and '.join(parts)}: "
            "roughing cuts below the profile by that much.",
            "Change the sign of the allowance, or check which way the profile is written.",
            measures=(Measure("along", max(along, 0.0)), Measure("across", max(across, 0.0))),
        ),
    )


def _not_monotone(call: _Call, control: Control) -> tuple[CycleFault, ...]:
    """A pocket is left to the profile pass; a profile that runs back cannot be followed."""
    piece = first_not_monotone(call.outline)
    if piece is None:
        return ()
    backward = [p for p in call.outline.pieces if runs_back(call.outline, p)]
    if backward:
        return (
            CycleFault(
                "profile-not-monotone",
                "The profile runs back against the cut here; what plain roughing does then is not "
                "followed.",
                "Take what runs back out of the roughing profile and cut it by itself.",
                block=backward[0].block,
                unproven=True,
            ),
        )
    state = control.pocket_in_plain_roughing
    if state == "alarm":
        message = "The profile has a pocket here, and this control stops with an alarm at the call."
    else:
        message = "The profile has a pocket here, which is left to the pass along the profile."
        if state is None:
            message += " Another control may stop with an alarm instead."
    if call.allowance[0] != 0:
        message += (
            " The allowance along the levels moves the pocket's far wall too, which is cut {along} "
            "too deep."
        )
    return (
        CycleFault(
            "profile-not-monotone",
            message,
            "Take the pocket out of the roughing profile and cut it by itself.",
            block=piece.block,
            measures=(Measure("along", abs(call.allowance[0])),),
        ),
    )


def _levels_outside(
    call: _Call, levels: Sequence[Levels], control: Control
) -> tuple[CycleFault, ...]:
    if control.level_outside_profile == "to-exit":
        return ()
    outline, (begin, top) = call.outline, call.moved_start
    most = max(
        sum(
            first_meeting(outline, begin, top + outline.across_sign * depth) is None
            for depth in reading.depths
        )
        for reading in levels
    )
    if most == 0:
        return ()
    verb = "stops" if control.level_outside_profile == "alarm" else "may stop"
    levels_lie = "1 roughing level lies" if most == 1 else f"{most} roughing levels lie"
    return (
        CycleFault(
            "level-outside-profile",
            f"{levels_lie} outside the profile, with nothing of it ahead: the control {verb} with "
            "an alarm there.",
            "Let the profile end outside the metal, or call the cycle from nearer to it.",
        ),
    )


def _exchanged_move(move: ProfileMove) -> ProfileMove:
    return replace(
        move,
        points=tuple(exchanged(point) for point in move.points),
        has_x=move.has_z,
        has_z=move.has_x,
    )
