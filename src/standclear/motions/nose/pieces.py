"""Lines and arcs of a contour, and the same a nose radius to one side.

Frame: (z, r) in millimetres, Z to the right and r up, where G02 is clockwise and G03
counter-clockwise (ISO 841, ISO 6983-1). Angles in radians, positive to the left.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from standclear.motions.step import Position

SAME_PLACE_MM = 1e-9
"""Two points nearer than this are one: a millionth of the least increment of a control."""

Side = Literal[-1, 0, 1]
"""Where the nose centre goes, seen along the travel: left (G41) 1, right (G42) -1, on it 0."""
LEFT: Side = 1
RIGHT: Side = -1
ON: Side = 0


@dataclass(frozen=True, slots=True)
class Piece:
    """A straight line, or an arc about `centre`, from `start` to `end`."""

    start: Position
    end: Position
    centre: Position | None = None
    clockwise: bool = False
    slack: float = 0.0
    """How far the true way may leave an arc whose two radii disagree, mm."""

    @property
    def moves(self) -> bool:
        """False where it ends where it starts."""
        return math.dist(self.start, self.end) > SAME_PLACE_MM


def heading(piece: Piece, at: Literal["start", "end"]) -> Position:
    """Unit vector along the travel at one end of a piece that moves."""
    point = piece.start if at == "start" else piece.end
    if piece.centre is None:
        dz, dr = piece.end[0] - piece.start[0], piece.end[1] - piece.start[1]
    else:
        dz, dr = piece.centre[1] - point[1], point[0] - piece.centre[0]
        if piece.clockwise:
            dz, dr = -dz, -dr
    length = math.hypot(dz, dr)
    return dz / length, dr / length


def length_of(piece: Piece) -> float:
    """Length of the way, mm."""
    if piece.centre is None:
        return math.dist(piece.start, piece.end)
    radius = math.dist(piece.centre, piece.start)
    return radius * abs(sweep(piece))


def sweep(piece: Piece) -> float:
    """Angle an arc turns through, above 0 counter-clockwise; 0 for a line."""
    if piece.centre is None:
        return 0.0
    begin = math.atan2(piece.start[1] - piece.centre[1], piece.start[0] - piece.centre[0])
    end = math.atan2(piece.end[1] - piece.centre[1], piece.end[0] - piece.centre[0])
    return -((begin - end) % math.tau) if piece.clockwise else (end - begin) % math.tau


def turn_between(before: Piece, after: Piece) -> float:
    """Change of heading from the end of one piece to the start of the next, -pi to pi."""
    a, b = heading(before, "end"), heading(after, "start")
    return math.atan2(a[0] * b[1] - a[1] * b[0], a[0] * b[0] + a[1] * b[1])


def aside(point: Position, along: Position, side: Side, distance: float) -> Position:
    """`point` moved square to the unit vector `along`."""
    return point[0] - side * distance * along[1], point[1] + side * distance * along[0]


def moved_piece(piece: Piece, by: Position) -> Piece:
    """The piece displaced."""
    centre = piece.centre
    return Piece(
        (piece.start[0] + by[0], piece.start[1] + by[1]),
        (piece.end[0] + by[0], piece.end[1] + by[1]),
        None if centre is None else (centre[0] + by[0], centre[1] + by[1]),
        piece.clockwise,
        piece.slack,
    )


def beside(piece: Piece, side: Side, distance: float) -> Piece | None:
    """The piece moved `distance` to one side: a parallel line, an arc about the same centre.

    None where the arc curves to that side with less than `distance` for its radius; with just as
    much it shrinks to a point.
    """
    start = aside(piece.start, heading(piece, "start"), side, distance)
    end = aside(piece.end, heading(piece, "end"), side, distance)
    if piece.centre is not None and curves_to(piece, side):
        least = min(math.dist(piece.centre, piece.start), math.dist(piece.centre, piece.end))
        if least < distance - SAME_PLACE_MM:
            return None
    return Piece(start, end, piece.centre, piece.clockwise, piece.slack)


def curves_to(piece: Piece, side: Side) -> bool:
    """True for an arc whose centre lies on that side of the travel."""
    return piece.centre is not None and (side == RIGHT) == piece.clockwise and side != ON


def crossings(one: Piece, other: Piece) -> list[Position]:
    """Where the endless line or whole circle of one piece crosses that of the other."""
    if one.centre is None and other.centre is None:
        return _line_line(one, other)
    if one.centre is None:
        return _line_circle(one, other)
    if other.centre is None:
        return _line_circle(other, one)
    return _circle_circle(one, other)


def _line_line(one: Piece, other: Piece) -> list[Position]:
    a, b = heading(one, "start"), heading(other, "start")
    cross = a[0] * b[1] - a[1] * b[0]
    if abs(cross) < 1e-12:
        return []
    dz, dr = other.start[0] - one.start[0], other.start[1] - one.start[1]
    t = (dz * b[1] - dr * b[0]) / cross
    return [(one.start[0] + t * a[0], one.start[1] + t * a[1])]


def _line_circle(line: Piece, arc: Piece) -> list[Position]:
    assert arc.centre is not None
    along = heading(line, "start")
    dz, dr = arc.centre[0] - line.start[0], arc.centre[1] - line.start[1]
    foot = dz * along[0] + dr * along[1]
    away = dz * along[1] - dr * along[0]
    return [
        (line.start[0] + t * along[0], line.start[1] + t * along[1])
        for t in _roots(foot, math.dist(arc.centre, arc.start), away)
    ]


def _circle_circle(one: Piece, other: Piece) -> list[Position]:
    assert one.centre is not None and other.centre is not None
    apart = math.dist(one.centre, other.centre)
    if apart < SAME_PLACE_MM:
        return []
    radius, radius_other = math.dist(one.centre, one.start), math.dist(other.centre, other.start)
    foot = (apart**2 + radius**2 - radius_other**2) / (2 * apart)
    unit = (
        (other.centre[0] - one.centre[0]) / apart,
        (other.centre[1] - one.centre[1]) / apart,
    )
    return [
        (
            one.centre[0] + foot * unit[0] - height * unit[1],
            one.centre[1] + foot * unit[1] + height * unit[0],
        )
        for height in _roots(0.0, radius, foot)
    ]


def _roots(middle: float, radius: float, away: float) -> list[float]:
    """Both places on a chord at distance `away` from the centre, one where it just touches."""
    squared = radius * radius - away * away
    if squared < 0:
        # Two curves that touch, worked in floats, may miss each other by the last digits.
        return [middle] if abs(away) - radius < SAME_PLACE_MM else []
    half = math.sqrt(squared)
    return [middle - half, middle + half]
