"""The fold at the axis: what reaches past the centre line meets the metal of the far side.

The section is worked in the full plane. What a tool sweeps at r < 0 is mirrored to r > 0, where the
turning blank meets it. Parts whose mirror image the tool itself covers at the same instant, or has
passed, add nothing: that metal has been cut or struck there already. So a nose that faces past
centre is free, and so is a drill on the centre line.
"""

from __future__ import annotations

from functools import cached_property
from itertools import pairwise

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from standclear.sweeps.areas import common, less, lesses, on_grid, union, union_by
from standclear.sweeps.chain import Pieces, join_pieces, no_pieces
from standclear.sweeps.clip import clipped
from standclear.sweeps.outline import Outline, outlines_of
from standclear.sweeps.strike import body_sweeps, standing

WIDE = 1e6
"""Millimetres: wider than any section."""
STEADY = 1e-9
"""Change of radius, mm, below which a motion keeps its distance from the axis."""
STEP_MM = 0.004
"""Step in which a feed past the axis is followed: half of it is less than any contact limit."""
MOST_STEPS = 500
"""Feeds of more steps than these past the axis, 2 mm, shade nothing beyond where shade ends."""
HIGH = 1e4
"""Millimetres: no tool is so tall."""
THIN_MM = 1e-9
"""Width along the axis below which a slab of an outline is noise of its corners."""


def mirrored(pieces: Pieces) -> Pieces:
    """The parts of `pieces` at r < 0, mirrored at the axis."""
    polygons, rows = pieces
    if len(polygons) == 0:
        return no_pieces()
    below = np.flatnonzero(shapely.bounds(polygons)[:, 1] < 0)
    if len(below) == 0:
        return no_pieces()
    cut = clipped(polygons[below], (-WIDE, -WIDE, WIDE, 0.0))
    flipped = shapely.transform(cut, lambda xy: xy * (1.0, -1.0))
    return flipped, rows[below]


