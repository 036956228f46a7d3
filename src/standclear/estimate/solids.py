"""Volumes of revolution of areas in the section."""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray

from standclear.sweeps.areas import Areas


def volumes(areas: Areas) -> NDArray[np.float64]:
    """The solid that each area (z, r) makes when it is turned about the axis, mm3.

    V = 2 pi times the integral of r over the area; by Green's theorem, along an outline that runs
    counter-clockwise, 2 pi times the sum over its edges of (z1 - z2) (r1^2 + r1 r2 + r2^2) / 6.
    """
    areas = shapely.orient_polygons(np.asarray(areas, dtype=object))
    parts, owner = shapely.get_parts(areas, return_index=True)
    rings, ring_of = shapely.get_rings(parts, return_index=True)
    points, of_ring = shapely.get_coordinates(rings, return_index=True)
    z, r = points[:, 0], points[:, 1]
    edge = (z[:-1] - z[1:]) * (r[:-1] ** 2 + r[:-1] * r[1:] + r[1:] ** 2) / 6.0
    inside = of_ring[:-1] == of_ring[1:]
    solid = np.zeros(len(areas))
    np.add.at(solid, owner[ring_of[of_ring[:-1][inside]]], 2.0 * np.pi * edge[inside])
    return solid
