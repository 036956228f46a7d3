"""The fold at the axis: what reaches past the centre line meets the metal of the far side.

The section is worked in the full plane. What a tool sweeps at r < 0 is mirrored to r > 0, where the
turning blank meets it. Parts whose mirror image the tool itself covers at the same instant, or has
passed, add nothing: that metal has been cut or struck there already. So a nose that faces past
centre is free, and so is a drill on the centre line.
"""

from __future__ import annotations

from functools import cached_property

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from standclear.sweeps.areas import common, commons, less, lesses, union, union_by
from standclear.sweeps.chain import Pieces, join_pieces, no_pieces
from standclear.sweeps.outline import Outline, outlines_of
from standclear.sweeps.strike import body_sweeps, standing

WIDE = 1e6
"""Millimetres: wider than any section."""
STEADY = 1e-9
"""Change of radius, mm, below which a motion keeps its distance from the axis."""
SEARCH_STEPS = 40
SEARCH_MM = 50.0
PROBES = 33
"""Search for the radius where shade ends: halvings, how far past the axis it begins, and probes
that must confirm that shade holds further out."""


def mirrored(pieces: Pieces) -> Pieces:
    """The parts of `pieces` at r < 0, mirrored at the axis."""
    polygons, rows = pieces
    if len(polygons) == 0:
        return no_pieces()
    below = np.flatnonzero(shapely.bounds(polygons)[:, 1] < 0)
    if len(below) == 0:
        return no_pieces()
    cut = commons(polygons[below], shapely.box(-WIDE, -WIDE, WIDE, 0.0))
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
        self._body_area = union(o.polygon for o in body)
        self._tool_area = union(o.polygon for o in tool)
        part = shapely.Polygon(cutting_part)
        self._part = outlines_of(part)
        self._part_body = outlines_of(common(self._body_area, part))
        self._whole = _Shade(self._body_area, self._tool_area)
        self._rest = _Shade(less(self._body_area, part), self._tool_area)
        self._lowest = float(min((o.points[:, 1].min() for o in body), default=0.0))

    def of_feeds(self, start: NDArray[np.float64], end: NDArray[np.float64]) -> Pieces:
        """What feeds from `start` to `end`, (m, 2) mm, put past the axis, mirrored.

        A feed along the axis shades what the tool covers there. A feed straight in shades all that
        its cutting part has passed on its way to the axis: it met every far-side point's image
        first. Any other feed shades only until the radius where shade ends, and nothing beyond.
        """
        near = np.minimum(start[:, 1], end[:, 1]) + self._lowest < 0
        steady = np.abs(end[:, 1] - start[:, 1]) <= STEADY
        straight_in = (np.abs(end[:, 0] - start[:, 0]) <= STEADY) & (end[:, 1] < start[:, 1])
        parts = [self._along(rows, start, end) for rows in self._by_radius(near & steady, start)]
        inward = np.flatnonzero(near & ~steady & straight_in)
        across = np.flatnonzero(near & ~steady & ~straight_in)
        parts.append(self._straight_in(inward, start, end))
        parts.append(self._rest.of_feeds(inward, start, end))
        parts.append(self._whole.of_feeds(across, start, end))
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
        """The cutting part's far side on feeds straight in, less all that it has passed.

        The part is convex, so along a line across the axis it covers one stretch. Where that
        stretch holds a point past the axis and not its image on this side, it has run past the
        image and never comes back to it: either it met the image first, or it never does.
        """
        if len(rows) == 0:
            return no_pieces()
        a, b = start[rows], end[rows]
        past, owner = mirrored(
            join_pieces([standing(self._part_body, a), body_sweeps(self._part_body, a, b)])
        )
        passed = union_by(
            *join_pieces([standing(self._part, a), body_sweeps(self._part, a, b)]), len(rows)
        )
        left = lesses(past, passed[owner])
        some = shapely.area(left) > 0
        return left[some], rows[owner[some]]


class _Shade:
    """Feeds that shade the far side only while the tool covers it at the same instant."""

    def __init__(self, body: BaseGeometry, tool: BaseGeometry) -> None:
        self._body = body
        self._tool = tool
        self._outlines = outlines_of(body)
        self._outward = max(-float(body.bounds[1]), 0.0) if not body.is_empty else 0.0

    @cached_property
    def ends(self) -> float:
        """Least radius of the controlled point from which on outward nothing needs folding.

        Found by halving, on the safe side: where the search is not sure that shade holds all the
        way out, it is granted only where nothing reaches past the axis.
        """
        low, high = -self._outward - SEARCH_MM, self._outward
        for _ in range(SEARCH_STEPS):
            middle = (low + high) / 2
            if self._open(middle):
                low = middle
            else:
                high = middle
        probes = np.linspace(high, self._outward, PROBES).tolist()
        return self._outward if any(self._open(radius) for radius in probes) else high

    def _open(self, radius: float) -> bool:
        return bool(_far_side(self._body, self._tool, radius).area > 0.0)

    def of_feeds(
        self, rows: NDArray[np.int64], start: NDArray[np.float64], end: NDArray[np.float64]
    ) -> Pieces:
        """The far side of the given rows, mirrored, beyond where shade ends."""
        if len(rows) == 0 or not self._outlines:
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


def _far_side(body: BaseGeometry, tool: BaseGeometry, radius: float) -> BaseGeometry:
    """Mirror image of what of `body` lies past the axis, less the tool itself, in the tool's
    frame, when the controlled point stands at `radius`."""
    past = common(body, shapely.box(-WIDE, -WIDE, WIDE, -radius))
    image = shapely.transform(past, lambda xy: np.column_stack([xy[:, 0], -2 * radius - xy[:, 1]]))
    return less(image, tool)
