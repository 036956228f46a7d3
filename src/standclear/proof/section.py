"""Moving areas of the section about: sliding, growing, turning round.

Frame: (z, r) in millimetres. Every function takes and gives shapely areas.
"""

from __future__ import annotations

import numpy as np
import shapely
from shapely.affinity import translate
from shapely.geometry.base import BaseGeometry

from standclear.interval import Interval
from standclear.sweeps.areas import GRID_MM, less, union
from standclear.sweeps.outline import outlines_of
from standclear.sweeps.strike import body_sweeps


def rectangle(z_from: float, z_to: float, r_from: float, r_to: float) -> BaseGeometry:
    """A rectangle, its corners on the grid of areas; empty where a side is not positive."""
    sides = np.round(np.array([z_from, r_from, z_to, r_to]) / GRID_MM) * GRID_MM
    if sides[2] <= sides[0] or sides[3] <= sides[1]:
        return shapely.Polygon()
    return shapely.box(*sides)


def slide(area: BaseGeometry, dz: Interval, dr: Interval | None = None) -> BaseGeometry:
    """Every point that `area` covers at some shift in `dz` along the axis and `dr` across it.

    Holes in `area` are filled where it moves: the answer stands for what may be metal or jaw.
    """
    dr = dr if dr is not None else Interval(0.0, 0.0)
    moved = translate(area, dz.lo, dr.lo)
    for travel in ((dz.width, 0.0), (0.0, dr.width)):
        if max(travel) == 0.0 or moved.is_empty:
            continue
        outlines = outlines_of(moved)
        swept, _ = body_sweeps(outlines, np.zeros((1, 2)), np.array([travel]))
        # Only outer borders are swept: a hole left open would count as never covered.
        moved = union([*(o.polygon for o in outlines), *swept])
    return moved


def surely(area: BaseGeometry, dz: Interval) -> BaseGeometry:
    """Every point that `area` covers at every shift in `dz` along the axis."""
    if area.is_empty or dz.width == 0.0:
        return slide(area, dz)
    z_min, r_min, z_max, r_max = area.bounds
    margin = dz.width + 1.0
    frame = shapely.box(z_min - margin, r_min - 1.0, z_max + margin, r_max + 1.0)
    # What some shift leaves uncovered is the slide of what `area` leaves uncovered. The frame's
    # rest has a hole where `area` is, so it is slid in two halves that have none.
    middle = (r_min + r_max) / 2
    halves = (
        shapely.box(frame.bounds[0], r_min - 1.0, frame.bounds[2], middle),
        shapely.box(frame.bounds[0], middle, frame.bounds[2], r_max + 1.0),
    )
    may_miss = [slide(less(half, area), dz) for half in halves]
    covered = translate(area, dz.lo)
    return less(covered, union(may_miss))


def grow(area: BaseGeometry, dz: float, dr: float) -> BaseGeometry:
    """`area` with every point spread over a box of plus and minus `dz` and `dr`."""
    return slide(area, Interval(-dz, dz), Interval(-dr, dr))


def turned(area: BaseGeometry, mirror: float) -> BaseGeometry:
    """`area` of a part that is turned round: z becomes `mirror` - z."""
    return shapely.transform(area, lambda zr: np.column_stack([mirror - zr[:, 0], zr[:, 1]]))
