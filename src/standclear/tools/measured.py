"""Outlines that the job gives point by point: a measured holder, or a whole tool."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import Polygon

from standclear.job.models import Tool
from standclear.tools.errors import ToolError
from standclear.tools.outline import (
    SAME_PLACE_MM,
    Outline,
    Point,
    counter_clockwise,
    held,
    rounded,
)
from standclear.tools.shape import ToolShape

NOSE_TOUCHES_MM = 0.002
"""How far a nose may lie off the line of its tip: outlines are typed with three decimals."""


def measured_outline(points: Sequence[Point]) -> Polygon:
    """The holder measured by the shop, (z, r) from the controlled point, mm.

    Raises `ToolError` where the outline crosses itself or encloses nothing.
    """
    return _simple(points, "holder_outline")


def outline_tool(tool: Tool) -> ToolShape:
    """Shape of a tool given by `outline`, lengths in mm; `holder_outline` is added to it.

    The outline may run either way round. Its rounded corners cut where both edges beside them do.
    Raises `ToolError` naming the key that does not fit.
    """
    given = tool.outline
    if given is None:
        raise ToolError(f"tool {tool.station} has no `outline`")
    count = len(given.points)
    for edge in given.cutting:
        if edge >= count or edge < 0:
            raise ToolError(
                f"outline.cutting names edge {edge}; the outline has edges 0 to {count - 1}"
            )
    radii = [0.0] * count
    for corner in given.corners:
        if corner.point >= count:
            raise ToolError(
                f"outline.corners names point {corner.point}; "
                f"the outline has points 0 to {count - 1}"
            )
        radii[corner.point] = corner.radius
    _simple(given.points, "outline")
    points = list(given.points)
    cuts = [i in given.cutting for i in range(count)]
    if not counter_clockwise(np.array(points)):
        points.reverse()
        radii.reverse()
        cuts = [*cuts[-2::-1], cuts[-1]]
    outer, inner = rounded(points, radii, cuts, "outer"), rounded(points, radii, cuts, "inner")
    part = convex_part(inner)
    if tool.holder_outline is not None:
        body = measured_outline(tool.holder_outline)
        outer, inner = held(outer, inner, body, tool.station)
    nose_radius, nose_centre = _nose(points, radii, cuts)
    return ToolShape(
        outer=outer.points,
        outer_cuts=outer.cuts,
        inner=inner.points,
        inner_cuts=inner.cuts,
        cutting_part=part,
        nose_radius_mm=nose_radius,
        nose_centre=nose_centre,
        kind="outline",
    )


def convex_part(outline: Outline) -> NDArray[np.float64]:
    """A convex polygon inside the outline, bounded by its cutting edges as far as may be.

    The hull of the cutting edges where it has an area and lies inside; else what is left of the
    outline when every inward corner is cut off along one of its edges, so as to keep most of the
    cutting edge. Counter-clockwise points (k, 2).
    """
    ends = np.roll(outline.points, -1, axis=0)
    edges = shapely.linestrings(np.stack([outline.points, ends], axis=1)[outline.cuts])
    hull = shapely.convex_hull(shapely.union_all(edges))
    if hull.geom_type == "Polygon" and hull.difference(outline.polygon).area <= SAME_PLACE_MM**2:
        return _ring(hull)
    size = 4 * float(np.max(np.abs(outline.points))) + 1
    part = outline.polygon
    for corner, ways in _inward_corners(outline.points):
        if shapely.distance(shapely.Point(corner), part) > SAME_PLACE_MM:
            continue
        pieces = [
            piece for way in ways for piece in _polygons(part.intersection(_left_of(*way, size)))
        ]
        part = max(
            pieces,
            key=lambda piece: (
                round(float(shapely.union_all(edges).intersection(piece.boundary).length), 6),
                piece.area,
            ),
        )
    # What the cuts leave is convex but for the last digits; the hull mends these.
    return _ring(shapely.convex_hull(part))


_Way = tuple[NDArray[np.float64], NDArray[np.float64]]


def _inward_corners(
    ring: NDArray[np.float64],
) -> list[tuple[NDArray[np.float64], tuple[_Way, _Way]]]:
    """Every corner that points inwards, with both edges (start, end) beside it."""
    before, after = np.roll(ring, 1, axis=0), np.roll(ring, -1, axis=0)
    a, b = ring - before, after - ring
    inward = np.flatnonzero(a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0] < 0)
    return [(ring[i], ((before[i], ring[i]), (ring[i], after[i]))) for i in inward]


def _left_of(start: NDArray[np.float64], end: NDArray[np.float64], size: float) -> Polygon:
    """The half plane to the left of a line, out to `size`."""
    along = (end - start) / math.hypot(*(end - start))
    left = np.array([-along[1], along[0]])
    low, high = start - size * along, start + size * along
    return Polygon([low, high, high + size * left, low + size * left])


def _polygons(geometry: shapely.Geometry) -> list[Polygon]:
    return [part for part in shapely.get_parts(geometry) if part.geom_type == "Polygon"]


def _ring(polygon: Polygon) -> NDArray[np.float64]:
    """Points of a polygon without holes, counter-clockwise, those on a straight line dropped."""
    clean = shapely.orient_polygons(shapely.simplify(polygon, 0.0))
    ring: NDArray[np.float64] = shapely.get_coordinates(clean)[:-1]
    return ring


def _simple(points: Sequence[Point], key: str) -> Polygon:
    if len(points) < 3:
        raise ToolError(f"{key} has {len(points)} points; give at least 3")
    polygon = Polygon(points)
    if not polygon.is_valid or polygon.area == 0:
        raise ToolError(f"{key} crosses itself or encloses nothing; give its corners in order")
    return polygon


def _nose(
    points: Sequence[Point], radii: Sequence[float], cuts: Sequence[bool]
) -> tuple[float, Point | None]:
    """Radius and centre of the cutting corner whose arc touches r = 0, as a nose at its tip does;
    0 and None where there is none."""
    for i, radius in enumerate(radii):
        if radius and cuts[i - 1] and cuts[i]:
            z, r = (float(c) for c in _arc_centre(points, i, radius))
            if abs(abs(r) - radius) < NOSE_TOUCHES_MM and abs(z) < radius + NOSE_TOUCHES_MM:
                return radius, (z, r)
    return 0.0, None


def _arc_centre(points: Sequence[Point], i: int, radius: float) -> NDArray[np.float64]:
    here = np.array(points[i])
    back = np.array(points[i - 1]) - here
    on = np.array(points[(i + 1) % len(points)]) - here
    back, on = back / np.linalg.norm(back), on / np.linalg.norm(on)
    bisector = back + on
    sine = math.sqrt((1 - float(back @ on)) / 2)
    centre: NDArray[np.float64] = here + radius / sine * bisector / np.linalg.norm(bisector)
    return centre
