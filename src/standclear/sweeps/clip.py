"""Polygons cut off at the sides of a box, a whole array at a time and without a boolean.

A ring cut off at a side runs along its corners inside and the side between the crossings, in order:
inside it winds round every point as often as before. Where it crosses or doubles nowhere, it is
the border of what is left. So nearly every piece of a sweep is cut off by array arithmetic. Where a
ring falls apart, the way along the side is run twice, which makes it no proper ring, and it is left
to the boolean.
"""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray

from standclear.sweeps.areas import EMPTY, Areas, commons

Rings = tuple[NDArray[np.float64], NDArray[np.int64]]
"""Corners of closed rings, first one not repeated, and the number of the ring of each."""


def clipped(polygons: Areas, box: tuple[float, float, float, float]) -> Areas:
    """What of each polygon, all without holes, lies in `box` (z_min, r_min, z_max, r_max), mm; its
    corners stand on the grid of areas only after `on_grid`."""
    rings = _rings(polygons)
    for axis, side, sign in zip((0, 1, 0, 1), box, (-1.0, -1.0, 1.0, 1.0), strict=True):
        rings = _cut_off(rings, axis, side, sign)
    made = _polygons(rings, len(polygons))
    broken = ~shapely.is_valid(made)
    made[broken] = commons(polygons[broken], shapely.box(*box))
    return made


def _rings(polygons: Areas) -> Rings:
    points, owner = shapely.get_coordinates(shapely.get_exterior_ring(polygons), return_index=True)
    last = np.append(owner[1:] != owner[:-1], True)
    return points[~last], owner[~last]


def _cut_off(rings: Rings, axis: int, side: float, sign: float) -> Rings:
    """The rings without what lies beyond `side` of one coordinate (0 z, 1 r), beyond being more
    where `sign` is 1 and less where it is -1."""
    points, owner = rings
    if len(points) == 0:
        return rings
    after = _next_in_ring(owner)
    inside = sign * (points[:, axis] - side) <= 0
    crosses = inside != inside[after]
    begin, end = points[crosses], points[after[crosses]]
    share = (side - begin[:, axis]) / (end[:, axis] - begin[:, axis])
    crossing = begin + share[:, None] * (end - begin)
    crossing[:, axis] = side
    # Each corner stays if it is inside, followed by the crossing on the way to the next.
    place = np.cumsum(inside.astype(np.int64) + crosses)
    total = int(place[-1])
    left, whose = np.empty((total, 2)), np.empty(total, dtype=np.int64)
    left[place[inside] - crosses[inside] - 1] = points[inside]
    whose[place[inside] - crosses[inside] - 1] = owner[inside]
    left[place[crosses] - 1] = crossing
    whose[place[crosses] - 1] = owner[crosses]
    return left, whose


def _next_in_ring(owner: NDArray[np.int64]) -> NDArray[np.int64]:
    after = np.arange(1, len(owner) + 1)
    last = np.append(owner[1:] != owner[:-1], True)
    first = np.append([0], np.flatnonzero(last)[:-1] + 1)
    after[last] = first
    return after


def _polygons(rings: Rings, count: int) -> Areas:
    """(count,) polygons of the rings; empty where fewer than three corners are left."""
    points, owner = rings
    made = np.full(count, EMPTY, dtype=object)
    enough = np.bincount(owner, minlength=count) > 2
    kept = enough[owner]
    if kept.any():
        _, dense = np.unique(owner[kept], return_inverse=True)
        made[enough] = shapely.polygons(shapely.linearrings(points[kept], indices=dense))
    return made
