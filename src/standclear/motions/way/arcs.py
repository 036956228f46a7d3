"""Arcs in the section: the centre from the words, and the chords that stand for the arc.

Frame: (z, r) in millimetres, Z to the right and r up, where G02 is clockwise and G03
counter-clockwise (ISO 841, ISO 6983-1).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from standclear.motions.step import Position

CHORD_SAGITTA_MM = 0.0005
"""How far a chord may leave its arc: half of the thousandth that the proof may be wrong by."""
_ROUND_OFF_MM = 1e-9


@dataclass(frozen=True, slots=True)
class Arc:
    """An arc as chords. `disagreement` is the difference of its radii at start and end, mm."""

    points: tuple[Position, ...]
    sagitta: float
    disagreement: float
    centre: Position
    clockwise: bool
    chord_sagitta: float
    """How far a chord leaves an arc whose radii agree."""

    @property
    def slack(self) -> float:
        """The part of the sagitta that comes from radii that disagree."""
        return self.sagitta - self.chord_sagitta


def centre_from_radius(
    start: Position, end: Position, radius: float, clockwise: bool
) -> tuple[Position, float] | None:
    """Centre of the arc with R, and by how much R is too short to join the points (0 if it is not).

    R below 0 means more than 180 degrees. None where start and end are the same point or R is 0:
    then no single arc is meant.
    """
    dz, dr = end[0] - start[0], end[1] - start[1]
    chord = math.hypot(dz, dr)
    if chord < _ROUND_OFF_MM or radius == 0:
        return None
    height_squared = radius * radius - chord * chord / 4
    short = max(0.0, chord / 2 - abs(radius))
    height = math.sqrt(max(0.0, height_squared))
    # The centre of a short counter-clockwise arc lies to the left of the way from start to end.
    side = (-1.0 if clockwise else 1.0) * (1.0 if radius > 0 else -1.0)
    middle = ((start[0] + end[0]) / 2, (start[1] + end[1]) / 2)
    centre = (middle[0] - side * height * dr / chord, middle[1] + side * height * dz / chord)
    return centre, short


def chords(start: Position, end: Position, centre: Position, clockwise: bool) -> Arc | None:
    """The arc from start to end about a centre, as chords within `CHORD_SAGITTA_MM` of it.

    Where the two radii disagree the radius runs evenly from one to the other and the disagreement
    is added to the sagitta, since controls close the gap in different ways. An arc that leaves a
    line along its tangent joins it within the sagitta, so that cutting both again cuts nothing.
    None where start and
    end coincide (a full circle or no motion at all, as the control has it) or a radius is 0.
    """
    first = (start[0] - centre[0], start[1] - centre[1])
    last = (end[0] - centre[0], end[1] - centre[1])
    first_radius, last_radius = math.hypot(*first), math.hypot(*last)
    if math.dist(start, end) < _ROUND_OFF_MM or min(first_radius, last_radius) < _ROUND_OFF_MM:
        return None
    begin = math.atan2(first[1], first[0])
    turn = math.atan2(last[1], last[0]) - begin
    if clockwise:
        turn = -((-turn) % math.tau)
    else:
        turn %= math.tau
    largest = max(first_radius, last_radius)
    widest = 2 * math.acos(max(-1.0, 1 - min(CHORD_SAGITTA_MM / largest, 1.0)))
    # A hair over a whole number of chords still needs the next one; the bound must hold.
    count = max(1, math.ceil(abs(turn) / widest))
    points = []
    for k in range(1, count):
        share = k / count
        radius = first_radius + share * (last_radius - first_radius)
        angle = begin + share * turn
        points.append((centre[0] + radius * math.cos(angle), centre[1] + radius * math.sin(angle)))
    points.append(end)
    sagitta = largest * (1 - math.cos(abs(turn) / count / 2))
    disagreement = abs(first_radius - last_radius)
    return Arc(tuple(points), sagitta + disagreement, disagreement, centre, clockwise, sagitta)
