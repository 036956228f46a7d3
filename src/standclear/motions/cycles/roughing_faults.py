"""What is wrong with a roughing call: why it cannot be followed, and what it does to the part."""

from __future__ import annotations

from standclear.findings.finding import Measure
from standclear.job.models import Control
from standclear.motions.cycles.outline import deepens, first_not_monotone, runs_back
from standclear.motions.cycles.path import TOUCH, apart
from standclear.motions.cycles.plain_levels import Call
from standclear.motions.step import CycleFault, Profile


def refusal(
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
    if len(first.points) != 1 or first.sagitta > 0:
        return CycleFault(
            "cannot-follow",
            "The profile's first block is an arc.",
            "Begin the profile with a straight block.",
            block=first.block,
            unproven=True,
        )
    if all(not apart(point, first.end) for move in profile.moves[1:] for point in move.points):
        return CycleFault(
            "profile-stands-still",
            "The profile goes nowhere after its first block, so there is nothing to rough.",
            "Let P name the first block of the profile and Q the last.",
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


def wrong_side(call: Call) -> tuple[CycleFault, ...]:
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


def too_many_levels(most: int) -> CycleFault:
    """The fault of a call with more than `most` levels."""
    return CycleFault(
        "cannot-follow",
        f"The roughing call asks for more than {most:,} levels.",
        "Check the depth of a level for a missing decimal point.",
        unproven=True,
    )


def runs_back_fault(call: Call) -> CycleFault | None:
    """The fault of a profile that runs back against the feed of the levels, None if it does not.

    The first block of a profile with pockets counts too.
    """
    first = call.outline.along_sign * (call.outline.entry[0] - call.moved_start[0])
    backward = [p.block for p in call.outline.pieces if runs_back(call.outline, p)]
    if first < -TOUCH:
        backward.insert(0, call.moves[0].block)
    if not backward:
        return None
    return CycleFault(
        "profile-not-monotone",
        "The profile runs back against the cut here; what roughing does then is not followed.",
        "Take what runs back out of the roughing profile and cut it by itself.",
        block=backward[0],
        unproven=True,
    )


def pocket_walls(call: Call) -> tuple[CycleFault, ...]:
    """The allowance along the levels moves the profile away from the metal that lies ahead, and so
    into the wall that leads down into a pocket, which faces the other way."""
    along = -call.outline.along_sign * call.allowance[0]
    walls = [p for p in call.outline.pieces if deepens(call.outline, p)]
    if along <= TOUCH or not walls:
        return ()
    return (
        CycleFault(
            "allowance-in-pocket",
            "The profile goes down into a pocket here; the allowance along the levels moves this "
            "wall too, which is cut {along} too deep.",
            "Leave out the allowance along the levels, or cut the pocket by itself.",
            block=walls[0].block,
            measures=(Measure("along", along),),
        ),
    )


def not_monotone(call: Call, control: Control) -> tuple[CycleFault, ...]:
    """A pocket is left to the profile pass; a profile that runs back cannot be followed."""
    piece = first_not_monotone(call.outline)
    if piece is None:
        return ()
    fault = runs_back_fault(call)
    if fault is not None:
        return (fault,)
    state = control.pocket_in_plain_roughing
    if state == "alarm":
        message = "The profile has a pocket here, and this control stops with an alarm at the call."
    else:
        message = "The profile has a pocket here, which is left to the pass along the profile."
        if state is None:
            message += " Another control may stop with an alarm instead."
    return (
        CycleFault(
            "profile-not-monotone",
            message,
            "Take the pocket out of the roughing profile and cut it by itself.",
            block=piece.block,
        ),
        *pocket_walls(call),
    )


def levels_outside(most: int, control: Control) -> tuple[CycleFault, ...]:
    """`most` levels of a reading have nothing of the profile ahead of them."""
    if most == 0 or control.level_outside_profile == "to-exit":
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
