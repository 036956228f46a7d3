"""Rounded corners: what a control that does not stop between two rapids may cut off.

Where both ways are known and long enough, the tool stays in the triangle that the bound marks on
them. Where a way is known only by its rectangle, or is one leg of a bent rapid that ends within the
bound, the tool is somewhere within the bound of the corner: a square is swept.
"""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray

from standclear.motions.table import Kind, Motions, Path
from standclear.sweeps.chain import Pieces, join_pieces, no_pieces
from standclear.sweeps.outline import Outline
from standclear.sweeps.strike import anywhere_sweeps, body_sweeps, standing


def rounded_corners(
    body: tuple[Outline, ...], motions: Motions, tool: int, within: float
) -> Pieces:
    """What the corners of one tool's rapids sweep, belonging to the second; `within` in mm."""
    first, second = _neighbours(motions)
    both = (
        (motions.tool[first] == tool)
        & (motions.tool[second] == tool)
        & (motions.kind[first] == Kind.RAPID)
        & (motions.kind[second] == Kind.RAPID)
    )
    first, second = first[both], second[both]
    if len(first) == 0:
        return no_pieces()
    known = _known(motions, first, within) & _known(motions, second, within)
    parts = []
    for mask, pieces in ((known, _triangles), (~known, _squares)):
        polygons, local = pieces(body, motions, first[mask], second[mask], within)
        parts.append((polygons, second[mask][local]))
    return join_pieces(parts)


def _neighbours(motions: Motions) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Pairs of rows that the tool runs one after the other. Of a call with several readings each
    one follows what comes before the call and leads to what comes after it."""
    rows = np.arange(len(motions))
    pairs = [np.column_stack([rows[:-1], rows[1:]])]
    for call in np.unique(motions.call[motions.variant > 0]):
        mine = np.flatnonzero(motions.call == call)
        begins = mine[np.diff(motions.variant[mine], prepend=-1) != 0]
        ends = mine[np.diff(motions.variant[mine], append=-1) != 0]
        if mine[0] > 0:
            pairs.append(np.column_stack([np.full(len(begins), mine[0] - 1), begins]))
        if mine[-1] < len(motions) - 1:
            pairs.append(np.column_stack([ends, np.full(len(ends), mine[-1] + 1)]))
    first, second = np.unique(np.concatenate(pairs), axis=0).T
    joined = (motions.end[first] == motions.start[second]).all(axis=1)
    return first[joined], second[joined]


def _known(motions: Motions, rows: NDArray[np.int64], within: float) -> NDArray[np.bool_]:
    """Ways that are straight, and outside cycles no shorter than the bound."""
    way = motions.end[rows] - motions.start[rows]
    known: NDArray[np.bool_] = (motions.path[rows] == Path.STRAIGHT) & (
        (motions.call[rows] >= 0) | (np.hypot(way[:, 0], way[:, 1]) >= within)
    )
    return known


def _triangles(
    body: tuple[Outline, ...],
    motions: Motions,
    first: NDArray[np.int64],
    second: NDArray[np.int64],
    within: float,
) -> Pieces:
    corner = motions.end[first]
    before = _towards(corner, motions.start[first], within)
    after = _towards(corner, motions.end[second], within)
    parts = [body_sweeps(body, before, after)]
    for outline in body:
        triangle = np.stack([before, corner, after], axis=1) + outline.points[0]
        polygons = shapely.polygons(triangle)
        solid = np.flatnonzero(shapely.area(polygons) > 0)
        parts.append((shapely.orient_polygons(polygons[solid]), solid))
    return join_pieces(parts)


def _squares(
    body: tuple[Outline, ...],
    motions: Motions,
    first: NDArray[np.int64],
    second: NDArray[np.int64],
    within: float,
) -> Pieces:
    low, high = motions.end[first] - within, motions.end[first] + within
    return join_pieces([standing(body, low), anywhere_sweeps(body, low, high)])


def _towards(
    from_: NDArray[np.float64], to: NDArray[np.float64], at_most: float
) -> NDArray[np.float64]:
    way = to - from_
    length = np.hypot(way[:, 0], way[:, 1])
    share = np.minimum(at_most, length) / np.where(length > 0, length, 1.0)
    point: NDArray[np.float64] = from_ + share[:, None] * way
    return point
