"""First touch: which of a sequence of areas is the first to enter each point.

Items stand in order. Item i is tested against what earlier items left (`strike`), then takes away
its own share (`cut`). For each point let rho be the first item whose strike holds it and tau the
first whose cut does: the point belongs to item rho if rho <= tau, and to none if tau < rho.

Found by halves with no state handed along. Two binary trees of unions stand over the items, one of
strikes, one of cuts. From the root down the undecided region X of a node, what its strikes may
still own, is split: the left half gets X within its strikes; the right half X less all that
the left half strikes or cuts, within the right half's strikes. Empty nodes drop out, and what
arrives at an item is its own. Each level is a few array booleans over the nodes still alive.
"""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray

Areas = NDArray[np.object_]
EMPTY = shapely.Polygon()


def union_by(polygons: Areas, group: NDArray[np.int64], count: int) -> Areas:
    """(count,) union of the polygons of each group; empty where a group has none. `group` is
    ascending."""
    areas = np.full(count, EMPTY, dtype=object)
    if len(polygons) == 0:
        return areas
    used, local, size = np.unique(group, return_inverse=True, return_counts=True)
    areas[used[size == 1]] = polygons[(size == 1)[local]]
    many = (size > 1)[local]
    if many.any():
        _, dense = np.unique(local[many], return_inverse=True)
        collections = shapely.geometrycollections(polygons[many], indices=dense)
        areas[used[size > 1]] = shapely.union_all(collections[:, None], axis=1)
    return areas


def first_touch(strikes: Areas, cuts: Areas) -> Areas:
    """For each item the area it is the first to enter and nothing cut before: (n,) from (n,), (n,).

    Areas of a point or a line are dropped, none other. The union of the answer is the keep-out
    (`strikes` of rapids and holders, `cuts` of edges); with strikes = cuts it is each item's own
    share of what is cut.
    """
    n = len(strikes)
    if n == 0:
        return strikes
    strike_levels, cut_levels = [_padded(strikes)], [_padded(cuts)]
    while len(strike_levels[-1]) > 1:
        for levels in (strike_levels, cut_levels):
            levels.append(shapely.union(levels[-1][0::2], levels[-1][1::2]))
    node = np.zeros(1, dtype=np.int64)
    left_over = strike_levels[-1].copy()
    for strike, cut in zip(strike_levels[-2::-1], cut_levels[-2::-1], strict=True):
        left, right = 2 * node, 2 * node + 1
        own = shapely.intersection(left_over, strike[left])
        # A child takes all of what its brother cannot reach; most nodes of a level do.
        after = shapely.difference(shapely.difference(left_over, strike[left]), cut[left])
        passed = shapely.intersection(after, strike[right])
        node = np.concatenate([left, right])
        left_over = np.concatenate([own, passed])
        alive = shapely.area(left_over) > 0
        node, left_over = node[alive], _solid(left_over[alive])
    touched = np.full(n, EMPTY, dtype=object)
    touched[node] = left_over
    return touched


def _padded(areas: Areas) -> Areas:
    size = 1 << max(0, (len(areas) - 1).bit_length())
    padded = np.full(size, EMPTY, dtype=object)
    padded[: len(areas)] = areas
    return padded


def _solid(areas: Areas) -> Areas:
    """`areas` without the points and lines that a boolean leaves."""
    mixed = np.flatnonzero(shapely.get_type_id(areas) == shapely.GeometryType.GEOMETRYCOLLECTION)
    for i in mixed:
        parts = shapely.get_parts(areas[i])
        areas[i] = shapely.union_all(parts[shapely.get_dimensions(parts) == 2])
    return areas
