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


def boxes_apart(one: BaseGeometry, other: BaseGeometry, dz: float, dr: float) -> bool:
    """The box of `one`, grown by `dz` and `dr`, shares no area with that of `other`."""
    a, b = one.bounds, other.bounds
    return bool(a[0] - dz >= b[2] or b[0] >= a[2] + dz or a[1] - dr >= b[3] or b[1] >= a[3] + dr)


def extent_between(
    area: BaseGeometry, low: float, high: float, axis: int
) -> tuple[float, float, float, float] | None:
    """Bounds of what of `area` lies between two values of one coordinate (0 z, 1 r), on the grid of
    areas; None where no area does."""
    low, high = (round(side / GRID_MM) * GRID_MM for side in (low, high))
    rings = shapely.get_rings(shapely.get_parts(area))
    points, owner = shapely.get_coordinates(rings, return_index=True)
    along = owner[1:] == owner[:-1]
    begin, end = points[:-1][along], points[1:][along]
    least, most = np.minimum(begin, end)[:, axis], np.maximum(begin, end)[:, axis]
    met = (least < high) & (most > low)
    if high <= low or not met.any():
        return None
    # Of every edge that comes between, the ends of the part that does.
    begin, end = begin[met], end[met]
    run = end[:, axis] - begin[:, axis]
    ends = []
    for point in (begin, end):
        place = np.clip(point[:, axis], low, high)
        share = (place - begin[:, axis]) / np.where(run != 0, run, 1.0)
        at = begin + share[:, None] * (end - begin)
        inside = point[:, axis] == place
        at[inside] = point[inside]
        at[:, axis] = place
        ends.append(at)
    reached = np.round(np.concatenate(ends) / GRID_MM) * GRID_MM
    least_z, least_r = reached.min(axis=0).tolist()
    most_z, most_r = reached.max(axis=0).tolist()
    return (least_z, least_r, most_z, most_r)


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
