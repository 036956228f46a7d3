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

from standclear.sweeps.areas import EMPTY, Areas, commons, lesses, solid, unions


def first_touch(strikes: Areas, cuts: Areas) -> Areas:
    """For each item the area it is the first to enter and nothing cut before: (n,) from (n,), (n,).

    Areas of a point or a line are dropped, none other. The union of the answer is the keep-out
    (`strikes` of rapids and holders, `cuts` of edges); with strikes = cuts it is each item's own
    share of what is cut.
    """
    n = len(strikes)
    if n == 0:
        return strikes
    strike_levels = _levels(strikes)
    cut_levels = strike_levels if cuts is strikes else _levels(cuts)
    node = np.zeros(1, dtype=np.int64)
    left_over = strike_levels[-1].copy()
    for strike, cut in zip(strike_levels[-2::-1], cut_levels[-2::-1], strict=True):
        left, right = 2 * node, 2 * node + 1
        own = commons(left_over, strike[left])
        after = lesses(left_over, strike[left])
        if cut is not strike:
            after = lesses(after, cut[left])
        passed = commons(after, strike[right])
        node = np.concatenate([left, right])
        left_over = np.concatenate([own, passed])
        alive = shapely.area(left_over) > 0
        node, left_over = node[alive], left_over[alive]
    touched = np.full(n, EMPTY, dtype=object)
    touched[node] = left_over
    return touched


def _levels(areas: Areas) -> list[Areas]:
    """The tree of unions over `areas`, from the items, padded to a power of two, to the root."""
    size = 1 << max(0, (len(areas) - 1).bit_length())
    padded = np.full(size, EMPTY, dtype=object)
    padded[: len(areas)] = solid(areas)
    levels = [padded]
    while len(levels[-1]) > 1:
        levels.append(unions(levels[-1][0::2], levels[-1][1::2]))
    return levels
