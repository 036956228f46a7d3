"""Areas as arrays of shapely polygons, and booleans that yield areas only.

A boolean of two areas may leave points and lines where they only touch. Those are no area; they are
dropped here, and nothing else ever is, however small.
"""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

Areas = NDArray[np.object_]
EMPTY = shapely.Polygon()


def solid(areas: Areas) -> Areas:
    """`areas` without the points and lines in them."""
    kind = shapely.get_type_id(areas)
    mixed = np.flatnonzero(kind == shapely.GeometryType.GEOMETRYCOLLECTION)
    thin = np.flatnonzero(shapely.get_dimensions(areas) < 2)
    if len(mixed) + len(thin) == 0:
        return areas
    areas = areas.copy()
    for i in mixed:
        parts = shapely.get_parts(areas[i])
        areas[i] = shapely.union_all(parts[shapely.get_dimensions(parts) == 2])
    areas[thin] = EMPTY
    return areas


def common(one: BaseGeometry, other: BaseGeometry) -> BaseGeometry:
    """The area that two areas share."""
    shared: BaseGeometry = solid(np.array([shapely.intersection(one, other)], dtype=object))[0]
    return shared


def commons(areas: Areas, others: Areas | BaseGeometry) -> Areas:
    """The area that each of `areas` shares with its counterpart, or with one area."""
    return solid(shapely.intersection(areas, others))


def union_by(polygons: Areas, group: NDArray[np.int64], count: int) -> Areas:
    """(count,) union of the polygons of each group; empty where a group has none. `group` is
    ascending."""
    areas = np.full(count, EMPTY, dtype=object)
    if len(polygons) == 0:
        return areas
    used, local, size = np.unique(group, return_inverse=True, return_counts=True)
    areas[used[size == 1]] = polygons[(size == 1)[local]]
    many = (size > 1)[local]
    if many.any():
        _, dense = np.unique(local[many], return_inverse=True)
        collections = shapely.geometrycollections(polygons[many], indices=dense)
        areas[used[size > 1]] = shapely.union_all(collections[:, None], axis=1)
    return areas
