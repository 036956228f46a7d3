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
)

Tree = tuple[Areas, ...]
"""K of every node: the items' own first, padded to a power of two, the root's last."""


def keep_tree(strikes: Areas, cuts: Areas) -> Tree:
    """K of every node over the items; `strikes` and `cuts` are (n,), n at least 1.

    Pass the same array twice for items that cut all that they hold: then K is plain union.
    """
    same = cuts is strikes
    keep, cut = _padded(strikes), EMPTY if same else _padded(cuts)
    tree = [keep]
    while len(keep) > 1:
        if same:
            keep = unions(keep[0::2], keep[1::2])
        else:
            keep = unions(keep[0::2], lesses(keep[1::2], cut[0::2]))
            cut = unions(cut[0::2], cut[1::2])
        tree.append(keep)
    return tuple(tree)


def owners(tree: Tree, region: BaseGeometry, count: int) -> Areas:
    """(count,) for each item what of `region` it is the first to strike; `count` items were given.

    Areas narrower than `NOISE_MM` are lines that float arithmetic has given a width, and dropped;
    none other is.
    """
    size = len(tree[0])
    node = np.zeros(1, dtype=np.int64)
    left_over = np.array([common(tree[-1][0], region)], dtype=object)
    for keep in tree[-2::-1]:
        left, right = 2 * node, 2 * node + 1
        node = np.concatenate([left, right])
        left_over = np.concatenate([commons(left_over, keep[left]), lesses(left_over, keep[left])])
        alive = (thickness(left_over) > NOISE_MM) & (node * (size // len(keep)) < count)
        node, left_over = node[alive], left_over[alive]
    touched = np.full(count, EMPTY, dtype=object)
    touched[node] = left_over
    return touched


def first_touch(strikes: Areas, cuts: Areas) -> Areas:
    """(n,) for each item the area it is the first to strike and nothing cut before.

    With the same array given twice it is each item's own share of what is cut.
    """
    if len(strikes) == 0:
        return strikes
    tree = keep_tree(strikes, cuts)
    return owners(tree, tree[-1][0], len(strikes))


def _padded(areas: Areas) -> Areas:
    size = 1 << max(0, (len(areas) - 1).bit_length())
    padded = np.full(size, EMPTY, dtype=object)
    padded[: len(areas)] = solid(areas)
    return padded
