"""What the judge's reading of a program yields: moves of the controlled point.

Frame: section of one set-up, (z, r) in millimetres, r = half of programmed X with its sign.
"""

from __future__ import annotations

from dataclasses import dataclass

Point = tuple[float, float]
"""(z, r), mm."""

FAR = 1.0e4
"""mm; a coordinate that is only known to lie beyond the work."""


class Undecided(Exception):
    """The judge does not decide on this job, for the reason given."""


@dataclass(frozen=True, slots=True)
class Move:
    """One move from `start` to `end`."""

    rapid: bool
    start: Point
    end: Point
    station: int
    """Tool station; -1 before the first T word."""
    spindle: int
    """1 for M03, -1 for M04, 0 when stopped."""
    line: int
    """Line of the program, from 1."""
    anywhere: bool = False
    """True: any way within the rectangle spanned by start and end."""


@dataclass(frozen=True, slots=True)
class Leg:
    """A move of a cycle before the machine's rapid path is known: where to, and how."""

    rapid: bool
    end: Point
    straight: bool = False
    """True: straight even where the machine's rapids are bent or unknown."""
