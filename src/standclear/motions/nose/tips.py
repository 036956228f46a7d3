"""Tip directions: where the imaginary tip lies, seen from the nose centre.

Numbers 1 to 9 as controls keep them beside the nose radius, drawn with Z to the right and X up
and the tool on the side of +X (common practice, no source): 3 is an outside tool that cuts
towards the chuck, 2 a boring bar, 0 and 9 the nose centre itself.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from standclear.motions.step import Position

TIP_SIGNS: Mapping[int, tuple[int, int]] = MappingProxyType(
    {
        0: (0, 0),
        1: (1, 1),
        2: (-1, 1),
        3: (-1, -1),
        4: (1, -1),
        5: (1, 0),
        6: (0, 1),
        7: (-1, 0),
        8: (0, -1),
        9: (0, 0),
    }
)
"""Direction number to the signs of (z, r) from the nose centre to the imaginary tip."""

STANDS_OFF_MM = 0.01
"""How far a drawn nose may lie off the place that its tip direction says: outlines are measured
and rounded by hand."""


def centre_from_tip(direction: int, radius: float) -> Position:
    """(z, r) of the nose centre counted from the imaginary tip, mm."""
    z, r = TIP_SIGNS[direction]
    return -z * radius + 0.0, -r * radius + 0.0


def direction_of(centre: Position, radius: float) -> int | None:
    """The tip direction of a nose whose centre lies at `centre` from the controlled point.

    9 for the nose centre itself; None where no direction puts it there.
    """
    for direction in range(1, 10):
        z, r = centre_from_tip(direction, radius)
        if abs(z - centre[0]) <= STANDS_OFF_MM and abs(r - centre[1]) <= STANDS_OFF_MM:
            return direction
    return None
