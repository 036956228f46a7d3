"""Where the nose centre passes from one piece of the contour to the next.

Inside corners and tangents: where the two offsets cross. Outside corners: an arc about the
corner, or its square, as the control has it (common practice, no source).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise
from typing import Literal

from standclear.motions.nose.pieces import (
    SAME_PLACE_MM,
    Piece,
    Side,
    aside,
    beside,
    crossings,
    heading,
    sweep,
    turn_between,
)
from standclear.motions.step import Position

Corner = Literal["arc", "square"]

NEARLY_TANGENT = math.radians(1.0)
"""Pieces that turn by less and whose offsets miss each other, as rounding to the least increment
makes them, are joined straight: the nose then leaves the contour by less than r/6000."""
_NO_TURN = 1e-9
_TURNED_BACK = math.pi - 1e-6


class Misfit(StrEnum):
    """Why no path of the nose follows the contour here."""

    NONE = ""
    TIGHT = "tight"
    """The nose does not fit into the corner or arc."""
    BACK = "back"
    """The contour turns straight back on itself: controls go on in different ways."""


@dataclass(frozen=True, slots=True)
class Joint:
    """The nose centre leaves one piece at `leave`, runs `between`, follows the next from
    `arrive`."""

    leave: Position
    between: tuple[Piece, ...]
    arrive: Position
    misfit: Misfit = Misfit.NONE


def joint(
    before: Piece,
    after: Piece,
    side: Side,
    radius: float,
    corner: Corner,
    *,
    apart: bool = False,
    follows_before: bool = True,
    follows_after: bool = True,
) -> Joint:
    """How the nose centre passes the corner between two pieces of a contour.

    `apart`: a square corner stands between the two pieces and lengthens neither.

    `follows_before` False: the piece before leads to the contour and is not followed itself
    (entry); `follows_after` False: the piece after leads away from it (exit). Such a piece does
    not bound an inside corner: the nose stands square to the end of the other one.
    """
    end = aside(before.end, heading(before, "end"), side, radius)
    start = aside(after.start, heading(after, "start"), side, radius)
    turn = turn_between(before, after)
    if abs(turn) >= _TURNED_BACK:
        return Joint(end, (), start, Misfit.BACK)
    if abs(turn) <= _NO_TURN or math.dist(end, start) <= SAME_PLACE_MM:
        return Joint(end, (), end)
    if turn * side < 0:
        if corner == "arc":
            return Joint(end, (Piece(end, start, before.end, turn < 0),), start)
        points = _square(before, after, end, start, turn)
        if before.centre is None and follows_before and not apart:
            points = points[1:]
        if after.centre is None and follows_after and not apart:
            points = points[:-1]
        between = tuple(Piece(a, b) for a, b in pairwise(points))
        return Joint(points[0], between, points[-1])
    if not follows_before:
        return Joint(start, (), start)
    if not follows_after:
        return Joint(end, (), end)
    return _inside(before, after, side, radius, end, start, turn)


def _inside(
    before: Piece,
    after: Piece,
    side: Side,
    radius: float,
    end: Position,
    start: Position,
    turn: float,
) -> Joint:
    one, other = beside(before, side, radius), beside(after, side, radius)
    found = crossings(one, other) if one is not None and other is not None else []
    if found:
        best = min(found, key=lambda p: math.dist(p, end) + math.dist(p, start))
        return Joint(best, (), best)
    if abs(turn) <= NEARLY_TANGENT:
        return Joint(end, (Piece(end, start),), start)
    return Joint(end, (), start, Misfit.TIGHT)


def _square(
    before: Piece, after: Piece, end: Position, start: Position, turn: float
) -> list[Position]:
    """Both offsets run on straight until they cross; beyond a right angle each runs on by one
    radius only and a straight line joins them (common practice, no source)."""
    radius = math.dist(before.end, end)
    a, b = heading(before, "end"), heading(after, "start")
    reach = radius * min(math.tan(abs(turn) / 2), 1.0)
    first = (end[0] + reach * a[0], end[1] + reach * a[1])
    if abs(turn) <= math.pi / 2:
        return [end, first, start]
    second = (start[0] - reach * b[0], start[1] - reach * b[1])
    return [end, first, second, start]


def followed(
    piece: Piece, side: Side, radius: float, begin: Position, end: Position
) -> Piece | None:
    """The offset of a piece between the two joints; None where the nose touches no place of it,
    since the joints lie the wrong way round."""
    whole = beside(piece, side, radius)
    if whole is None:
        return None
    kept = Piece(begin, end, piece.centre, piece.clockwise, piece.slack)
    if piece.centre is None:
        along = heading(piece, "start")
        first, last = (
            (p[0] - whole.start[0]) * along[0] + (p[1] - whole.start[1]) * along[1]
            for p in (begin, end)
        )
        # Where a square corner runs on past the line's own end the nose no longer touches it.
        touches = min(last, math.dist(whole.start, whole.end)) - max(first, 0.0)
        return kept if touches >= -SAME_PLACE_MM else None
    if not kept.moves:
        return Piece(begin, end)
    if math.dist(piece.centre, begin) < SAME_PLACE_MM:
        return Piece(begin, end)
    # Joints on the wrong side of each other leave nearly a whole turn instead of a little less
    # than nothing.
    return kept if abs(sweep(kept)) <= abs(sweep(piece)) + 1e-6 else None