class Fold:
    """The fold of one tool.

    `body` is what must not meet metal, `tool` all of it, which shades; `cutting_part` is the convex
    part that the cutting edges bound.
    """

    def __init__(
        self,
        body: tuple[Outline, ...],
        tool: tuple[Outline, ...],
        cutting_part: NDArray[np.float64],
    ) -> None:
        self._body = body
        self._tool = tool
        self._cutting_part = cutting_part
        self._lowest = float(min((o.points[:, 1].min() for o in body), default=0.0))

    # Most tools never reach the axis in feed: what follows is worked out for those that do.

    @cached_property
    def _body_area(self) -> BaseGeometry:
        return union(o.polygon for o in self._body)

    @cached_property
    def _tool_area(self) -> BaseGeometry:
        return union(o.polygon for o in self._tool)

    @cached_property
    def _part(self) -> tuple[Outline, ...]:
        return outlines_of(shapely.Polygon(self._cutting_part))

    @cached_property
    def _part_body(self) -> tuple[Outline, ...]:
        return outlines_of(common(self._body_area, shapely.Polygon(self._cutting_part)))

    @cached_property
    def _over(self) -> BaseGeometry:
        """The cutting part and all that stands over it, away from the axis."""
        outward = self._cutting_part + np.array([0.0, HIGH])
        return shapely.convex_hull(shapely.multipoints([*self._cutting_part, *outward]))

    @cached_property
    def _over_body(self) -> tuple[Outline, ...]:
        return outlines_of(common(self._body_area, self._over))

    @cached_property
    def _beside(self) -> _Shade:
        return _Shade(less(self._body_area, self._over), self._tool_area)

    @cached_property
    def _whole(self) -> _Shade:
        return _Shade(self._body_area, self._tool_area)

    @cached_property
    def _rest(self) -> _Shade:
        return _Shade(less(self._body_area, shapely.Polygon(self._cutting_part)), self._tool_area)

    def of_feeds(self, start: NDArray[np.float64], end: NDArray[np.float64]) -> Pieces:
        """What feeds from `start` to `end`, (m, 2) mm, put past the axis, mirrored.

        A feed along the axis shades what the tool covers there. A feed straight in shades all that
        its cutting part has passed on its way to the axis: it met every far-side point's image
        before it got past the axis itself, or what stands over it did. A slanting feed, or one
        outward, shades what its cutting part has passed until then, step by step; the rest of the
        tool only until the radius where shade ends, and nothing beyond.
        """
        near = np.minimum(start[:, 1], end[:, 1]) + self._lowest < 0
        steady = np.abs(end[:, 1] - start[:, 1]) <= STEADY
        straight_in = (np.abs(end[:, 0] - start[:, 0]) <= STEADY) & (end[:, 1] < start[:, 1])
        parts = [self._along(rows, start, end) for rows in self._by_radius(near & steady, start)]
        inward = np.flatnonzero(near & ~steady & straight_in)
        across = np.flatnonzero(near & ~steady & ~straight_in)
        if len(inward):
            parts.append(self._straight_in(inward, start, end))
            parts.append(self._beside.of_feeds(inward, start, end))
        if len(across):
            few = self._steps(start[across], end[across]) <= MOST_STEPS
            parts += [self._slanting(across[few], start, end)]
            parts += [self._rest.of_feeds(across[few], start, end)]
            parts += [self._whole.of_feeds(across[~few], start, end)]
        return join_pieces(parts)

    @staticmethod
    def _by_radius(mask: NDArray[np.bool_], start: NDArray[np.float64]) -> list[NDArray[np.int64]]:
        rows = np.flatnonzero(mask)
        if len(rows) == 0:
            return []
        _, inverse = np.unique(start[rows, 1], return_inverse=True)
        return [rows[inverse == k] for k in range(int(inverse.max()) + 1)]

    def _along(
        self, rows: NDArray[np.int64], start: NDArray[np.float64], end: NDArray[np.float64]
    ) -> Pieces:
        shape = outlines_of(_far_side(self._body_area, self._tool_area, float(start[rows[0], 1])))
        if not shape:
            return no_pieces()
        level = end[rows].copy()
        level[:, 1] = start[rows, 1]
        polygons, local = join_pieces(
            [standing(shape, start[rows]), body_sweeps(shape, start[rows], level)]
        )
        return polygons, rows[local]

    def _straight_in(
        self, rows: NDArray[np.int64], start: NDArray[np.float64], end: NDArray[np.float64]
    ) -> Pieces:
        """The far side of the cutting part, and of what stands over it, on feeds straight in, less
        all that the part has passed.

        The part is convex, so along a line across the axis it covers one stretch, from c on, and
        what stands over it begins at x >= c. The controlled point at p puts x a distance d past the
        axis where p = -x - d; the part met the image of that at p = d - c, which is greater by
        2 d + x - c, so sooner on the way in: either it met the image first, or it never does.
        """
        if not self._over_body:
            return no_pieces()
        a, b = start[rows], end[rows]
        past, owner = mirrored(
            join_pieces([standing(self._over_body, a), body_sweeps(self._over_body, a, b)])
        )
        passed = union_by(
            *join_pieces([standing(self._part, a), body_sweeps(self._part, a, b)]), len(rows)
        )
        left = lesses(past, passed[owner])
        some = shapely.area(left) > 0
        return left[some], rows[owner[some]]

    def _steps(self, start: NDArray[np.float64], end: NDArray[np.float64]) -> NDArray[np.int64]:
        """(m,) steps of at most `STEP_MM` in which feeds past the axis are followed."""
        length = np.hypot(*(end - start).T) * np.subtract(*_past(start, end, self._lowest)[::-1])
        steps: NDArray[np.int64] = np.maximum(np.ceil(length / STEP_MM).astype(np.int64), 1)
        return steps

    def _slanting(
        self, rows: NDArray[np.int64], start: NDArray[np.float64], end: NDArray[np.float64]
    ) -> Pieces:
        """The cutting part's far side on any feeds, less what it has passed when the step that
        puts it there begins. Until a step ends nothing is granted that it passes: what is left of
        that lies within half a step of the axis.

        The part is convex, so what it has passed on a straight way is the hull of its first and its
        last place.
        """
        if len(rows) == 0 or not self._part_body:
            return no_pieces()
        a, b = start[rows], end[rows]
        counts = self._steps(a, b)
        first, last = _past(a, b, self._lowest)
        owner = np.repeat(np.arange(len(rows)), counts)
        step = np.arange(len(owner)) - np.repeat(np.cumsum(counts) - counts, counts)
        shares = [first[owner] + (step + k) / counts[owner] * (last - first)[owner] for k in (0, 1)]
        begin, finish = (a[owner] + each[:, None] * (b - a)[owner] for each in shares)
        past, of = mirrored(
            join_pieces(
                [standing(self._part_body, begin), body_sweeps(self._part_body, begin, finish)]
            )
        )
        places = np.stack([a[owner], begin], axis=1)[:, :, None] + self._cutting_part[None, None]
        passed = shapely.convex_hull(shapely.multipoints(places.reshape(len(owner), -1, 2)))
        left = lesses(past, on_grid(passed[of]))
        some = shapely.area(left) > 0
        return left[some], rows[owner[of[some]]]


