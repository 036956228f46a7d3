"""Programmed moves on their way to the table: what is driven, and what waits for the next move.

Frame: the section of the set-up, as in the table; (z, r) of the controlled point, mm.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum

from standclear.blocks.program import Block
from standclear.motions.nose.path import Waiting
from standclear.motions.nose.pieces import Piece
from standclear.motions.rows import Conditions
from standclear.motions.step import Position
from standclear.motions.table import Kind, Path


@dataclass(frozen=True, slots=True)
class Drive:
    """One move of the tool: a line or an arc, and what was in force in its block."""

    piece: Piece
    kind: Kind
    block: Block
    tool: int
    """Index into the run's called tools."""
    now: Conditions
    path: Path | None = None
    """What is known of the way; None for a rapid: as the machine's rapids run."""
    credited: bool = True
    compensated: bool = False
    """Its way is not the programmed one."""
    corner: CornerWord | None = None
    """The corner between it and the next move."""

    def along(self, piece: Piece) -> Drive:
        """The same move along another piece."""
        return replace(self, piece=piece, compensated=True)


class Corner(StrEnum):
    """What a corner word puts between two lines."""

    CHAMFER = "chamfer"
    ROUNDING = "rounding"


@dataclass(frozen=True, slots=True)
class CornerWord:
    """A corner between the line of its block and the next.

    `size`: what a chamfer takes off each line, or the radius, mm. `towards`: the heading (z, r)
    that the next line must have; None where the word does not say.
    """

    kind: Corner
    size: float
    text: str
    towards: Position | None = None


@dataclass(frozen=True, slots=True)
class HeldAngle:
    """A line known by its start and its angle alone: it ends where the next block's line begins.

    `degrees` counter-clockwise from +Z.
    """

    block: Block
    degrees: float
    corner: CornerWord | None


@dataclass(frozen=True, slots=True)
class HeldNose:
    """A move on the contour whose compensated end depends on the next."""

    drive: Drive
    waiting: Waiting


@dataclass
class Ahead:
    """What waits for the next move, and how long it has waited."""

    corner: Drive | None = None
    """A move that ends in a corner whose other side is not known yet."""
    angle: HeldAngle | None = None
    nose: HeldNose | None = None
    idle: int = 0
    """Blocks without motion since."""
    moved_in: int = -1
    """Index of the last block with motion."""
