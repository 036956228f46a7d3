"""The moved profile as straight pieces, and where a roughing level first meets it.

Frame: (along, across), see `path`. Signs: `along_sign` is the way the levels are fed, `across_sign`
the way they are counted, from the clearance point into the metal.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from math import hypot

import numpy as np
from numpy.typing import NDArray

from standclear.motions.cycles.path import TOUCH, apart, moved
from standclear.motions.step import Position, ProfileMove


@dataclass(frozen=True, slots=True)
class Piece:
    """A line of the profile, or one chord of an arc that stays within `sagitta` of it."""

    start: Position
    end: Position
    block: int
    sagitta: float

    def outer(self) -> tuple[Position, ...]:
        """Corners of what holds every arc within the sagitta; the two ends of a line."""
        if self.sagitta == 0:
            return self.start, self.end
        run = self.end[0] - self.start[0]
        rise = self.end[1] - self.start[1]
        length = hypot(run, rise)
        aside = (-rise / length * self.sagitta, run / length * self.sagitta)
        back = (-aside[0], -aside[1])
        return (
            moved(self.start, aside),
            moved(self.end, aside),
            moved(self.end, back),
            moved(self.start, back),
        )


@dataclass(frozen=True, slots=True)
class Meeting:
    """Where a level first meets the profile: on piece `index`, at `along`."""

    index: int
    along: float


@dataclass(frozen=True, slots=True)
class Outline:
    """The moved profile from entry to exit, with the directions of the cut."""

    pieces: tuple[Piece, ...]
    along_sign: int
    across_sign: int
    lowest: NDArray[np.float64] = field(repr=False, compare=False)
    """(n,): least across that piece i may reach, its sagitta included."""
    highest: NDArray[np.float64] = field(repr=False, compare=False)

    @property
    def entry(self) -> Position:
        """Start of the first piece."""
        return self.pieces[0].start

    @property
    def exit(self) -> Position:
        """End of the last piece."""
        return self.pieces[-1].end


def outline_of(
    moves: Sequence[ProfileMove], by: Position, along_sign: int, across_sign: int
) -> Outline:
    """The pieces of a profile displaced by `by`, from the end of its first block to its exit.

    Blocks that do not move are left out. At least one block after the first must move.
    """
    pieces: list[Piece] = []
    here = moved(moves[0].end, by)
    for move in moves[1:]:
        for point in move.points:
            there = moved(point, by)
            if apart(here, there):
                pieces.append(Piece(here, there, move.block, move.sagitta))
                here = there
    ends = np.array([(p.start[1], p.end[1]) for p in pieces], dtype=np.float64).reshape(-1, 2)
    slack = np.array([p.sagitta for p in pieces], dtype=np.float64) + TOUCH
    return Outline(
        tuple(pieces),
        along_sign,
        across_sign,
        ends.min(axis=1) - slack,
        ends.max(axis=1) + slack,
    )


def first_not_monotone(outline: Outline) -> Piece | None:
    """The first piece that turns back along the cut or goes deeper again, None if there is none."""
    for piece in outline.pieces:
        if turns_back(outline, piece):
            return piece
    return None


def turns_back(outline: Outline, piece: Piece) -> bool:
    """True where the piece runs against the feed of the levels, or deepens."""
    return runs_back(outline, piece) or deepens(outline, piece)


def runs_back(outline: Outline, piece: Piece) -> bool:
    """True where the piece ends nearer to where levels begin than it starts."""
    return outline.along_sign * (piece.end[0] - piece.start[0]) < -TOUCH


def deepens(outline: Outline, piece: Piece) -> bool:
    """True where the piece ends deeper, as levels are counted, than it begins."""
    return outline.across_sign * (piece.end[1] - piece.start[1]) > TOUCH


def first_meeting(outline: Outline, along: float, across: float) -> Meeting | None:
    """Where a level at `across`, fed from `along`, first meets the profile; None: nowhere ahead.

    Lines are met exactly. An arc may lie up to its sagitta to either side of its chord: the
    meeting is the earliest that any such arc allows, so that no level is credited with more than
    it cuts. A level that only touches a stretch of the profile parallel to it ends where that
    stretch begins. A level at the entry's own depth lies on the profile from its start: it runs
    along a parallel first stretch to the end of that.
    """
    first = _leave_entry(outline, across)
    best: Meeting | None = None
    reached = (outline.lowest[first:] <= across) & (outline.highest[first:] >= across)
    for index in (first + np.flatnonzero(reached)).tolist():
        piece = outline.pieces[index]
        ahead = [outline.along_sign * (a - along) for a in crossings(piece, across)]
        if not ahead or max(ahead) < -TOUCH:
            continue
        nearest = max(min(ahead), 0.0)
        if best is None or nearest < outline.along_sign * (best.along - along):
            best = Meeting(index, along + outline.along_sign * nearest)
    if best is None:
        return None
    return Meeting(best.index, _as_written(outline.pieces[best.index], best.along))


def point_before(outline: Outline, meeting: Meeting, across: float) -> Position:
    """Where a feed along the profile reaches the level at `across`, whose meeting is given.

    On a chord, its point at the meeting's place along: no arc reaches the level before it.
    """
    piece = outline.pieces[meeting.index]
    if piece.sagitta == 0:
        return (meeting.along, across)
    run = piece.end[0] - piece.start[0]
    rise = piece.end[1] - piece.start[1]
    if abs(run) > TOUCH:
        share = (meeting.along - piece.start[0]) / run
    else:
        share = (across - piece.start[1]) / rise
    share = min(max(share, 0.0), 1.0)
    return (piece.start[0] + share * run, piece.start[1] + share * rise)


def _leave_entry(outline: Outline, across: float) -> int:
    """Index of the first piece that a level at `across` can meet.

    Not 0 only where the level has the entry's own depth: lines that run along the level from the
    entry are not met, nor is a line that then leads away into the metal side.
    """
    if abs(outline.entry[1] - across) > TOUCH:
        return 0
    index = 0
    while index < len(outline.pieces):
        piece = outline.pieces[index]
        if piece.sagitta > 0:
            return index
        if abs(piece.end[1] - across) > TOUCH:
            return index + 1 if deepens(outline, piece) else index
        index += 1
    return index


def crossings(piece: Piece, across: float) -> list[float]:
    """Where the line at `across` crosses or touches the piece, as values of along.

    For a chord of an arc, the rectangle that holds every arc within its sagitta stands in.
    """
    found: list[float] = []
    for one, other in _edges(piece):
        before, after = one[1] - across, other[1] - across
        if abs(before) <= TOUCH:
            found.append(one[0])
        if abs(after) <= TOUCH:
            found.append(other[0])
        if min(before, after) < -TOUCH and max(before, after) > TOUCH:
            found.append(one[0] + before / (before - after) * (other[0] - one[0]))
    return found


def _edges(piece: Piece) -> Iterator[tuple[Position, Position]]:
    corners = piece.outer()
    yield from pairwise((*corners, corners[0]) if len(corners) > 2 else corners)


def _as_written(piece: Piece, along: float) -> float:
    """The piece's own coordinate where the value found differs from it by rounding only."""
    for point in (piece.start, piece.end):
        if abs(point[0] - along) <= TOUCH:
            return point[0]
    return along
