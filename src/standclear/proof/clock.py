"""The metal that is left when a motion begins, asked for in order of time."""

from __future__ import annotations

import numpy as np
from shapely.geometry.base import BaseGeometry

from standclear.sweeps.areas import less
from standclear.sweeps.sweep import Sweeps


class MetalClock:
    """Runs forward only: each question names a motion no earlier than the one before."""

    def __init__(self, metal: BaseGeometry, sweeps: Sweeps) -> None:
        self._left = metal
        self._sweeps = sweeps
        self._done = 0

    def before(self, motion: int) -> BaseGeometry:
        """Metal less all that motions before number `motion` cut."""
        until = int(np.searchsorted(self._sweeps.cut_motion, motion))
        if until < self._done:
            raise ValueError(f"motion {motion} lies before one already asked for")
        if until > self._done:
            self._left = less(self._left, self._sweeps.cut_between(self._done, until))
            self._done = until
        return self._left

    def at_end(self) -> BaseGeometry:
        """Metal that is left when all is done."""
        return self.before(self._sweeps.count)
