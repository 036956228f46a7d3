"""The way of the imaginary tip under nose compensation, piece by piece.

A piece can be driven only when the one after it is known, so one piece waits at a time. All places
are those of the controlled point: the nose centre less its `lead`.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from enum import Enum
from typing import Literal

from standclear.motions.nose.joints import Corner, Joint, Misfit, followed, joint
from standclear.motions.nose.pieces import (
    ON,
    SAME_PLACE_MM,
    Piece,
    Side,
    aside,
    heading,
    length_of,
    moved_piece,
)
from standclear.motions.step import Position

Entry = Literal["perpendicular", "at-end"]


@dataclass(frozen=True, slots=True)
class Nose:
    """What the control holds of a tool: nose radius, and nose centre from the controlled point."""

    radius: float
    lead: Position
    """(z, r), mm; (0, 0) where the program moves the nose centre itself."""


@dataclass(frozen=True, slots=True)
class Manner:
    """How the control passes outside corners, and how it enters and leaves a contour."""

    corner: Corner
    entry: Entry
    apart: bool = False
    """A corner is kept apart from the two pieces, since one of them is a rapid: where the one ends
    and the other begins differs between controls."""


_ANY = Manner("arc", "perpendicular")
"""Where nothing follows no manner is asked for."""


class Trouble(Enum):
    """Why the way is not known."""

    TIGHT = "the nose does not fit into the contour"
    BACK = "the contour turns straight back"
    SHORT_ENTRY = "the move that leads to the contour or away from it is shorter than the nose"
    ARC_ENTRY = "an arc leads to the contour or away from it"
    OTHER_SIDE = "the side changes on the contour"
    NO_CONTOUR = "compensation ends where it begins"


@dataclass(frozen=True, slots=True)
class Waiting:
    """A programmed piece whose end depends on what comes next."""

    piece: Piece
    side: Side
    start: Position
    """Where the controlled point stands at its start."""
    enters: bool
    """It leads to the contour from an uncompensated place."""
    rapid: bool = False


@dataclass(frozen=True, slots=True)
class Driven:
    """What is driven of one piece: its own way, the corner after it, where the next one starts."""

    own: Piece
    corner: tuple[Piece, ...]
    next_start: Position
    trouble: Trouble | None = None
    short_by: float = 0.0
    """With SHORT_ENTRY: the length of the move, mm."""


def settle(waiting: Waiting, after: Piece | None, side: Side, nose: Nose, manner: Manner) -> Driven:
    """The way of the waiting piece, now that the next one (or None: nothing follows) is known.

    `side` is that of the next piece, `ON` where it leads away from the contour. Where nothing
    follows, the nose stands square to the end of the piece, and an entry ends where the program
    says. Where there is trouble the way is a straight line that only keeps the ends together.
    """
    piece = waiting.piece
    if after is None:
        return _ended(waiting, nose)
    if side not in (ON, waiting.side):
        return _in_trouble(waiting, nose, Trouble.OTHER_SIDE)
    if waiting.enters and side == ON:
        return _in_trouble(waiting, nose, Trouble.NO_CONTOUR)
    if (waiting.enters and piece.centre) or (side == ON and after.centre):
        return _in_trouble(waiting, nose, Trouble.ARC_ENTRY)
    met = _meeting(waiting, after, side, nose.radius, manner)
    if met.misfit:
        trouble = Trouble.BACK if met.misfit is Misfit.BACK else Trouble.TIGHT
        return _in_trouble(waiting, nose, trouble)
    back = (-nose.lead[0], -nose.lead[1])
    corner = tuple(moved_piece(each, back) for each in met.between if each.moves)
    next_start = _shifted(met.arrive, back)
    if waiting.enters:
        own = Piece(waiting.start, _shifted(met.leave, back))
        driven = Driven(own, corner, next_start)
        return _checked_length(driven, piece, nose.radius)
    begin = _shifted(waiting.start, nose.lead)
    kept = followed(piece, waiting.side, nose.radius, begin, met.leave)
    if kept is None:
        return _in_trouble(waiting, nose, Trouble.TIGHT)
    driven = Driven(moved_piece(kept, back), corner, next_start)
    return _checked_length(driven, after, nose.radius) if side == ON else driven


def _meeting(waiting: Waiting, after: Piece, side: Side, radius: float, manner: Manner) -> Joint:
    """The joint, as the manner of entry and exit has it where one of the two is not followed."""
    piece, own = waiting.piece, waiting.side
    if waiting.enters and manner.entry == "perpendicular":
        at = aside(after.start, heading(after, "start"), own, radius)
        return Joint(at, (), at)
    if side == ON and manner.entry == "perpendicular":
        at = aside(piece.end, heading(piece, "end"), own, radius)
        return Joint(at, (), at)
    return joint(
        piece,
        after,
        own,
        radius,
        manner.corner,
        apart=manner.apart,
        follows_before=not waiting.enters,
        follows_after=side != ON,
    )


def _ended(waiting: Waiting, nose: Nose) -> Driven:
    """The last piece before something that is not compensated."""
    piece = waiting.piece
    if waiting.enters:
        return Driven(Piece(waiting.start, piece.end), (), piece.end)
    at = aside(piece.end, heading(piece, "end"), waiting.side, nose.radius)
    kept = followed(piece, waiting.side, nose.radius, _shifted(waiting.start, nose.lead), at)
    if kept is None:
        return _in_trouble(waiting, nose, Trouble.TIGHT)
    back = (-nose.lead[0], -nose.lead[1])
    return Driven(moved_piece(kept, back), (), _shifted(at, back))


def _in_trouble(waiting: Waiting, nose: Nose, trouble: Trouble) -> Driven:
    square = aside(waiting.piece.end, heading(waiting.piece, "end"), waiting.side, nose.radius)
    end = _shifted(square, (-nose.lead[0], -nose.lead[1]))
    return Driven(Piece(waiting.start, end), (), end, trouble)


def _checked_length(driven: Driven, lead: Piece, radius: float) -> Driven:
    """Entries and exits shorter than the nose: some controls stop with an alarm, some cut in."""
    length = length_of(lead)
    if length >= radius - SAME_PLACE_MM:
        return driven
    return replace(driven, trouble=Trouble.SHORT_ENTRY, short_by=length)


def _shifted(point: Position, by: Position) -> Position:
    return point[0] + by[0], point[1] + by[1]


@dataclass(frozen=True, slots=True)
class Course:
    """A programmed piece and the side in force in its block."""

    piece: Piece
    side: Side
    rapid: bool = False


MannerAt = Callable[[Waiting, Piece, Side], Manner]
"""The control's manner between a waiting piece and the next, with the side of the next."""


