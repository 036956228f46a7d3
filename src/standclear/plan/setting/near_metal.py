"""A clearance point with the tool there against the metal: gaps, and where a rapid just passes.

Frame: the section of one set-up, (z, r), millimetres.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from standclear.motions.table import Motions
from standclear.proof.approach import Air
from standclear.proof.section import rectangle
from standclear.sweeps.areas import common

SAME_MM = 1e-6
MOVED_MM = 5.0
"""How far beyond its own call a cycle may begin its levels: by its finish allowance. More than any
allowance; our choice, no source."""
STRIP_MM = 0.2
"""Corners of a tool that lie closer than this, as those of its nose, are taken together."""
WIDE = 1e6
Z, R = 0, 1
Bounds = tuple[float, float, float, float]


@dataclass(frozen=True)
class Near:
    """A point with the tool there, against the metal."""

    outline: BaseGeometry
    """From the controlled point."""
    metal: BaseGeometry
    raw: Bounds
    """Of the raw outline."""
    air: Air
    point: tuple[float, float]

    @property
    def outward(self) -> bool:
        """The tool's body lies outward of its point: it works from outside. A drill or a boring
        bar does not, and stands clear in Z alone."""
        _, inward, _, outward = self.outline.bounds
        return bool(outward > -inward + SAME_MM)

    def asked(self, axis: int) -> bool:
        """Whether the point's coordinate on `axis` is for anything to ask: X of a tool that works
        from outside; Z unless it stands beside the bar."""
        across, along = self.gaps()
        return self.outward if axis == R else along >= 0 or across < 0

    def gaps(self) -> tuple[float, float]:
        """(across, along) to the outermost and the foremost of the metal."""
        _, _, face, radius = self.metal.bounds
        near = self._below(radius - self.point[R] + self.air.across)
        return (
            self.point[R] + self.outline.bounds[R] - radius,
            self.point[Z] + near[Z] - face,
        )

    def _below(self, r: float) -> tuple[float, float, float, float]:
        """Bounds of the tool without what lies further out than `r` from its point, where anything
        is left: a body that stands over the metal is in front of nothing."""
        near = common(self.outline, _band(-WIDE, r, R))
        found: tuple[float, float, float, float] = (self.outline if near.is_empty else near).bounds
        return found

    def needed(self, motions: Motions, row: int, axis: int) -> float | None:
        """The coordinate of the point at which motion `row`, which keeps it, stands the margin off
        what it passes; None where it passes nothing, or does not keep it."""
        start, end = motions.start[row], motions.end[row]
        kept = start[axis] - self.point[axis]
        moved = MOVED_MM if motions.call[row] >= 0 else 0.0
        if abs(start[axis] - end[axis]) > SAME_MM or not -SAME_MM <= kept <= moved + SAME_MM:
            return None
        margin = self.air.across if axis == R else self.air.along
        beside = self.air.along if axis == R else self.air.across
        at = float(start[axis])
        inside = any(z < self.raw[2] and abs(r) < self.raw[3] for z, r in (start, end))
        if inside and (self._past(start, end, axis, 0.0) or -WIDE) <= at:
            # Where earlier passes have cut the way free it owes no air: it must only pass.
            return None
        past = self._past(start, end, axis, beside)
        return None if past is None else past + margin - float(kept)

    def _past(
        self, start: NDArray[np.float64], end: NDArray[np.float64], axis: int, beside: float
    ) -> float | None:
        """The coordinate of the motion at which the tool just passes all metal that it runs along,
        `beside` further too; None where there is none."""
        other = 1 - axis
        low, high = min(start[other], end[other]), max(start[other], end[other])
        asked = [
            float(passed.bounds[2 + axis]) - strip[axis]
            for strip in self.strips[other]
            if not (
                passed := common(
                    self.metal,
                    _band(low + strip[other] - beside + SAME_MM, high + strip[2 + other], other),
                )
            ).is_empty
        ]
        return max(asked, default=None)

    @cached_property
    def strips(self) -> tuple[list[Bounds], list[Bounds]]:
        """The tool cut across, along z and along r: what is narrow near its point and wide further
        off meets other metal with either."""
        return _strips(self.outline, Z), _strips(self.outline, R)


def _strips(outline: BaseGeometry, axis: int) -> list[Bounds]:
    """Bounds of the strips between its corners, one `STRIP_MM` wide at least."""
    ends: list[float] = []
    for at in sorted(set(shapely.get_coordinates(outline)[:, axis].tolist())):
        if not ends or at - ends[-1] > STRIP_MM:
            ends.append(at)
    ends[-1] = float(outline.bounds[2 + axis])
    cut = (common(outline, _band(low, high, axis)) for low, high in pairwise(ends))
    return [part.bounds for part in cut if not part.is_empty]


def _band(low: float, high: float, axis: int) -> BaseGeometry:
    if axis == Z:
        return rectangle(low, high, -WIDE, WIDE)
    return rectangle(-WIDE, WIDE, low, high)
