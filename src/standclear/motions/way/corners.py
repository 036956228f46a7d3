"""Corner words and angle words on straight lines: what they mean, and what they put into a contour.

`,C` and `,R` name a chamfer or a rounding between the line of their block and the next one. In the
older form C, R, or I and K stand in a block of one axis; the sign of I and K, and a minus before
the others, says which way the next line goes, square to it. `,A` gives a line by its angle from +Z,
counter-clockwise as drawn with Z to the right and X up. All of it common practice, no source.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from enum import StrEnum

from standclear.blocks.program import Block, Word
from standclear.motions.nose.pieces import (
    LEFT,
    RIGHT,
    SAME_PLACE_MM,
    Piece,
    aside,
    heading,
    turn_between,
)
from standclear.motions.run import Run, cannot_follow, length
from standclear.motions.step import Position
from standclear.motions.way.drive import Corner, CornerWord

CORNER_LETTERS = frozenset({",C", ",R", "C", "R", "I", "K"})
ANGLE = ",A"
_SAME_ANGLE = 0.01
"""Degrees by which a written angle and that between two written points may differ by rounding."""
_STRAIGHT = 1e-6
"""Radians; less of a turn is no corner."""


class Unfit(StrEnum):
    """Why a corner word has no meaning between two lines."""

    NO_ROOM = "no room"
    NO_CORNER = "the two lines run on straight"
    WRONG_WAY = "the next line does not go the way that the word says"


@dataclass(frozen=True, slots=True)
class Cornered:
    """Two lines with the corner between them."""

    before: Piece
    corner: Piece
    after: Piece


def corner_word(
    run: Run, block: Block, words: Mapping[str, Word], start: Position, end: Position
) -> CornerWord | None:
    """The corner that a straight line from `start` to `end` is to end in; None where its block
    asks for none, or for one that has no meaning, which is reported."""
    letters = [letter for letter in words if letter in CORNER_LETTERS]
    if not letters:
        return None
    if len(letters) > 1:
        cannot_follow(run, block, "the block has two corner words", word=words[letters[1]])
        return None
    letter, word = letters[0], words[letters[0]]
    size = length(run, block, word)
    if size is None or size == 0:
        if size is None and not word.broken:
            cannot_follow(run, block, f"the value of {word.text} is not followed", word=word)
        return None
    kind = Corner.ROUNDING if letter.endswith("R") else Corner.CHAMFER
    if letter.startswith(","):
        if size > 0:
            return CornerWord(kind, size, word.text)
        cannot_follow(run, block, f"{word.text} is below nought", word=word)
        return None
    along_z, along_x = start[1] == end[1], start[0] == end[0]
    named = {"I": along_z, "K": along_x}.get(letter, along_z or along_x)
    if along_z == along_x or not named or len({"X", "U", "Z", "W"} & words.keys()) != 1:
        cannot_follow(
            run,
            block,
            f"{word.text} has a meaning only beside one axis, as a corner between two lines that "
            "stand square to each other",
            "write the corner as lines and arcs",
            word=word,
        )
        return None
    if letter == "C":
        run.trust("C beside one axis is a chamfer: the spindle has no turning axis of its own")
    if letter in "CR" and size > 0:
        # Controls that know no sign here write every corner so.
        return CornerWord(kind, size, word.text)
    towards = (0.0, math.copysign(1.0, size)) if along_z else (math.copysign(1.0, size), 0.0)
    return CornerWord(kind, abs(size), word.text, towards)


def cornered(before: Piece, after: Piece, word: CornerWord) -> Cornered | Unfit:
    """The corner between two straight lines that meet."""
    if not (before.moves and after.moves):
        return Unfit.NO_CORNER
    a, b = heading(before, "end"), heading(after, "start")
    if word.towards is not None and math.dist(b, word.towards) > _STRAIGHT:
        return Unfit.WRONG_WAY
    turn = turn_between(before, after)
    if abs(turn) < _STRAIGHT or abs(turn) > math.pi - _STRAIGHT:
        return Unfit.NO_CORNER
    reach = word.size
    if word.kind is Corner.ROUNDING:
        reach *= math.tan(abs(turn) / 2)
    room = min(math.dist(before.start, before.end), math.dist(after.start, after.end))
    if reach > room + SAME_PLACE_MM:
        return Unfit.NO_ROOM
    at = before.end
    begin = (at[0] - reach * a[0], at[1] - reach * a[1])
    end = (at[0] + reach * b[0], at[1] + reach * b[1])
    corner = Piece(begin, end)
    if word.kind is Corner.ROUNDING:
        centre = aside(begin, a, LEFT if turn > 0 else RIGHT, word.size)
        corner = Piece(begin, end, centre, clockwise=turn < 0)
    return Cornered(replace(before, end=begin), corner, replace(after, start=end))


def on_angle(
    start: Position, to: Position, degrees: float, *, has_x: bool, has_z: bool
) -> Position | None:
    """Where a line from `start` at an angle ends whose block names one axis, or both.

    None where the named coordinate is never reached, or both are named and lie elsewhere.
    """
    along = (math.cos(math.radians(degrees)), math.sin(math.radians(degrees)))
    if has_x and has_z:
        written = math.degrees(math.atan2(to[1] - start[1], to[0] - start[0]))
        off = (written - degrees + 90) % 180 - 90
        return to if abs(off) <= _SAME_ANGLE else None
    component, there = (1, to[1]) if has_x else (0, to[0])
    if abs(along[component]) < _STRAIGHT:
        return None
    share = (there - start[component]) / along[component]
    return (to[0], start[1] + share * along[1]) if has_z else (start[0] + share * along[0], to[1])


def angles_meet(
    start: Position, degrees: float, end: Position, degrees_after: float
) -> Position | None:
    """Where a line from `start` meets another that ends at `end`, each given by its angle."""
    a = (math.cos(math.radians(degrees)), math.sin(math.radians(degrees)))
    b = (math.cos(math.radians(degrees_after)), math.sin(math.radians(degrees_after)))
    cross = a[0] * b[1] - a[1] * b[0]
    if abs(cross) < _STRAIGHT:
        return None
    share = ((end[0] - start[0]) * b[1] - (end[1] - start[1]) * b[0]) / cross
    return start[0] + share * a[0], start[1] + share * a[1]


def angle_of(run: Run, block: Block, words: Mapping[str, Word]) -> float | None:
    """The angle word of a block, degrees; None where it has none, or one that is not followed,
    which is reported."""
    word = words.get(ANGLE)
    if word is None:
        return None
    if word.number is None:
        if not word.broken:
            cannot_follow(run, block, f"the value of {word.text} is not followed", word=word)
        return None
    return float(word.number)


UNFIT = {
    Unfit.NO_ROOM: (
        "corner-too-large",
        "the corner {word} does not fit between the line of its block and the next: one of them is "
        "shorter than what the corner takes off it",
        "make the corner smaller, or check the two lines",
    ),
    Unfit.NO_CORNER: (
        "cannot-follow",
        "{word} asks for a corner where the next line runs on straight, or straight back",
        "take the word out, or check the two lines",
    ),
    Unfit.WRONG_WAY: (
        "cannot-follow",
        "the sign of {word} says which way the next line goes, square to this one; it goes another",
        "correct the sign, or write the corner as lines and arcs",
    ),
}
"""Code, message and cure of a corner that has no meaning; `word` in braces is the corner word."""
NO_NEXT_LINE = (
    "cannot-follow",
    "{word} asks for a corner, and no straight feed follows that it could lie in front of",
    "write the corner as lines and arcs",
)
