"""The ways of a program: the line of every motion, each with its number and its block."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import shapely
from numpy.typing import NDArray

from standclear.drawing.inks import Ink
from standclear.drawing.shapes import Group
from standclear.drawing.view import View, line_shapes
from standclear.motions.table import FAR, Kind, Motions, Path
from standclear.proof.result import SetupProof


def ways(view: View, setup: SetupProof, shown: NDArray[np.bool_]) -> Iterator[Group]:
    """A group `way` for each run of motions that one block draws as one line: the chords of an arc
    together, every motion of a cycle by itself. `shown` (n,) says which motions are wanted: of a
    cycle with several readings all ways at once could not be told apart.

    Its data: `motion`, the number of the last motion of the run, and `first`, that of its first;
    `line` of the block and `file` where that is not the set-up's program; `kind`, `rapid` or
    `feed`. Motions from or to a place known only to lie beyond the work are left out.
    """
    motions = setup.trace.motions
    found = [run for run in runs(motions) if shown[run[1]]]
    laid = [view.laid_points(_points(motions, first, last)) for first, last in found]
    paper = shapely.box(*view.paper)
    seen = shapely.intersection(np.array([shapely.linestrings(p) for p in laid]), paper)
    for (first, last), line in zip(found, seen, strict=True):
        if line.is_empty:
            continue
        rapid = motions.kind[last] == Kind.RAPID
        ink = Ink.RAPID_WAY if rapid else Ink.FEED_WAY
        data = [
            ("motion", str(last)),
            ("first", str(first)),
            ("kind", "rapid" if rapid else "feed"),
        ]
        block = int(motions.block[last])
        if 0 <= block < len(setup.program.blocks):
            written = setup.program.blocks[block]
            data.append(("line", str(written.line)))
            if written.file:
                data.append(("file", written.file))
        yield Group("way", tuple(line_shapes(line, ink)), tuple(data))


def runs(motions: Motions, *, from_afar: bool = False) -> Iterator[tuple[int, int]]:
    """First and last row of each line to draw: the chords of an arc are one.

    `from_afar` counts those in too whose start is not known, and places where a tool appears.
    """
    count = len(motions)
    if count == 0:
        return
    starts, ends = ((np.abs(at) < FAR / 2).all(axis=1) for at in (motions.start, motions.end))
    drawn = starts & ends & (motions.kind != Kind.APPEAR)
    joined = _joined(motions) & drawn[1:] & drawn[:-1]
    if from_afar:
        drawn = ends
    first_rows = np.flatnonzero(np.concatenate([[True], ~joined]))
    last_rows = np.append(first_rows[1:], count) - 1
    for first, last in zip(first_rows.tolist(), last_rows.tolist(), strict=True):
        if drawn[first]:
            yield first, last


def _joined(motions: Motions) -> NDArray[np.bool_]:
    """(n - 1,): whether a row goes on in the line of the row before it."""
    same = np.ones(len(motions) - 1, dtype=np.bool_)
    for values in (motions.block, motions.kind, motions.tool):
        same &= values[1:] == values[:-1]
    straight = motions.path == Path.STRAIGHT
    same &= straight[1:] & straight[:-1] & (motions.call[1:] == -1)
    return same


def _points(motions: Motions, first: int, last: int) -> NDArray[np.float64]:
    start, end = motions.start[first], motions.end[first : last + 1]
    if motions.path[last] == Path.ANYWHERE:
        low, high = np.minimum(start, end[-1]), np.maximum(start, end[-1])
        if (high - low).min() > 0:
            around: NDArray[np.float64] = shapely.get_coordinates(shapely.box(*low, *high))
            return around
    return np.vstack([start, end])