def tip_path(
    courses: Sequence[Course],
    nose: Nose,
    manner_at: MannerAt,
    before: Waiting | None = None,
    away: Piece | None = None,
) -> list[Driven]:
    """The driven way of each piece of a contour, in order; pieces must move and join.

    The tool stands uncompensated where the first piece starts, or is on its way there along a
    piece `before`, which is the first in the answer. `away`: what leads away at the end,
    uncompensated and not itself in the answer; None: the nose ends square to the last piece.
    """
    driven: list[Driven] = []
    waiting = before
    at = courses[0].piece.start if courses else (0.0, 0.0)
    for course in courses:
        enters = waiting is None
        if waiting is not None:
            manner = manner_at(waiting, course.piece, course.side)
            manner = replace(manner, apart=waiting.rapid != course.rapid)
            driven.append(settle(waiting, course.piece, course.side, nose, manner))
            at, waiting = driven[-1].next_start, None
        if course.side == ON:
            own = uncompensated(course.piece, at)
            driven.append(Driven(own, (), own.end))
            at = own.end
        else:
            waiting = Waiting(course.piece, course.side, at, enters, course.rapid)
    if waiting is not None:
        manner = _ANY if away is None else manner_at(waiting, away, ON)
        driven.append(settle(waiting, away, ON, nose, manner))
    return driven


def uncompensated(piece: Piece, at: Position) -> Piece:
    """A piece driven from where the tool stands: as written, or straight away from a contour."""
    return piece if math.dist(at, piece.start) <= SAME_PLACE_MM else Piece(at, piece.end)
