"""Roughing by repeating the profile: G73.

Common practice across makes of lathe, for cast and forged blanks: the profile is run n times, first
shifted away from the finished part, then nearer by equal parts, last displaced by the allowance
alone. Frame: (z, r).

Pass j of 0..n-1 lies at shift (1 - j/(n-1)) + allowance: rapid to S so displaced, to the displaced
entry as the first block says, along the displaced profile, and back for the next pass. The ways
between the passes are taken like the way home. With one pass alone controls differ: it lies at the
whole shift or at the allowance alone.
"""

from __future__ import annotations

from typing import Literal

from standclear.findings.finding import Measure
from standclear.job.models import Control
from standclear.motions.cycles.path import (
    MOST_STEPS,
    Result,
    follow,
    home_of,
    moved,
    only_moving,
    rapid,
    sign,
    way_home,
)
from standclear.motions.step import CycleFault, Position, Profile, Reading, Step

OnePass = Literal["shifted", "unshifted"]
ONE_PASS: tuple[OnePass, ...] = ("shifted", "unshifted")


def pattern(
    profile: Profile, i: float, k: float, passes: int, u: float, w: float, control: Control
) -> Result:
    """G73: `passes` runs along the profile, the first shifted by `i` (radial) and `k` (along Z).

    `u` diametral and `w` along Z are the allowance; all four signed, millimetres.

    Faults: `profile-missing` and `cycle-depth-unknown` (no pass at all; both unproven),
    `cannot-follow` (unproven) beyond `MOST_STEPS` steps, `allowance-wrong-side` for a shift or an
    allowance that points into the finished part.
    """
    fault = _refusal(profile, passes)
    if fault is not None:
        return (Reading((), ()),), (fault,)
    home = home_of(control)
    allowance = (w, u / 2)
    readings: dict[tuple[Step, ...], Reading] = {}
    for value, shares in _shares(passes, control.pattern_one_pass):
        steps: list[Step] = []
        for share in shares:
            by = moved(allowance, (k * share, i * share))
            begin = moved(profile.start, by)
            steps += way_home(steps[-1].end, begin, home) if steps else [rapid(begin)]
            steps += follow(profile.moves, by)
        steps += way_home(steps[-1].end, profile.start, home)
        kept = only_moving(profile.start, steps)
        readings.setdefault(kept, Reading((f"pattern_one_pass={value}",) if value else (), kept))
    found = tuple(readings.values())
    if len(found) == 1:
        found = (Reading((), found[0].steps),)
    return found, _wrong_side(profile, (k, i), allowance)


def _shares(
    passes: int, stated: OnePass | None
) -> tuple[tuple[OnePass | None, tuple[float, ...]], ...]:
    """How much of the shift each pass keeps, for each open value of the row for one pass."""
    if passes > 1:
        return ((None, tuple(1 - j / (passes - 1) for j in range(passes))),)
    values = ONE_PASS if stated is None else (stated,)
    return tuple((value, (1.0 if value == "shifted" else 0.0,)) for value in values)


def _refusal(profile: Profile, passes: int) -> CycleFault | None:
    """Why the call cannot be followed, None if it can."""
    if not profile.moves:
        return CycleFault(
            "profile-missing",
            "The pattern call names a profile without a single motion.",
            "Write the profile between the two labels of the call.",
            unproven=True,
        )
    if passes < 1:
        return CycleFault(
            "cycle-depth-unknown",
            "The pattern call asks for no pass at all.",
            "Give the number of passes as a whole number above zero.",
            unproven=True,
        )
    if passes * sum(len(move.points) for move in profile.moves) > MOST_STEPS:
        return CycleFault(
            "cannot-follow",
            f"The pattern call asks for more than {MOST_STEPS:,} motions.",
            "Check the number of passes.",
            unproven=True,
        )
    return None


def _wrong_side(profile: Profile, shift: Position, allowance: Position) -> tuple[CycleFault, ...]:
    """Shift and allowance must be nothing or point away from the finished part, in each axis."""
    ways = (
        sign(profile.exit[0] - profile.start[0]),
        sign(profile.entry[1] - profile.start[1]),
    )
    faults = []
    for name, result, by in (
        ("shift", "the first passes cut deeper than the last", shift),
        ("finishing allowance", "the passes cut below the profile by that much", allowance),
    ):
        along, across = (max(way * part, 0.0) for way, part in zip(ways, by, strict=True))
        parts = [
            *(["{along} in Z"] if along > 0 else []),
            *(["{across} in X, radial,"] if across > 0 else []),
        ]
        if parts:
            faults.append(
                CycleFault(
                    "allowance-wrong-side",
                    f"The {name} points into the finished part, {' and '.join(parts)}: {result}.",
                    f"Change the sign of the {name}, or check which way the profile is written.",
                    measures=(Measure("along", along), Measure("across", across)),
                )
            )
    return tuple(faults)
