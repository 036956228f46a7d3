"""Corners between the straight blocks of a profile."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from standclear.motions.nose.pieces import Piece
from standclear.motions.run import Run, report
from standclear.motions.step import Position, ProfileMove
from standclear.motions.table import Kind
from standclear.motions.way.arcs import chords
from standclear.motions.way.corners import NO_NEXT_LINE, UNFIT, Unfit, cornered
from standclear.motions.way.drive import CornerWord


@dataclass(frozen=True, slots=True)
class Cornering:
    """A block of a profile, and the corner between it and the next."""

    move: ProfileMove
    corner: CornerWord | None = None


def with_corners(run: Run, start: Position, blocks: Sequence[Cornering]) -> list[ProfileMove]:
    """The moves of a profile from `start`, each corner a move of its own after its block's.

    A corner that has no meaning is reported, and the lines then meet as written.
    """
    moves: list[ProfileMove] = []
    at = start
    for index, each in enumerate(blocks):
        move = each.move
        following = blocks[index + 1].move if index + 1 < len(blocks) else None
        if each.corner is not None:
            turned = _turned(run, at, move, following, each.corner)
            moves += turned
        else:
            moves.append(move)
        at = moves[-1].end
    return moves


def _turned(
    run: Run, at: Position, move: ProfileMove, following: ProfileMove | None, word: CornerWord
) -> list[ProfileMove]:
    """A line as far as its corner, and the corner; the next line begins where that ends."""
    fault = NO_NEXT_LINE
    if following is not None and following.kind == Kind.FEED and following.centre is None:
        found = cornered(Piece(at, move.end), Piece(move.end, following.end), word)
        if not isinstance(found, Unfit):
            line = replace(move, points=(found.before.end,))
            return [line, _corner_move(move, found.corner)]
        fault = UNFIT[found]
    code, message, cure = fault
    block = run.program.blocks[move.block]
    report(run, code, block, message.format(word=word.text), cure, unproven=True)
    return [move]


def _corner_move(move: ProfileMove, piece: Piece) -> ProfileMove:
    corner = replace(move, points=(piece.end,), has_x=True, has_z=True)
    if piece.centre is None:
        return corner
    arc = chords(piece.start, piece.end, piece.centre, piece.clockwise)
    if arc is None:
        return corner
    return replace(
        corner,
        points=arc.points,
        sagitta=arc.sagitta,
        centre=piece.centre,
        clockwise=piece.clockwise,
    )
