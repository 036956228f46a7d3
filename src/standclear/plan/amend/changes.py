"""What one change puts in place: a word moved out, or blocks put in."""

from __future__ import annotations

from dataclasses import dataclass

from standclear.findings.finding import Measure


@dataclass(frozen=True, slots=True)
class NewWord:
    """A word moved out to where it clears the metal by the margin."""

    block: int
    word: int
    text: str
    mm: float
    """The coordinate that it gives: z, or r (radial)."""
    reason: str
    measures: tuple[Measure, ...]


@dataclass(frozen=True, slots=True)
class NewBlocks:
    """Blocks put in front of a block of the program."""

    block: int
    texts: tuple[str, ...]
    """Without line ends."""
    reason: str
    measures: tuple[Measure, ...]


Choice = tuple[NewWord, ...] | tuple[NewBlocks]
"""Words to change together, or blocks to put in."""
