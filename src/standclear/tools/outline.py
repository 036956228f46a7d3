"""Closed outlines whose edges know whether they cut: rounding, union, exposure, reflection.

An outline is counter-clockwise points (n, 2) of (z, r) in millimetres and n flags; edge i runs
from point i to point i + 1, the last to the first.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import LineString, Polygon
from shapely.geometry.base import BaseGeometry

from standclear.tools.errors import ToolError
from standclear.tools.shape import OUTLINE_ERROR_MM

SAME_PLACE_MM = 1e-7
"""Points nearer than this are one; a ten-thousandth of the error that is granted to arcs."""

SAME_HEADING = 1e-9
"""Radians; headings nearer than this are one."""

Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Outline:
    """A closed outline with its cutting edges."""

    points: NDArray[np.float64]
    cuts: NDArray[np.bool_]

    @property
    def polygon(self) -> Polygon:
        """The region inside."""
        return Polygon(self.points)


def rounded(
    points: Sequence[Point],
    radii: Sequence[float],
    cuts: Sequence[bool],
    side: Literal["outer", "inner"],
) -> Outline:
    """The outline of a polygon with rounded corners, drawn round (`outer`) or within the arcs.

    `points` run counter-clockwise, `radii` belong to them, `cuts` to the edges after them. Each
    chord or tangent leaves its arc by at most `OUTLINE_ERROR_MM`. An arc cuts where both edges
    beside it do: where only one does, the arc counts as body, which is the safe side.
    Raises `ToolError` where a radius does not fit its edges.
    """
    count = len(points)
    corners = [np.asarray(p, dtype=np.float64) for p in points]
    tangent_lengths = [
        radii[i] * math.tan(abs(_turn(corners[i - 1], corners[i], corners[(i + 1) % count])) / 2)
        for i in range(count)
    ]
    for i in range(count):
        j = (i + 1) % count
        length = float(np.linalg.norm(corners[j] - corners[i]))
        if tangent_lengths[i] + tangent_lengths[j] > length + SAME_PLACE_MM:
            raise ToolError(
                f"corner radii {radii[i]:g} and {radii[j]:g} do not fit on the edge of "
                f"{length:.3f} mm between them"
            )
    drawn: list[NDArray[np.float64]] = []
    flags: list[bool] = []
    for i in range(count):
        before, here, after = corners[i - 1], corners[i], corners[(i + 1) % count]
        turn = _turn(before, here, after)
        if radii[i] == 0 or turn == 0:
            drawn.append(here)
            flags.append(cuts[i])
            continue
        start = here + tangent_lengths[i] * _unit(before - here)
        around = (side == "outer") == (turn > 0)
        arc = _arc(start, _unit(here - before), turn, radii[i], around)
        arc_cuts = bool(cuts[i - 1] and cuts[i])
        pieces = [arc_cuts] * (len(arc) - 1) + [cuts[i]]
        if around and cuts[i - 1] != arc_cuts:
            # The first tangent runs on from the edge before: it ends where the arc begins.
            arc, pieces = [start, *arc], [arc_cuts, *pieces]
        if around and cuts[i] != arc_cuts:
            end = here + tangent_lengths[i] * _unit(after - here)
            arc, pieces = [*arc, end], [*pieces[:-1], arc_cuts, cuts[i]]
        drawn.extend(arc)
        flags.extend(pieces)
    return _without_repeats(np.array(drawn), np.array(flags, dtype=np.bool_))


def united(outline: Outline, body: BaseGeometry, what: str) -> Outline:
    """One outline round `outline` and `body`; the edges that `body` leaves free still cut.

    An edge cuts where it lies on a cutting edge of `outline` and away from `body`. Holes between
    the two are filled, which is the safe side. Raises `ToolError` where they do not meet.
    """
    whole = shapely.union_all([outline.polygon, body])
    if whole.geom_type != "Polygon":
        raise ToolError(f"{what} does not meet the cutting part")
    ring = shapely.get_coordinates(shapely.orient_polygons(Polygon(whole.exterior)))[:-1]
    points = _without_repeats(ring, np.zeros(len(ring), dtype=np.bool_)).points
    return Outline(points, _on_free_edges(points, outline, body))


def exposed(outline: Outline, body: BaseGeometry) -> Outline:
    """The same outline, its cutting edges ending where `body` covers them."""
    points: list[NDArray[np.float64]] = []
    rim = shapely.boundary(body)
    for start, end, cuts in zip(
        outline.points, np.roll(outline.points, -1, axis=0), outline.cuts, strict=True
    ):
        points.append(start)
        if cuts:
            met = shapely.get_coordinates(shapely.intersection(LineString([start, end]), rim))
            points.extend(sorted(met, key=lambda p: float(np.linalg.norm(p - start))))
    broken = np.array(points)
    broken = _without_repeats(broken, np.zeros(len(broken), dtype=np.bool_)).points
    return Outline(broken, _on_free_edges(broken, outline, body))


def held(
    outer: Outline, inner: Outline, body: BaseGeometry, station: int
) -> tuple[Outline, Outline]:
    """The two outlines of a cutting part with what carries it: (outer, inner).

    Raises `ToolError` where the body does not meet the cutting part, or covers all of its edges.
    """
    whole, free = united(outer, body, "holder_outline"), exposed(inner, body)
    if not (whole.cuts.any() and free.cuts.any()):
        raise ToolError(f"tool {station}: holder_outline covers every cutting edge")
    return whole, free


def mapped(
    outline: Outline, reflect: Callable[[NDArray[np.float64]], NDArray[np.float64]]
) -> Outline:
    """The mirror image under a reflection, counter-clockwise again."""
    points = reflect(outline.points)[::-1]
    return Outline(np.ascontiguousarray(points), np.roll(outline.cuts[::-1], -1))


def counter_clockwise(points: NDArray[np.float64]) -> bool:
    """True when the closed outline runs counter-clockwise (shoelace sum)."""
    z, r = points[:, 0], points[:, 1]
    return float(np.sum(z * np.roll(r, -1) - r * np.roll(z, -1))) > 0


def _on_free_edges(
    points: NDArray[np.float64], outline: Outline, body: BaseGeometry
) -> NDArray[np.bool_]:
    """For each edge of the ring `points`: it lies on a cutting edge and not against `body`."""
    ends = np.roll(outline.points, -1, axis=0)
    cutting = shapely.union_all(
        shapely.linestrings(np.stack([outline.points, ends], axis=1)[outline.cuts])
    )
    edges = shapely.linestrings(np.stack([points, np.roll(points, -1, axis=0)], axis=1))
    middles = shapely.line_interpolate_point(edges, 0.5, normalized=True)
    free = shapely.distance(middles, body) > SAME_PLACE_MM
    near = shapely.distance(middles, cutting) <= SAME_PLACE_MM
    starts_on = shapely.distance(shapely.points(points), cutting) <= SAME_PLACE_MM
    flags: NDArray[np.bool_] = free & near & starts_on & np.roll(starts_on, -1)
    return flags


def _arc(
    start: NDArray[np.float64],
    heading: NDArray[np.float64],
    turn: float,
    radius: float,
    around: bool,
) -> list[NDArray[np.float64]]:
    """Points of an arc that leaves `start` along `heading` and turns by `turn` (radians).

    `around`: corners of the tangents, outside the arc; else points on it, its ends included. Where
    the arc runs along z or along r it is met exactly, on a tangent or by a point: a straight cut
    along an axis turns or faces to the very size.
    """
    side = 1.0 if turn > 0 else -1.0
    centre = start + side * radius * np.array([-heading[1], heading[0]])
    ratio = OUTLINE_ERROR_MM / radius
    half = math.acos(1 / (1 + ratio)) if around else math.acos(max(1 - ratio, -1.0))
    spoke = start - centre
    points = [] if around else [start]
    for begin, end in pairwise(_with_axis_headings(heading, turn)):
        pieces = max(math.ceil(abs(end - begin) / (2 * half)), 1)
        step = (end - begin) / pieces
        if around:
            corner = spoke / math.cos(step / 2)
            points += [centre + _rotated(corner, begin + (i + 0.5) * step) for i in range(pieces)]
        else:
            points += [centre + _rotated(spoke, begin + i * step) for i in range(1, pieces + 1)]
    return points


def _with_axis_headings(heading: NDArray[np.float64], turn: float) -> list[float]:
    """Angles from the start of an arc: 0, where its heading is along an axis, and `turn`."""
    quarter = math.pi / 2
    at = math.atan2(heading[1], heading[0])
    low, high = sorted((at, at + turn))
    between = [
        n * quarter - at
        for n in range(math.ceil(low / quarter), math.floor(high / quarter) + 1)
        if low + SAME_HEADING < n * quarter < high - SAME_HEADING
    ]
    return [0.0, *sorted(between, key=abs), turn]


def _without_repeats(points: NDArray[np.float64], cuts: NDArray[np.bool_]) -> Outline:
    """Drop each point that stands where the next one does, with its edge of no length."""
    keep = np.linalg.norm(np.roll(points, -1, axis=0) - points, axis=1) > SAME_PLACE_MM
    return Outline(points[keep], cuts[keep])


def _turn(
    before: NDArray[np.float64], here: NDArray[np.float64], after: NDArray[np.float64]
) -> float:
    """Change of heading at `here`, radians, positive to the left."""
    a, b = here - before, after - here
    return math.atan2(a[0] * b[1] - a[1] * b[0], a[0] * b[0] + a[1] * b[1])


def _unit(vector: NDArray[np.float64]) -> NDArray[np.float64]:
    scaled: NDArray[np.float64] = vector / np.linalg.norm(vector)
    return scaled


def _rotated(vector: NDArray[np.float64], angle: float) -> NDArray[np.float64]:
    c, s = math.cos(angle), math.sin(angle)
    return np.array([c * vector[0] - s * vector[1], s * vector[0] + c * vector[1]])
