"""A view: a window of the section (z, r in mm) laid on paper at a scale, and its lines."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import box as shapely_box
from shapely.geometry import MultiLineString, MultiPolygon
from shapely.geometry.base import BaseGeometry

from standclear.drawing.inks import Ink, Tone
from standclear.drawing.shapes import Box, Fill, Line, Point, Shape

SCALES = (0.05, 0.1, 0.2, 0.25, 0.5, 1.0, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 7.5, 10.0, 15.0, 20.0)
SCALES_OF_DETAIL = (*SCALES, 30.0, 40.0, 50.0, 100.0, 200.0, 500.0, 1000.0)
"""ISO 5455 with some steps between, as it lets a special need have."""
ON_AXIS = 1e-6
"""An edge this near to the axis on paper lies on it, mm."""
CHORD_ON_PAPER = 0.02
"""Points nearer to the line than this on paper are left out, mm: far below a line's width."""


@dataclass(frozen=True)
class View:
    """`window` is (z_min, r_min, z_max, r_max) of the section; its lower left lies at `origin`."""

    window: Box
    scale: float
    origin: Point

    @property
    def paper(self) -> Box:
        """The paper that the window covers."""
        z0, r0, z1, r1 = self.window
        x, y = self.origin
        return (x, y, x + (z1 - z0) * self.scale, y + (r1 - r0) * self.scale)

    def at(self, z: float, r: float) -> Point:
        """A place of the section on paper."""
        return (
            self.origin[0] + (z - self.window[0]) * self.scale,
            self.origin[1] + (r - self.window[1]) * self.scale,
        )

    def laid(self, geometry: BaseGeometry) -> BaseGeometry:
        """Geometry of the section on paper, not clipped."""
        laid: BaseGeometry = shapely.transform(geometry, self.laid_points)
        return laid

    def laid_points(self, points: NDArray[np.float64]) -> NDArray[np.float64]:
        """Places (n, 2) of the section on paper."""
        return self.scale * points + (
            self.origin[0] - self.scale * self.window[0],
            self.origin[1] - self.scale * self.window[1],
        )

    def clipped(self, geometry: BaseGeometry) -> BaseGeometry:
        """Geometry of the section on paper, what lies outside the window cut off."""
        return self._cut(self.laid(geometry))

    def edges(self, geometry: BaseGeometry) -> BaseGeometry:
        """Outlines of an area on paper, without the edges that clipping makes and the axis."""
        edge = self._cut(self.laid(outline(geometry)))
        axis = self.at(0, 0)[1]
        if edge.is_empty or not edge.bounds[1] <= axis <= edge.bounds[3]:
            return edge
        x0, _, x1, _ = edge.bounds
        return edge.difference(shapely_box(x0 - 1.0, axis - ON_AXIS, x1 + 1.0, axis + ON_AXIS))

    def _cut(self, laid: BaseGeometry) -> BaseGeometry:
        """What of `laid`, on paper, lies in the window. Most does, and is left as it is: a picture
        that follows a finger has no time for more."""
        if laid.is_empty:
            return laid
        (u0, v0, u1, v1), (x0, y0, x1, y1) = laid.bounds, self.paper
        if x0 <= u0 and y0 <= v0 and u1 <= x1 and v1 <= y1:
            return laid
        return laid.intersection(shapely_box(*self.paper))


def fitting(width: float, height: float, room: Point, scales: tuple[float, ...]) -> float:
    """The greatest scale at which width x height of the section fits the room on paper."""
    fits = [s for s in scales if width * s <= room[0] and height * s <= room[1]]
    return max(fits, default=min(scales))


def scale_words(scale: float) -> str:
    """`2:1`, `1:1`, `1:5`."""
    return f"{scale:g}:1" if scale >= 1 else f"1:{1 / scale:g}"


def line_shapes(geometry: BaseGeometry, ink: Ink) -> Iterator[Line]:
    """Every line of a geometry on paper as a polyline, in a fixed order."""
    for points in sorted(_chains(geometry)):
        yield Line(points, ink)


def _chains(geometry: BaseGeometry) -> Iterator[tuple[Point, ...]]:
    if geometry.is_empty:
        return
    if geometry.geom_type in ("LineString", "LinearRing"):
        thinned = geometry.simplify(CHORD_ON_PAPER)
        yield tuple((float(x), float(y)) for x, y in thinned.coords)
        return
    parts = list(getattr(geometry, "geoms", []))
    lines = [p for p in parts if p.geom_type in ("LineString", "LinearRing")]
    if lines and len(lines) > 1:
        from shapely.ops import linemerge

        merged = linemerge(MultiLineString(lines))
        for part in getattr(merged, "geoms", [merged]):
            yield from _chains(part)
    elif lines:
        yield from _chains(lines[0])
    for part in parts:
        if part.geom_type not in ("LineString", "LinearRing", "Point"):
            yield from _chains(part)


def outline(geometry: BaseGeometry) -> BaseGeometry:
    """Boundary of the areas in a geometry; lines and points in a collection have none."""
    return MultiPolygon(list(polygons(geometry))).boundary


def polygons(geometry: BaseGeometry) -> Iterator[BaseGeometry]:
    """Every polygon of a geometry."""
    if geometry.geom_type == "Polygon":
        if not geometry.is_empty:
            yield geometry
    else:
        for part in getattr(geometry, "geoms", []):
            yield from polygons(part)


def filled(geometry: BaseGeometry, tone: Tone) -> Iterator[Shape]:
    """An area on paper filled with one tone."""
    for polygon in polygons(geometry):
        rings = [polygon.exterior, *polygon.interiors]
        yield Fill(
            tuple(tuple((float(x), float(y)) for x, y in ring.coords[:-1]) for ring in rings),
            tone,
        )
