"""Planes in which a window is drawn, and what is blocked in them. Exact geometry, nothing tried.

A blank is the rectangle from its back end to its face F and out to its radius R. It overlaps an
area where it holds one of its points, so the pairs (F, R) that an area blocks are the area with
everything in front of it and outside it. A body that slides by (dz, dr) meets an area where the
area and the body at rest lie that far apart: the blocked slides are the area less the body,
point by point (Minkowski). Millimetres.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from standclear.interval import Interval
from standclear.proof.section import rectangle, slide
from standclear.sweeps.areas import EMPTY, common, less, union

Box = tuple[float, float, float, float]
"""(x_min, y_min, x_max, y_max) of a plane."""
LOST_MM = 1e-7
"""Width of a strip that stands for a line: a slice is taken through its middle."""


@dataclass(frozen=True)
class Axis:
    """How a quantity u of a set-up follows a quantity x of a window: u = at + rate * (x - zero)."""

    at: float
    rate: float
    zero: float

    def value(self, x: float) -> float:
        """u at x."""
        return self.at + self.rate * (x - self.zero)

    def back(self, u: float) -> float:
        """x at u; the rate must not be 0."""
        return self.zero + (u - self.at) / self.rate


def blocked_blanks(area: BaseGeometry, box: Box) -> BaseGeometry:
    """Pairs (F, R) within `box` whose blank overlaps `area`."""
    if area.is_empty:
        return EMPTY
    far = max(box[2] - area.bounds[0], box[3] - area.bounds[1], 1.0)
    over = slide(area, Interval(0.0, far), Interval(0.0, far))
    return common(over, shapely.box(*box))


def blocked_slides(body: BaseGeometry, area: BaseGeometry, most: float) -> BaseGeometry:
    """Pairs (dz, dr), none beyond `most` either way, by which `body` slid overlaps `area`."""
    if body.is_empty or area.is_empty:
        return EMPTY
    z_min, r_min, z_max, r_max = body.bounds
    near = common(area, shapely.box(z_min - most, r_min - most, z_max + most, r_max + most))
    bodies, areas = _triangles(body), _triangles(near)
    if len(bodies) == 0 or len(areas) == 0:
        return EMPTY
    # The difference of two convex areas is the hull of the differences of their corners.
    apart = areas[None, :, :, None, :] - bodies[:, None, None, :, :]
    hulls = shapely.convex_hull(shapely.multipoints(apart.reshape(-1, 9, 2)))
    return common(union(hulls), shapely.box(-most, -most, most, most))


def shared_slides(body: BaseGeometry, area: BaseGeometry, most: float) -> BaseGeometry:
    """Pairs (dz, r), no slide beyond `most` either way, by which `body` slid along the axis shares
    a point of radius r with `area`."""
    if body.is_empty or area.is_empty:
        return EMPTY
    one, other = _triangles(body), _triangles(area)
    (z1, r1), (z2, r2) = (np.moveaxis(t, 2, 0) for t in (one, other))
    first, second = np.nonzero(
        (r1.min(1)[:, None] < r2.max(1)) & (r2.min(1) < r1.max(1)[:, None])
        & (z2.min(1) - z1.max(1)[:, None] < most) & (z2.max(1) - z1.min(1)[:, None] > -most)
    )  # fmt: skip
    if len(first) == 0:
        return EMPTY
    one, other = one[first], other[second]
    # At each radius both triangles are a stretch of z, and what is between two corners' radii is
    # straight: so the slides of a pair are the hull of those at the corners' radii.
    low = np.maximum(one[:, :, 1].min(1), other[:, :, 1].min(1))[:, None]
    high = np.minimum(one[:, :, 1].max(1), other[:, :, 1].max(1))[:, None]
    levels = np.clip(np.concatenate([one[:, :, 1], other[:, :, 1]], axis=1), low, high)
    (least, greatest), (least_2, greatest_2) = _stretches(one, levels), _stretches(other, levels)
    slides = np.stack(
        [
            np.concatenate([least_2 - greatest, greatest_2 - least], axis=1),
            np.concatenate([levels, levels], axis=1),
        ],
        axis=2,
    )
    hulls = shapely.convex_hull(shapely.multipoints(slides))
    box = shapely.box(-most, 0.0, most, float(slides[..., 1].max()))
    return common(union(hulls), box)


def _stretches(
    triangles: NDArray[np.float64], levels: NDArray[np.float64]
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """(n, levels) least and greatest z of each triangle at its levels of r."""
    z, r = triangles[:, None, :, 0], triangles[:, None, :, 1]
    z_next, r_next = np.roll(z, -1, axis=2), np.roll(r, -1, axis=2)
    level = levels[:, :, None]
    rise = r_next - r
    share = (level - r) / np.where(rise == 0, 1.0, rise)
    crossed = (rise != 0) & (share >= 0) & (share <= 1)
    at = np.concatenate([z + share * (z_next - z), np.broadcast_to(z, share.shape)], axis=2)
    counts = np.concatenate([crossed, r == level], axis=2)
    least: NDArray[np.float64] = np.where(counts, at, np.inf).min(axis=2)
    greatest: NDArray[np.float64] = np.where(counts, at, -np.inf).max(axis=2)
    return least, greatest


def _triangles(area: BaseGeometry) -> NDArray[np.float64]:
    """(n, 3, 2) corners of triangles that make up `area`."""
    parts = shapely.get_parts(shapely.constrained_delaunay_triangles(area))
    corners: NDArray[np.float64] = shapely.get_coordinates(parts).reshape(-1, 4, 2)[:, :3]
    return corners


def drawn(blocked: BaseGeometry, across: Axis, up: Axis, box: Box) -> BaseGeometry:
    """What of `blocked`, a region of (u, v), a window over (x, y) shows within `box`.

    Where a quantity does not follow its axis, the slice at its one value counts all along it.
    """
    if blocked.is_empty:
        return EMPTY
    x0, y0, x1, y1 = box
    if across.rate and up.rate:
        turned = shapely.transform(
            blocked,
            lambda uv: np.column_stack(
                [
                    across.zero + (uv[:, 0] - across.at) / across.rate,
                    up.zero + (uv[:, 1] - up.at) / up.rate,
                ]
            ),
        )
        return common(turned, shapely.box(*box))
    low, high = Interval(-1e6, 1e6), Interval(-1e6, 1e6)
    if not across.rate:
        low = Interval(across.at - LOST_MM, across.at + LOST_MM)
    if not up.rate:
        high = Interval(up.at - LOST_MM, up.at + LOST_MM)
    strip = common(blocked, shapely.box(low.lo, high.lo, low.hi, high.hi))
    shown = []
    for part in shapely.get_parts(strip):
        if part.is_empty:
            continue
        u0, v0, u1, v1 = part.bounds
        xs = sorted((across.back(u0), across.back(u1))) if across.rate else [x0, x1]
        ys = sorted((up.back(v0), up.back(v1))) if up.rate else [y0, y1]
        shown.append(rectangle(xs[0], xs[1], ys[0], ys[1]))
    return common(union(shown), shapely.box(*box)) if shown else EMPTY


def open_around(blocked: BaseGeometry, box: Box) -> BaseGeometry:
    """What of `box` is left."""
    return less(shapely.box(*box), blocked)
