"""Profiles and step lists written short, for the tests of the cycles.

Positions are (z, r) in millimetres. A step list reads `("R", z, r)` for a rapid, `("F", z, r)` for
a feed, `("?", z, r)` for a rapid anywhere in the rectangle.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import cos, pi, sin

from standclear.job.models import Control
from standclear.motions.step import Position, Profile, ProfileMove, Reading
from standclear.motions.table import Kind, Path

STATED = Control(
    levels_from="moved-start",
    last_level="left-to-profile",
    level_end="45-degrees",
    home_after_cycle="direct",
    level_outside_profile="to-exit",
    pocket_in_plain_roughing="left",
    pecking_x="radial",
)
"""Every row that acts inside a call is stated: one reading."""


def stated(**rows: str | None) -> Control:
    """`STATED` with some rows changed; None opens one."""
    return STATED.model_copy(update=rows)


def profile(start: Position, *points: Position, first: Kind = Kind.RAPID) -> Profile:
    """Lines through the points; the blocks are numbered from 10."""
    moves = []
    here = start
    for number, point in enumerate(points):
        moves.append(
            ProfileMove(
                first if number == 0 else Kind.FEED,
                (point,),
                10 + number,
                has_x=point[1] != here[1],
                has_z=point[0] != here[0],
            )
        )
        here = point
    return Profile(start, tuple(moves))


def arc_move(
    centre: Position, radius: float, begin: float, end: float, chords: int, block: int
) -> ProfileMove:
    """An arc as equal chords; angles in degrees from +z towards +r."""
    angles = [begin + (end - begin) * k / chords for k in range(1, chords + 1)]
    points = tuple(
        (centre[0] + radius * cos(a * pi / 180), centre[1] + radius * sin(a * pi / 180))
        for a in angles
    )
    half_step = abs(end - begin) / chords / 2
    sagitta = radius * (1 - cos(half_step * pi / 180))
    return ProfileMove(Kind.FEED, points, block, has_x=True, has_z=True, sagitta=sagitta)


def short(reading: Reading) -> list[tuple[str, float, float]]:
    """The steps of a reading as a list that can be written by hand, rounded to a nanometre."""
    letters = {Kind.RAPID: "R", Kind.FEED: "F"}
    return [
        (
            "?" if step.path is Path.ANYWHERE else letters[step.kind],
            round(step.end[0], 6) + 0.0,
            round(step.end[1], 6) + 0.0,
        )
        for step in reading.steps
    ]


def only(readings: Sequence[Reading]) -> Reading:
    """The one reading there is."""
    assert len(readings) == 1
    return readings[0]
