"""Closed outlines with a flag on every edge, and their inset.

Frame: the section (z, r), millimetres, counter-clockwise, first point not repeated. Edge i runs
from point i to point i + 1, the last to the first.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely
from numpy.typing import NDArray

from standclear.sweeps.areas import less

PARALLEL = 1e-6
"""Sine below which an inset edge counts as parallel to the edge it came from."""


@dataclass(frozen=True, eq=False)
class Outline:
    """One closed outline; `cuts[i]` says whether edge i is a cutting edge."""

    points: NDArray[np.float64]
    cuts: NDArray[np.bool_]

    @cached_property
    def normals(self) -> NDArray[np.float64]:
        """(n, 2) unit normals pointing out of the outline; zero-length edges get zeros."""
        along = np.roll(self.points, -1, axis=0) - self.points
        length = np.hypot(along[:, 0], along[:, 1])
        outward = np.column_stack([along[:, 1], -along[:, 0]])
        unit: NDArray[np.float64] = outward / np.where(length > 0, length, 1.0)[:, None]
        return unit

    @property
    def polygon(self) -> shapely.Polygon:
        """The outline as a shapely polygon."""
        return shapely.Polygon(self.points)


def outlines_of(area: shapely.geometry.base.BaseGeometry) -> tuple[Outline, ...]:
    """Outlines of every polygon in `area`, no edge flagged. Holes are filled: the safe side where
    the outline stands for something that must not meet metal."""
    polygons = [p for p in shapely.get_parts(area) if p.geom_type == "Polygon" and not p.is_empty]
    return tuple(_outline(p) for p in polygons)


def inset(outline: Outline, by: float) -> tuple[Outline, ...]:
    """`outline` moved inwards by `by` mm (0 or more), edges keeping their flags.

    Flat edges recede by exactly `by`; a convex corner of angle a recedes by by / sin(a / 2), a
    re-entrant one likewise. Parts thinner than 2 `by` vanish; an outline that vanishes gives ().
    """
    if by == 0.0:
        return (outline,)
    smaller = outline.polygon.buffer(-by, join_style="mitre", mitre_limit=20.0)
    recede = np.full(len(outline.points), by)
    return tuple(Outline(o.points, _flags_from(o, outline, recede)) for o in outlines_of(smaller))


def drawn_in(outline: Outline, by: float) -> tuple[Outline, ...]:
    """What `outline` surely covers when it may lie up to `by` mm off along either axis: itself
    less all that a box of that half width reaches from its edges. Edges keep their flags; an edge
    that leans recedes by more than `by`."""
    if by == 0.0:
        return (outline,)
    ends = np.stack([outline.points, np.roll(outline.points, -1, axis=0)], axis=1)
    corners = np.array([[-by, -by], [by, -by], [by, by], [-by, by]])
    reached = (ends[:, :, None, :] + corners).reshape(len(ends), 8, 2)
    rims = shapely.convex_hull(shapely.multipoints(reached))
    smaller = less(outline.polygon, shapely.union_all(rims))
    recede = by * np.abs(outline.normals).sum(axis=1)
    return tuple(Outline(o.points, _flags_from(o, outline, recede)) for o in outlines_of(smaller))


def _outline(polygon: shapely.Polygon) -> Outline:
    ring = shapely.get_coordinates(shapely.orient_polygons(polygon).exterior)[:-1]
    return Outline(ring, np.zeros(len(ring), dtype=bool))


def _flags_from(
    smaller: Outline, source: Outline, recede: NDArray[np.float64]
) -> NDArray[np.bool_]:
    """Each inset edge takes the flag of the parallel source edge that lies outside it by what that
    one recedes."""
    middle = (smaller.points + np.roll(smaller.points, -1, axis=0)) / 2
    cosine = smaller.normals @ source.normals.T
    offset = np.einsum("sk,isk->is", source.normals, middle[:, None, :] - source.points[None])
    along = np.roll(source.points, -1, axis=0) - source.points
    length = np.hypot(along[:, 0], along[:, 1])
    direction = along / np.where(length > 0, length, 1.0)[:, None]
    run = np.einsum("sk,isk->is", direction, middle[:, None, :] - source.points[None])
    slack = 20.0 * recede
    parent = (
        (cosine > 1.0 - PARALLEL)
        & (np.abs(offset + recede) < np.maximum(1e-7, 1e-3 * recede))
        & (run > -slack)
        & (run < length + slack)
    )
    # An edge may have two collinear parents; it cuts only if every one of them does.
    found = parent.any(axis=1)
    flags: NDArray[np.bool_] = found & ~(parent & ~source.cuts[None]).any(axis=1)
    return flags
