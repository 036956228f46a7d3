"""What the edges of an outline sweep on a straight move.

The edges of an outline that face the way it travels form chains, each of which runs steadily
across the travel. A chain sweeps the polygon between where it starts and where it ends: no hull and
no boolean is needed, and a whole table of motions is done by array arithmetic.
"""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray

from standclear.sweeps.outline import Outline

GRAZING = 1e-9
"""Cosine below which an edge counts as moving along itself: it sweeps no area."""

Pieces = tuple[NDArray[np.object_], NDArray[np.int64]]
"""Polygons, and for each the row (of the arrays given) that sweeps it."""


def no_pieces() -> Pieces:
    """No polygon at all."""
    return np.empty(0, dtype=object), np.empty(0, dtype=np.int64)


def join_pieces(parts: list[Pieces]) -> Pieces:
    """All pieces of `parts`, in order of row."""
    if not parts:
        return no_pieces()
    polygons = np.concatenate([p for p, _ in parts])
    rows = np.concatenate([r for _, r in parts])
    order = np.argsort(rows, kind="stable")
    return polygons[order], rows[order]


def leading(outline: Outline, travel: NDArray[np.float64]) -> NDArray[np.bool_]:
    """(m, n): edge n of `outline` faces forward on travel m; `travel` is (m, 2), mm."""
    length = np.hypot(travel[:, 0], travel[:, 1])
    unit = travel / np.where(length > 0, length, 1.0)[:, None]
    faces: NDArray[np.bool_] = unit @ outline.normals.T > GRAZING
    return faces


def runs_of(mask: NDArray[np.bool_]) -> list[NDArray[np.int64]]:
    """Cyclic runs of True in a (n,) mask: for each the indices of its edges in order."""
    marked = np.flatnonzero(mask)
    if len(marked) in (0, len(mask)):
        return [marked] if len(marked) else []
    ends = (np.flatnonzero(marked[1:] > marked[:-1] + 1) + 1).tolist()
    runs = [marked[a:b] for a, b in zip([0, *ends], [*ends, len(marked)], strict=True)]
    if not mask[0]:
        return runs
    # The run at the head stands last: it goes on from the one at the end where that reaches it.
    if mask[-1]:
        return [*runs[1:-1], np.concatenate([runs[-1], runs[0]])]
    return [*runs[1:], runs[0]]


def by_pattern(mask: NDArray[np.bool_]) -> list[tuple[NDArray[np.bool_], NDArray[np.int64]]]:
    """Rows of a (m, n) mask grouped by their pattern: (pattern, indices of its rows)."""
    if mask.size == 0:
        return []
    packed = np.packbits(mask, axis=1)
    rows: dict[bytes, list[int]] = {}
    for row, pattern in enumerate(packed.view(f"V{packed.shape[1]}").ravel().tolist()):
        rows.setdefault(pattern, []).append(row)
    return [(mask[same[0]], np.array(same, dtype=np.int64)) for same in rows.values()]


def sweep_chains(
    outline: Outline,
    edges: NDArray[np.bool_],
    start: NDArray[np.float64],
    end: NDArray[np.float64],
) -> Pieces:
    """What the marked edges sweep.

    `edges` is (m, n), marks edges of `outline` that lead on move m; `start` and `end` are (m, 2),
    mm: where the controlled point starts and ends. The area is swept between the edges' first and
    last place, to the last bit: where one move ends and the next begins, their areas join. The
    tool's own body at the start is not part of it.
    """
    parts: list[Pieces] = []
    n = len(outline.points)
    for pattern, rows in by_pattern(edges):
        for run in runs_of(pattern):
            chain = outline.points[np.append(run, (run[-1] + 1) % n)]
            at_start = start[rows][:, None, :] + chain[None]
            at_end = end[rows][:, None, :] + chain[None]
            ring = np.concatenate([at_end, at_start[:, ::-1]], axis=1)
            parts.append((shapely.polygons(ring), rows.astype(np.int64)))
    return join_pieces(parts)
