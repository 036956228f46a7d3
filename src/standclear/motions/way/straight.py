"""Straight feeds: where a G01 block ends, and the corner it ends in.

Most name their end in X and Z. A block may give one of the two and its angle, or its angle alone:
then the next block, with its own angle and its end in both axes, says where the two lines meet.
"""

from __future__ import annotations

from dataclasses import dataclass

from standclear.blocks.program import Block
from standclear.motions.coordinates.places import Standing
from standclear.motions.run import Run, cannot_follow
from standclear.motions.step import Position
from standclear.motions.way.corners import (
    ANGLE,
    CORNER_LETTERS,
    angle_of,
    angles_meet,
    corner_word,
    on_angle,
)
from standclear.motions.way.drive import CornerWord, HeldAngle
from standclear.motions.way.move import AXES, Words, target


@dataclass(frozen=True, slots=True)
class LineEnd:
    """One line: the block that asks for it, where it ends, and the corner there."""

    block: Block
    to: Standing
    corner: CornerWord | None = None


def begins_by_angle(words: Words) -> bool:
    """True for a block that gives a line by its angle and names no axis."""
    return ANGLE in words and not AXES & words.keys()


def line_ends(run: Run, block: Block, words: Words, start: Standing) -> tuple[LineEnd, ...]:
    """The lines that a G01 block makes, from `start`: none, one, or two where the block before
    gave an angle alone. What has no meaning is reported."""
    held, run.state.ahead.angle = run.state.ahead.angle, None
    degrees = angle_of(run, block, words)
    to = target(run, block, words, start)
    from_angle = ANGLE in words or held is not None
    if not from_angle and not CORNER_LETTERS & words.keys():
        return (LineEnd(block, to),)
    begin, end = start.position, to.position
    if begin is None or end is None or not (start.exact and to.exact):
        cannot_follow(
            run, block, "corner and angle words need a known start and end", lasting=False
        )
        return (LineEnd(block, to),)
    if held is not None:
        return _two_lines(run, block, words, (start, to), held, degrees)
    if degrees is not None and begins_by_angle(words):
        corner = _corner(run, block, words, begin, end)
        run.state.ahead.angle = HeldAngle(block, degrees, corner)
        return ()
    if degrees is not None:
        has_x, has_z = bool({"X", "U"} & words.keys()), bool({"Z", "W"} & words.keys())
        met = on_angle(begin, end, degrees, has_x=has_x, has_z=has_z)
        if met is None:
            cannot_follow(run, block, "a line at this angle does not lead to the end of the block")
            return (LineEnd(block, Standing(None, None, to.offset)),)
        corner = _corner(run, block, words, begin, met)
        return (LineEnd(block, Standing(*met, to.offset), corner),)
    return (LineEnd(block, to, _corner(run, block, words, begin, end)),)


def _corner(
    run: Run, block: Block, words: Words, start: Position, end: Position
) -> CornerWord | None:
    corner = corner_word(run, block, words, start, end)
    if corner is not None and start == end and not begins_by_angle(words):
        cannot_follow(run, block, f"{corner.text} stands in a block that does not move")
        return None
    return corner


def _two_lines(
    run: Run,
    block: Block,
    words: Words,
    ends: tuple[Standing, Standing],
    held: HeldAngle,
    degrees: float | None,
) -> tuple[LineEnd, ...]:
    """The line that was given by its angle alone, and the one of this block that ends it."""
    start, to = ends
    assert start.position is not None and to.position is not None
    met = None
    if degrees is not None and {"X", "Z"} <= words.keys() and not run.state.incremental:
        met = angles_meet(start.position, held.degrees, to.position, degrees)
    if met is None:
        cannot_follow(
            run,
            held.block,
            "a line is given by its angle alone, and the next block does not say where it ends",
            "write X, Z and ,A in the next block",
        )
        return (LineEnd(block, to),)
    corner = _corner(run, block, words, met, to.position)
    return (
        LineEnd(held.block, Standing(*met, to.offset), held.corner),
        LineEnd(block, to, corner),
    )
