"""The pixel section of one clamping: blank, jaws and what is left of the metal."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from judge.clamp import Placed
from judge.jobfile import Clamping, JawSet, JobFile
from judge.motion import Undecided
from judge.raster import (
    HELD_GROWN,
    HELD_SHRUNK,
    METAL,
    METAL_BITS,
    METAL_GROWN,
    METAL_SHRUNK,
    SHIFT,
    Grid,
    front_row,
    paint,
)

DOUBT = 1.5
"""Pixels by which blank and jaws are shrunk and grown."""
AIR_MM = 60.0
"""Room kept in the section at both ends of the blank for jaws."""
MOST_CELLS = 400_000_000
"""Cells of a section, a byte each: a blank of a metre by pixels of 0.02 mm has a fifth of them."""


@dataclass
class Section:
    """The cells, as `judge.raster` describes them."""

    grid: Grid
    z0: float
    p: float

    def face(self, least: float) -> float:
        """z of the front face as a stop or a measurement finds it, to half a pixel.

        What stands out in front of it and is thinner than `least` mm in z and r gives way. A cell
        that is left is wholly left, so the face lies up to one pixel in front of the last of them.
        """
        n = max(1, round(least / self.p))
        row = front_row(self.grid, n)
        if row < 0:
            raise Undecided("nothing is left of the blank")
        return float(self.z0 + (row + n + 0.5) * self.p)


def fresh(job: JobFile, placed: Placed, p: float, doubt: float = DOUBT) -> Section:
    """The raw blank in its first clamping, shrunk and grown by `doubt` pixels."""
    reach = job.blank.outer + 5 * p
    for clamping in job.setups:
        if clamping.jaws is not None:
            tall = max(h for _, h in clamping.jaws.profile)
            gripped = max(job.blank.outer, clamping.grip or 0.0)
            reach = max(reach, gripped + tall + 5 * p)
    z0 = placed.back - AIR_MM - 0.37 * p
    count, across = math.ceil((placed.front + AIR_MM - z0) / p), math.ceil(reach / p) + 2
    if count * across > MOST_CELLS:
        raise Undecided(f"{count} by {across} pixels: too many to hold")
    grid = np.zeros((count, across), dtype=np.uint8)
    section = Section(grid, z0, p)
    # A solid bar is drawn across the axis, so that its shrunk reading keeps the axis.
    inner = job.blank.bore if job.blank.bore > 0 else -job.blank.outer
    back, front, outer = placed.back, placed.front, job.blank.outer
    rectangle = np.array([(back, inner), (front, inner), (front, outer), (back, outer)])
    paint(grid, z0, p, rectangle, METAL_SHRUNK, METAL, METAL_GROWN, doubt * p)
    return section


def turn(section: Section, mirror: float) -> Section:
    """What is left of the metal, turned round."""
    grid = np.bitwise_and(section.grid[::-1], np.uint8(METAL_BITS), order="C")
    end = section.z0 + section.grid.shape[0] * section.p
    return Section(grid, mirror - end, section.p)


def _grips(section: Section, jaws: JawSet, plane: float, placed: Placed) -> set[float]:
    """Radii on which the jaws may close: the one that is stated, and of a part that is turned round
    what stands between them."""
    stated = set() if math.isnan(placed.grip) else {placed.grip}
    if placed.mirror is None:
        return stated
    low = min(z for z, _ in jaws.profile) + plane
    first = max(0, int((low - section.z0) / section.p))
    last = max(0, int((jaws.front + plane - section.z0) / section.p))
    held = np.flatnonzero((section.grid[first:last] & METAL).any(axis=0))
    return stated | {(held[-1] + 1 - SHIFT) * section.p if len(held) else 0.0}


def hold(section: Section, clamping: Clamping, placed: Placed, doubt: float = DOUBT) -> None:
    """Paints jaws, chuck and stop where they stand in this clamping."""
    jaws = clamping.jaws
    if jaws is None:
        return
    plane = placed.stop_plane
    shapes = [
        [(z + plane, h + grip) for z, h in jaws.profile]
        for grip in _grips(section, jaws, plane, placed)
    ]
    behind = section.z0
    if jaws.chuck is not None:
        face, radius = jaws.chuck[0] + plane, jaws.chuck[1]
        shapes.append([(behind, 0.0), (face, 0.0), (face, radius), (behind, radius)])
    if jaws.stop is not None:
        shapes.append([(behind, 0.0), (plane, 0.0), (plane, jaws.stop), (behind, jaws.stop)])
    for shape in shapes:
        paint(section.grid, section.z0, section.p, np.array(shape), HELD_SHRUNK, 0, HELD_GROWN,
              doubt * section.p)  # fmt: skip
