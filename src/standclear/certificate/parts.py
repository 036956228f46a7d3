"""Areas as convex parts on the grid of a certificate, whole nanometres.

What is made here decides nothing: the checker holds every part against what it stands for.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from standclear.audit.exact import Convex, Point, hull

NM = 1e6
"""Nanometres in a millimetre."""
BELOW_NM = 0.01
"""What floats may be off by, nm, and still mean the whole number beside them."""


def nm(mm: float) -> int:
    """The nearest whole nanometre."""
    return round(mm * NM)


def nm_below(mm: float) -> int:
    """Whole nanometres, rounded down."""
    return int(np.floor(mm * NM + BELOW_NM))


def nm_above(mm: float) -> int:
    """Whole nanometres, rounded up."""
    return int(np.ceil(mm * NM - BELOW_NM))


def ring_nm(points: Sequence[Sequence[float]]) -> list[Point]:
    """Points in nanometres, counter-clockwise, none twice in a row."""
    ring = [(nm(z), nm(r)) for z, r in points]
    ring = [p for q, p in pairwise([ring[-1], *ring]) if p != q]
    twice = sum(a[0] * b[1] - b[0] * a[1] for a, b in pairwise([*ring, ring[0]]))
    return ring if twice > 0 else ring[::-1]


def rings_of(area: BaseGeometry) -> list[list[Point]]:
    """The outer borders of an area in nanometres; holes are filled."""
    polygons = [p for p in shapely.get_parts(area) if p.geom_type == "Polygon" and not p.is_empty]
    return [ring_nm(shapely.get_coordinates(p.exterior)[:-1].tolist()) for p in polygons]


def convex_parts(area: BaseGeometry) -> list[list[Point]]:
    """An area as few convex parts whose corners are its own, in nanometres."""
    parts = [
        part
        for triangle in shapely.get_parts(shapely.constrained_delaunay_triangles(area))
        if (part := hull(ring_nm(shapely.get_coordinates(triangle)[:-1].tolist()))) is not None
    ]
    return [corners_of(part) for part in _joined(parts)]


def corners_of(part: Convex) -> list[Point]:
    """The corners of a hull of points."""
    return [(z, r) for z, r, _ in part.corners]


def polygon_of(part: Convex) -> shapely.Polygon:
    """A convex part as shapely has it, mm."""
    return shapely.Polygon([(z / w / NM, r / w / NM) for z, r, w in part.corners])


def _joined(parts: list[Convex]) -> list[Convex]:
    """Neighbours put together while what they make is convex and holds nothing else."""
    done: list[Convex] = []
    for part in sorted(parts, key=_twice_area, reverse=True):
        joined = part
        k = 0
        while k < len(done):
            both = hull([*corners_of(joined), *corners_of(done[k])])
            assert both is not None
            if _twice_area(both) == _twice_area(joined) + _twice_area(done[k]):
                joined = both
                done.pop(k)
                k = 0
            else:
                k += 1
        done.append(joined)
    return done


def _twice_area(part: Convex) -> int:
    points = corners_of(part)
    return sum(a[0] * b[1] - b[0] * a[1] for a, b in pairwise([*points, points[0]]))
