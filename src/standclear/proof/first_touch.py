"""First touch: which of a sequence of items is the first to strike each point, before it is cut.

Items stand in order. Item i strikes what it holds of `strikes` and earlier items have not cut, then
cuts what it holds of `cuts`. What all of them strike is the keep-out. Found by halves: for two
neighbours, left before right,

    K(both) = K(left) union ( K(right) minus F(left) )        F(both) = F(left) union F(right)

so a binary tree over the items gives the keep-out at its root, each level a few array booleans
over all its nodes. Who strikes a point first is read off the same tree from the root down: what
lies in K(left) belongs to the left, the rest to the right.
"""

from __future__ import annotations

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from standclear.sweeps.areas import (
    EMPTY,
    NOISE_MM,
    Areas,
    common,
    commons,
    lesses,
    solid,
    thickness,
    unions,
    without_noise,
)

Tree = tuple[Areas, ...]
"""K of every node: the items' own first, padded to a power of two, the root's last."""


def keep_tree(strikes: Areas, cuts: Areas) -> Tree:
    """K of every node over the items; `strikes` and `cuts` are (n,), n at least 1."""
    keep, cut = _padded(strikes), _padded(cuts)
    tree = [keep]
    last = len(strikes) - 1
    while len(keep) > 1:
        keep = unions(keep[0::2], lesses(keep[1::2], cut[0::2]))
        last //= 2
        cut = _joined(cut, last)
        tree.append(keep)
    return tuple(tree)


def owners(tree: Tree, region: BaseGeometry, count: int) -> Areas:
    """(count,) for each item what of `region` it is the first to strike; `count` items were given.

    Areas narrower than `NOISE_MM` are lines that float arithmetic has given a width, and dropped;
    none other is.
    """
    size = len(tree[0])
    node = np.zeros(1, dtype=np.int64)
    root = tree[-1][0]
    left_over = np.array([root if region is root else common(root, region)], dtype=object)
    whole = np.array([region is root])
    for keep in tree[-2::-1]:
        left, right = 2 * node, 2 * node + 1
        node = np.concatenate([left, right])
        # Of a node's own K the left one keeps its own.
        of_left = keep[left]
        of_left[~whole] = commons(left_over[~whole], of_left[~whole])
        left_over = np.concatenate([of_left, lesses(left_over, keep[left])])
        whole = np.concatenate([whole, np.zeros(len(whole), dtype=bool)])
        alive = (thickness(left_over) > NOISE_MM) & (node * (size // len(keep)) < count)
        node, left_over, whole = node[alive], left_over[alive], whole[alive]
    touched = np.full(count, EMPTY, dtype=object)
    touched[node] = left_over
    return touched


def first_cut(cuts: Areas) -> Areas:
    """(n,) for each item what of its cut no earlier one has cut.

    Everything before an item lies in the left nodes beside its way up the tree. They are taken off
    the item's own cut from the smallest to the largest: most of them lie nowhere near what is
    left of it by then.
    """
    if len(cuts) < 2:
        return cuts
    own = solid(cuts).copy()
    item = np.arange(len(own))
    left, last = _padded(cuts), len(own) - 1
    while len(left) > 1:
        after = np.flatnonzero(item % 2)
        before = left[item[after] - 1]
        shapely.prepare(left[0::2])
        met = shapely.intersects(before, own[after])
        shapely.destroy_prepared(left[0::2])
        own[after[met]] = lesses(own[after[met]], before[met])
        item //= 2
        last //= 2
        left = _joined(left, last)
    return _wide(own)


def _joined(cut: Areas, last: int) -> Areas:
    """Union of every two neighbours; that of the pair `last`, after which nothing comes, is never
    asked for and left empty, as those behind it are."""
    joined = np.full(len(cut) // 2, EMPTY, dtype=object)
    joined[:last] = unions(cut[0 : 2 * last : 2], cut[1 : 2 * last : 2])
    return joined


def _wide(areas: Areas) -> Areas:
    """`areas` without parts narrower than `NOISE_MM`."""
    parts, owner = without_noise(areas)
    wide = np.bincount(owner, minlength=len(areas))
    less_now = wide != shapely.get_num_geometries(areas)
    made = areas.copy()
    made[less_now] = EMPTY
    kept = less_now[owner]
    if kept.any():
        used, dense = np.unique(owner[kept], return_inverse=True)
        made[used] = shapely.multipolygons(parts[kept], indices=dense)
    return made


def _padded(areas: Areas) -> Areas:
    size = 1 << max(0, (len(areas) - 1).bit_length())
    padded = np.full(size, EMPTY, dtype=object)
    padded[: len(areas)] = solid(areas)
    return padded
