"""The fold at the axis: what reaches past the centre line meets the metal of the far side.

The section is worked in the full plane. What a tool sweeps at r < 0 is mirrored to r > 0, where the
turning blank meets it. Parts whose mirror image lies inside the tool itself at the same instant add
nothing: that metal has been cut or struck there already. So a nose that faces past centre until its
own centre stands on the axis is free, and a drill on the centre line is.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from standclear.sweeps.areas import common, commons
from standclear.sweeps.chain import Pieces, join_pieces, no_pieces
from standclear.sweeps.outline import Outline, outlines_of
from standclear.sweeps.strike import body_sweeps, standing

WIDE = 1e6
"""Millimetres: wider than any section."""
STEADY = 1e-9
"""Change of radius, mm, below which a motion keeps its distance from the axis."""
SEARCH_STEPS = 40
"""Halvings of the search for the radius where shadow ends: a tool's height over 2^40."""


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
    """The fold of one tool: `body` is what must not meet metal, `tool` all that shades."""

    def __init__(self, body: tuple[Outline, ...], tool: tuple[Outline, ...]) -> None:
        self._body = body
        self._body_area = shapely.union_all([o.polygon for o in body])
        self._tool_area = shapely.union_all([o.polygon for o in tool])
        self.lowest = float(min((o.points[:, 1].min() for o in body), default=0.0))
        self._far_side = lru_cache(maxsize=4096)(self._find_far_side)
        self._shade_ends: float | None = None

    def _find_far_side(self, radius: float) -> BaseGeometry:
        """Mirror image of what lies past the axis, less the tool itself, in the tool's frame, when
        the controlled point stands at `radius`."""
        past = common(self._body_area, shapely.box(-WIDE, -WIDE, WIDE, -radius))
        image = shapely.transform(
            past, lambda xy: np.column_stack([xy[:, 0], -2 * radius - xy[:, 1]])
        )
        return image.difference(self._tool_area)

    @property
    def shade_ends(self) -> float:
        """Least radius of the controlled point from which on outward nothing needs folding."""
        if self._shade_ends is None:
            low, high = min(self.lowest, 0.0) - 1.0, max(-self.lowest, 0.0)
            for _ in range(SEARCH_STEPS):
                middle = (low + high) / 2
                if self._far_side(middle).area > 0.0:
                    low = middle
                else:
                    high = middle
            # A shape may lose its shadow further out again: trust only what holds all the way.
            probes = np.linspace(high, max(-self.lowest, 0.0), 33)
            open_ = [p for p in probes if self._far_side(float(p)).area > 0.0]
            self._shade_ends = max([high, *(max(-self.lowest, 0.0) for _ in open_)])
        return self._shade_ends

    def of_feeds(self, start: NDArray[np.float64], end: NDArray[np.float64]) -> Pieces:
        """What feeds from `start` to `end`, (m, 2) mm, put past the axis, mirrored.

        A feed along the axis shades what the tool covers there; any other feed only until the
        radius where shade ends, and nothing beyond.
        """
        near = np.minimum(start[:, 1], end[:, 1]) + self.lowest < 0
        steady = np.abs(end[:, 1] - start[:, 1]) <= STEADY
        parts = [self._along(rows, start, end) for rows in self._by_radius(near & steady, start)]
        parts.append(self._across(np.flatnonzero(near & ~steady), start, end))
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
        shape = outlines_of(self._far_side(float(start[rows[0], 1])))
        if not shape:
            return no_pieces()
        level = end[rows].copy()
        level[:, 1] = start[rows, 1]
        polygons, local = join_pieces(
            [standing(shape, start[rows]), body_sweeps(shape, start[rows], level)]
        )
        return polygons, rows[local]

    def _across(
        self, rows: NDArray[np.int64], start: NDArray[np.float64], end: NDArray[np.float64]
    ) -> Pieces:
        if len(rows) == 0:
            return no_pieces()
        rows = rows[np.minimum(start[rows, 1], end[rows, 1]) < self.shade_ends]
        if len(rows) == 0:
            return no_pieces()
        a, b = start[rows].copy(), end[rows].copy()
        for one, other in ((a, b), (b, a)):
            high = one[:, 1] > self.shade_ends
            share = (self.shade_ends - other[:, 1]) / np.where(high, one[:, 1] - other[:, 1], 1.0)
            cut = other + share[:, None] * (one - other)
            one[high] = cut[high]
        polygons, local = mirrored(
            join_pieces([standing(self._body, a), body_sweeps(self._body, a, b)])
        )
        return polygons, rows[local]
