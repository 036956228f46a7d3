"""R: what must not meet metal.

A rapid sweeps with every edge that leads. In a feed only edges that do not cut count, and of those
only what reaches a point before a cutting edge does: an edge beside the cutting edges strikes all
along its way, one ahead of them likewise, one behind them only as far as the place where they
started.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from standclear.sweeps.chain import (
    Pieces,
    by_pattern,
    join_pieces,
    leading,
    no_pieces,
    runs_of,
    sweep_chains,
)
from standclear.sweeps.outline import Outline

AHEAD = 1e-6
"""Millimetres by which an edge must stand before the cutting edges to count as ahead of them."""

AT_ONCE = 500
"""Motions whose edges are laid out beside the cutting edges at once: more of them take room and no
less time."""


def body_sweeps(
    outlines: tuple[Outline, ...],
    start: NDArray[np.float64],
    end: NDArray[np.float64],
) -> Pieces:
    """What the whole tool enters on straight ways from `start` to `end`, (m, 2) mm."""
    if len(start) == 0:
        return no_pieces()
    travel = end - start
    return join_pieces([sweep_chains(o, leading(o, travel), start, end) for o in outlines])


def standing(outlines: tuple[Outline, ...], at: NDArray[np.float64]) -> Pieces:
    """The whole tool standing at `at`, (m, 2) mm."""
    rows = np.arange(len(at), dtype=np.int64)
    return join_pieces(
        [(shapely.polygons(at[:, None, :] + o.points[None]), rows) for o in outlines]
    )


def anywhere_sweeps(
    outlines: tuple[Outline, ...],
    start: NDArray[np.float64],
    end: NDArray[np.float64],
) -> Pieces:
    """What the whole tool may enter on any way inside the rectangle from `start` to `end`.

    A point that some place of the tool in the rectangle covers is covered by a place on the
    rectangle's edge, or lies where the whole tool fits between the edges: then it lies in the
    rectangle run by any one point of the tool. So four straight ways and one rectangle do.
    """
    if len(start) == 0:
        return no_pieces()
    z_first = np.column_stack([end[:, 0], start[:, 1]])
    r_first = np.column_stack([start[:, 0], end[:, 1]])
    parts = [
        body_sweeps(outlines, a, b)
        for a, b in ((start, z_first), (z_first, end), (start, r_first), (r_first, end))
    ]
    for outline in outlines:
        corner = np.stack([start, z_first, end, r_first], axis=1) + outline.points[0]
        area = np.prod(np.abs(end - start), axis=1)
        rows = np.flatnonzero(area > 0)
        parts.append((shapely.polygons(corner[rows]), rows))
    return join_pieces(parts)


def following_sweeps(
    body: tuple[Outline, ...],
    edges: tuple[Outline, ...],
    start: NDArray[np.float64],
    end: NDArray[np.float64],
) -> Pieces:
    """What the edges that do not cut reach before a cutting edge does, on feeds (m, 2) mm.

    `body` is the tool inset by the contact limit, `edges` the outline whose cutting edges cut.
    Edges of `body` that lie behind a cutting edge they belong to follow it and add nothing.
    """
    if not edges:
        return body_sweeps(body, start, end)
    travel = end - start
    moving = np.flatnonzero(np.hypot(travel[:, 0], travel[:, 1]) > 0)
    if len(moving) == 0:
        return no_pieces()
    start, travel = start[moving], travel[moving]
    parts: list[Pieces] = []
    for outline in body:
        leads = leading(outline, travel)
        for cutting in edges:
            active = leading(cutting, travel) & cutting.cuts[None, :]
            key = np.concatenate([active, leads], axis=1)
            for pattern, alike in by_pattern(key):
                n_cut = len(cutting.points)
                chains = [_chain(cutting, run) for run in runs_of(pattern[:n_cut])]
                for first in range(0, len(alike), AT_ONCE):
                    rows = alike[first : first + AT_ONCE]
                    found, local = _uncovered(
                        outline, pattern[n_cut:], chains, start[rows], travel[rows]
                    )
                    parts.append((found, moving[rows[local]]))
    return join_pieces(parts)


def _chain(outline: Outline, run: NDArray[np.int64]) -> NDArray[np.float64]:
    points: NDArray[np.float64] = outline.points[
        np.append(run, (run[-1] + 1) % len(outline.points))
    ]
    return points


@dataclass(frozen=True)
class _Edges:
    """Leading edges of an outline on each motion, in a frame that turns with the travel.

    Arrays are (edges, motions): `ahead` along the travel, `across` to its left, at either end of
    the edge; `across` rises from the first end to the second.
    """

    ahead: tuple[NDArray[np.float64], NDArray[np.float64]]
    across: tuple[NDArray[np.float64], NDArray[np.float64]]

    def only(self, which: NDArray[np.bool_]) -> _Edges:
        """The edges marked in `which`, (edges,)."""
        a, b = self.ahead, self.across
        return _Edges((a[0][which], a[1][which]), (b[0][which], b[1][which]))

    def repeated(self, times: int) -> _Edges:
        """All edges, `times` over."""
        a, b = (
            tuple(np.tile(end, (times, 1)) for end in ends) for ends in (self.ahead, self.across)
        )
        return _Edges((a[0], a[1]), (b[0], b[1]))

    def ahead_at(self, across: NDArray[np.float64]) -> NDArray[np.float64]:
        """How far ahead each edge lies at `across`."""
        return _line(*self.ahead, *self.across, across)


@dataclass(frozen=True)
class _Strip:
    """A stretch of each edge on each motion and how far forward it reaches at either side."""

    low: NDArray[np.float64]
    high: NDArray[np.float64]
    reach_low: NDArray[np.float64]
    reach_high: NDArray[np.float64]

    @staticmethod
    def stacked(strips: Sequence[_Strip]) -> _Strip:
        """All strips as one, the edges of the first before those of the second."""
        return _Strip(
            np.concatenate([s.low for s in strips]),
            np.concatenate([s.high for s in strips]),
            np.concatenate([s.reach_low for s in strips]),
            np.concatenate([s.reach_high for s in strips]),
        )


def _uncovered(
    outline: Outline,
    leads: NDArray[np.bool_],
    chains: list[NDArray[np.float64]],
    start: NDArray[np.float64],
    travel: NDArray[np.float64],
) -> Pieces:
    """Quadrilaterals that the leading edges of `outline` reach before any of `chains` does.

    All rows share one pattern of leading edges.
    """
    length = np.hypot(travel[:, 0], travel[:, 1])
    forward = travel / length[:, None]
    leftward = np.column_stack([-forward[:, 1], forward[:, 0]])
    index = np.flatnonzero(leads)
    first, last = outline.points[index], np.roll(outline.points, -1, axis=0)[index]
    edges = _Edges((first @ forward.T, last @ forward.T), (first @ leftward.T, last @ leftward.T))
    whole = np.broadcast_to(length, edges.ahead[0].shape)
    body = ~outline.cuts[index]
    runs = [(chain @ forward.T, chain @ leftward.T) for chain in chains]
    parts: list[Pieces] = []

    def add(of: _Edges, strip: _Strip) -> None:
        parts.append(_quadrilaterals(of, strip, start, forward, leftward))

    free_from = edges.across[0]
    for run_ahead, run_across in sorted(runs, key=lambda r: float(r[1][0].min())):
        low = np.clip(run_across[0], *edges.across)
        high = np.clip(run_across[-1], *edges.across)
        add(edges, _Strip(np.minimum(free_from, low), low, whole, whole))
        free_from = np.maximum(free_from, high)
        if (high > low)[body].any():
            behind = edges.only(body)
            strips = _behind(behind, run_ahead, run_across, whole[body])
            add(behind.repeated(len(strips)), _Strip.stacked(strips))
    add(edges, _Strip(free_from, edges.across[1], whole, whole))
    return join_pieces(parts)


def _behind(
    edges: _Edges,
    run_ahead: NDArray[np.float64],
    run_across: NDArray[np.float64],
    length: NDArray[np.float64],
) -> list[_Strip]:
    """The parts of edges beside a chain, strip by strip between the chain's points: each reaches
    as far as the gap to the chain, where its wake begins, or to the end of the motion where that
    comes first; all the way where it stands before the chain.

    The gap runs straight from side to side of a strip, so a strip is parted where the gap is as
    long as the motion, and both its parts are exact.
    """
    strips = []
    for j in range(len(run_ahead) - 1):
        low = np.clip(run_across[j], *edges.across)
        high = np.clip(run_across[j + 1], *edges.across)
        gaps = [
            _line(run_ahead[j], run_ahead[j + 1], run_across[j], run_across[j + 1], at)
            - edges.ahead_at(at)
            for at in (low, high)
        ]
        before = np.minimum(*gaps) < -AHEAD
        reach_low, reach_high = (
            np.where(before, length, np.clip(gap, 0.0, length)) for gap in gaps
        )
        crosses = ~before & ((gaps[0] > length) != (gaps[1] > length))
        run = np.where(crosses, gaps[1] - gaps[0], 1.0)
        middle = np.where(crosses, low + (high - low) * (length - gaps[0]) / run, high)
        reach_middle = np.where(crosses, length, reach_high)
        strips.append(_Strip(low, middle, reach_low, reach_middle))
        strips.append(_Strip(middle, high, reach_middle, reach_high))
    return strips


def _line(
    y0: NDArray[np.float64],
    y1: NDArray[np.float64],
    x0: NDArray[np.float64],
    x1: NDArray[np.float64],
    x: NDArray[np.float64],
) -> NDArray[np.float64]:
    """y at x on the line through (x0, y0) and (x1, y1); y0 where the line has no run."""
    run = np.where(x1 > x0, x1 - x0, 1.0)
    share: NDArray[np.float64] = y0 + (y1 - y0) * np.where(x1 > x0, (x - x0) / run, 0.0)
    return share


def _quadrilaterals(
    edges: _Edges,
    strip: _Strip,
    start: NDArray[np.float64],
    forward: NDArray[np.float64],
    leftward: NDArray[np.float64],
) -> Pieces:
    """Each strip moved forward by its reach; where that is nothing it drops out."""
    some = (strip.high > strip.low) & (np.maximum(strip.reach_low, strip.reach_high) > 0)
    rows = np.nonzero(some)[1]
    if len(rows) == 0:
        return no_pieces()
    corners = []
    for side, extra in (
        (strip.low, 0.0),
        (strip.low, strip.reach_low),
        (strip.high, strip.reach_high),
        (strip.high, 0.0),
    ):
        ahead, across = (edges.ahead_at(side) + extra)[some], side[some]
        corners.append(
            start[rows] + ahead[:, None] * forward[rows] + across[:, None] * leftward[rows]
        )
    return shapely.polygons(np.stack(corners, axis=1)), rows.astype(np.int64)