def _past(
    start: NDArray[np.float64], end: NDArray[np.float64], lowest: float
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """(m,) shares of each way between which a point `lowest` from the controlled one lies past the
    axis."""
    radius, run = start[:, 1] + lowest, end[:, 1] - start[:, 1]
    reaches = np.clip(-radius / np.where(run == 0, 1.0, run), 0.0, 1.0)
    first = np.where(radius < 0, 0.0, reaches)
    last = np.where(radius + run < 0, 1.0, reaches)
    return first, last


class _Shade:
    """Feeds that shade the far side only while the tool covers it at the same instant."""

    def __init__(self, body: BaseGeometry, tool: BaseGeometry) -> None:
        self._body = body
        self._tool = tool
        self._outlines = outlines_of(body)

    @cached_property
    def ends(self) -> float:
        """Least radius of the controlled point from which on outward nothing needs folding."""
        return _shade_ends(self._body, self._tool)

    def of_feeds(
        self, rows: NDArray[np.int64], start: NDArray[np.float64], end: NDArray[np.float64]
    ) -> Pieces:
        """The far side of the given rows, mirrored, beyond where shade ends."""
        if not self._outlines:
            return no_pieces()
        rows = rows[np.minimum(start[rows, 1], end[rows, 1]) < self.ends]
        if len(rows) == 0:
            return no_pieces()
        a, b = start[rows].copy(), end[rows].copy()
        for one, other in ((a, b), (b, a)):
            high = one[:, 1] > self.ends
            share = (self.ends - other[:, 1]) / np.where(high, one[:, 1] - other[:, 1], 1.0)
            cut = other + share[:, None] * (one - other)
            one[high] = cut[high]
        polygons, local = mirrored(
            join_pieces([standing(self._outlines, a), body_sweeps(self._outlines, a, b)])
        )
        return polygons, rows[local]


def _shade_ends(body: BaseGeometry, tool: BaseGeometry) -> float:
    """Greatest radius of the controlled point at which some of `body` lies past the axis and its
    mirror image outside `tool`; minus infinity where there is none.

    With the controlled point at radius p the image of x is -2 p - x, in the tool's frame. Along a
    line across the axis the greatest p is that of the lowest x of the body and of the lowest image
    outside the tool above x, so p = -(x + y) / 2. Both run straight between the corners of the
    outlines: the greatest of all lies at a corner, seen from either side.
    """
    inner, outer = _edges(body), _edges(tool)
    z = np.unique(np.concatenate([inner[:, :, 0], outer[:, :, 0]]))
    slabs = [(a, b) for a, b in pairwise(z.tolist()) if b - a > THIN_MM]
    ends = -np.inf
    for a, b in slabs:
        near, far = (_least_shade(inner, outer, a + share * (b - a)) for share in (0.25, 0.75))
        ends = max(ends, (3 * near - far) / 2, (3 * far - near) / 2)
    return float(ends)


def _least_shade(body: NDArray[np.float64], tool: NDArray[np.float64], z: float) -> float:
    """`_shade_ends` on the line across the axis at `z`."""
    met = _crossings(body, z)
    if len(met) == 0:
        return -np.inf
    lowest = float(met[0])
    stretches = _crossings(tool, z)
    k = int(np.searchsorted(stretches, lowest, side="right"))
    above = float(stretches[k]) if k % 2 else lowest
    return -(lowest + above) / 2


def _edges(area: BaseGeometry) -> NDArray[np.float64]:
    """(n, 2, 2) edges of all rings."""
    rings = shapely.get_rings(shapely.get_parts(area))
    parts = [np.stack([c[:-1], c[1:]], axis=1) for c in map(shapely.get_coordinates, rings)]
    return np.concatenate([np.empty((0, 2, 2)), *parts])


def _crossings(edges: NDArray[np.float64], z: float) -> NDArray[np.float64]:
    """Radii at which a line across the axis, through no corner, meets the edges; ascending."""
    z0, z1 = edges[:, 0, 0], edges[:, 1, 0]
    met = (z0 < z) != (z1 < z)
    share = (z - z0[met]) / (z1[met] - z0[met])
    radii: NDArray[np.float64] = np.sort(
        edges[met, 0, 1] + share * (edges[met, 1, 1] - edges[met, 0, 1])
    )
    return radii


def _far_side(body: BaseGeometry, tool: BaseGeometry, radius: float) -> BaseGeometry:
    """Mirror image of what of `body` lies past the axis, less the tool itself, in the tool's
    frame, when the controlled point stands at `radius`."""
    past = common(body, shapely.box(-WIDE, -WIDE, WIDE, -radius))
    image = shapely.transform(past, lambda xy: np.column_stack([xy[:, 0], -2 * radius - xy[:, 1]]))
    return less(image, tool)
