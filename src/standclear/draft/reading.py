"""How the program is to be read: its unit, its family of cycle words, numbers without a point.

The habits that the guesses go by are common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from statistics import median
from typing import Literal

from standclear.blocks.program import Block, Word

Family = Literal["cycles-g90", "cycles-g77", "cycles-g20"]
Units = Literal["mm", "inch"]

FAMILY_IF_NOTHING_TELLS: Family = "cycles-g90"
FINE_FEED = 0.03
"""A feed per revolution below this is one in inches: 0.03 in is 0.76 mm, 0.03 mm is too fine."""
LARGEST_USUAL_INCH = 20.0
"""A diameter above this is one in millimetres."""
SMALLEST_IN_INCREMENTS = 1000
"""A whole number from here on counts increments: X50000 is a diameter of 50, X50 is one too."""
SMALLEST_IN_CYCLES = 100
"""A peck or a depth of thread of this many units is none: the number counts increments."""
_AXES = frozenset("XZUW")


@dataclass(frozen=True, slots=True)
class Told:
    """A value and what tells it. `sure` where a word of the program says it."""

    value: str
    because: str
    sure: bool = False


def family_of(blocks: Sequence[Block]) -> Told:
    """The family of cycle words that the words of the program speak for."""
    votes: dict[str, list[str]] = {"cycles-g90": [], "cycles-g77": [], "cycles-g20": []}
    for block in blocks:
        letters = {word.letter for word in block.words}
        for word in block.words:
            if word.letter == "G" and word.number is not None:
                for family in _speaks_for(int(word.number), letters):
                    votes[family].append(f"{word.text.strip()} on line {block.line}")
    best = max(votes, key=lambda family: len(votes[family]))
    if not votes[best]:
        return Told(FAMILY_IF_NOTHING_TELLS, "no word of the program tells the families apart")
    return Told(best, f"{votes[best][0]} speaks for it")


def _speaks_for(number: int, letters: set[str]) -> tuple[Family, ...]:
    """The families in which a word makes sense beside the other words of its block."""
    moves = bool(letters & _AXES)
    if number in (77, 79) and moves:
        return ("cycles-g77",)
    if number == 24 and moves:
        return ("cycles-g20",)
    if number in (20, 21):
        return ("cycles-g20",) if {"X", "Z"} <= letters else ()
    if number in (70, 71) and letters <= set("GNOTMS"):
        return ("cycles-g20",)
    if number in (90, 94):
        return ("cycles-g90",) if moves and "F" in letters else ("cycles-g77", "cycles-g20")
    if number in (98, 99, 50):
        return ("cycles-g90",) if not moves else ()
    if number in (91, 95) or (number == 92 and "S" in letters):
        return ("cycles-g77", "cycles-g20")
    return ()


def units_of(blocks: Sequence[Block], family: str) -> Told:
    """The unit that a word states, else the one that feeds and diameters are likely in."""
    inch, millimetre = (70, 71) if family == "cycles-g20" else (20, 21)
    for block in blocks:
        for word in block.words:
            if word.letter == "G" and word.number in (inch, millimetre):
                unit = "inch" if word.number == inch else "mm"
                return Told(unit, f"{word.text.strip()} on line {block.line}", sure=True)
    largest = max((abs(float(w.number)) for w in _numbers(blocks, "X") if w.number), default=0.0)
    feeds = [float(word.number) for word in _numbers(blocks, "F") if word.number]
    if largest > LARGEST_USUAL_INCH:
        return Told("mm", f"no unit word; X goes to {largest:g}")
    if feeds and median(feeds) < FINE_FEED:
        return Told("inch", f"no unit word; most feeds are about {median(feeds):g}")
    if feeds:
        return Told("mm", f"no unit word; most feeds are about {median(feeds):g}")
    return Told("mm", "no unit word, and nothing tells")


def cycle_pointless(blocks: Sequence[Block], family: str) -> Told | None:
    """What P and Q of pecking and threading cycles without a point count, where they are large."""
    cycles = range(76, 79) if family == "cycles-g20" else range(74, 77)
    for block in blocks:
        if any(w.letter == "G" and w.number in cycles for w in block.words):
            for word in _numbers([block], "PQ"):
                if not word.has_point and _size(word) >= SMALLEST_IN_CYCLES:
                    return Told("increment", f"{word.text.strip()} on line {block.line}")
    return None


def arc_centres(blocks: Sequence[Block]) -> Told | None:
    """What I and K of arcs count from; None where no arc has them."""
    for block in blocks:
        if any(w.letter == "G" and w.number in (2, 3) for w in block.words):
            for word in _numbers([block], "IK"):
                return Told("incremental", f"{word.text.strip()} on line {block.line}; most are")
    return None


def compensated(blocks: Sequence[Block]) -> Told | None:
    """The point of the tool that is programmed; None where no compensation asks for it."""
    for block in blocks:
        if any(w.letter == "G" and w.number in (41, 42) for w in block.words):
            return Told(
                "tip", f"line {block.line} compensates the nose; most programs move the tip"
            )
    return None


def both_units(blocks: Sequence[Block], family: str) -> bool:
    """True where the program has words for inch and for millimetre."""
    numbers = {w.number for b in blocks for w in b.words if w.letter == "G"}
    return set((70, 71) if family == "cycles-g20" else (20, 21)) <= numbers


def pointless(blocks: Sequence[Block]) -> Told | None:
    """What X and Z words without a point count; None where every one has its point."""
    words = [w for w in _numbers(blocks, "XZUW") if not w.has_point and w.number]
    if not words:
        return None
    large = max(words, key=_size)
    meant = "increment" if _size(large) >= SMALLEST_IN_INCREMENTS else "unit"
    return Told(meant, f"{large.text.strip()} on line {large.line} has no point")


def _numbers(blocks: Sequence[Block], letters: str) -> Iterator[Word]:
    for block in blocks:
        for word in block.words:
            if word.letter in letters and word.number is not None:
                yield word


def _size(word: Word) -> float:
    return 0.0 if word.number is None else abs(float(word.number))
