"""What the motions that cut have in hand: arrays of chips, wherever they come from."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Engagements:
    """Arrays over the motions that take something off, in their order."""

    motion: NDArray[np.int64]
    volume: Floats
    """mm3; 0 for passes of threads and taps, whose metal the section keeps."""
    depth: Floats
    """Across the travel, mm."""
    chip: Floats
    """Section of the chip over all edges at work, mm2."""
    shortest: Floats
    """Least length of cutting edge at work, mm: it differs from the most where the way of an infeed
    is not known. nan where the tool's chip is not counted."""
    longest: Floats
    feed: Floats
    """mm per revolution."""
    rpm: Floats
    """The highest along the motion."""
    at_rim: Floats
    """Spindle speed with the outer end of what is taken under the tool, rpm."""
    outer: Floats
    """Outer end of what is taken, radius in mm."""
    lever: Floats
    """Radius in mm at which the cutting force acts: the outer end; of a drill the middle of its
    lips."""
    rate: Floats
    """Mean removal rate while in metal, cm3/min."""

    @property
    def speed(self) -> Floats:
        """Cutting speed where it is highest, at the outer end of what is taken, m/min."""
        return 2.0 * np.pi * self.outer * self.at_rim / 1000.0

    @property
    def thickness(self) -> tuple[Floats, Floats]:
        """Mean thickness of the chip, least and most, mm: its section over the edge at work."""
        with np.errstate(divide="ignore", invalid="ignore"):
            return self.chip / self.longest, self.chip / self.shortest


def joined(parts: Sequence[Engagements]) -> Engagements:
    """All of them in the order of their motions."""
    order = np.argsort(np.concatenate([part.motion for part in parts]), kind="stable")
    return Engagements(
        **{
            f.name: np.concatenate([getattr(part, f.name) for part in parts])[order]
            for f in fields(Engagements)
        }
    )
