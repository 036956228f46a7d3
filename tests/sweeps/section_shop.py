"""Tools and tables of motions made by hand, in the section (z, r), mm.

A row is (kind, path, start, end); the spindle turns forward and every tool cuts with that.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from standclear.motions.table import Kind, Motions, Path, Spindle
from standclear.proof.keep_out import KeepOut, keep_out
from standclear.sweeps.sweep import Tooling
from standclear.tools.shape import ToolShape

Point = tuple[float, float]
Row = tuple[Kind, Path, Point, Point]
LIMIT = 0.005
REACH = (-60.0, 0.0, 60.0, 60.0)


def shape(
    points: Sequence[Point], cutting: Sequence[int], part: Sequence[Point] | None = None
) -> ToolShape:
    """A tool of straight edges, so that its outer and inner outlines are the same. `part` is the
    convex cutting part, the whole where left out."""
    outline = np.array(points, dtype=float)
    cuts = np.zeros(len(outline), dtype=bool)
    cuts[list(cutting)] = True
    convex = np.array(points if part is None else part, dtype=float)
    return ToolShape(outline, cuts, outline, cuts, convex, 0.0, "outline")


SQUARE = shape([(0, 0), (10, 0), (10, 10), (0, 10)], [0, 3])
"""Ten by ten, its controlled point at the corner next to chuck and axis; cuts with the faces
towards both."""
TURNING = shape(
    [(0, 0), (10, 1), (12, 12), (30, 12), (30, 60), (1, 60), (1, 12)],
    [0, 6],
    [(0, 0), (10, 1), (12, 12), (1, 12)],
)
GROOVING = shape(
    [(0, 0), (3, 0), (3, 2), (3, 12), (9, 12), (9, 60), (-6, 60), (-6, 12), (0, 12), (0, 2)],
    [0, 1, 9],
    [(0, 0), (3, 0), (3, 2), (0, 2)],
)
BORING = shape(
    [(0, 0), (0.3, -3), (0.5, -13), (60, -13), (60, -1.5), (4, -1.2)],
    [0, 5],
    [(0, 0), (0.3, -3), (4, -1.2)],
)
DRILL = shape(
    [(0, 0), (3, 5), (40, 5), (40, 12), (60, 12), (60, -12), (40, -12), (40, -5), (3, -5)][::-1],
    [7, 8],
    [(0, 0), (3, -5), (40, -5), (40, 5), (3, 5)],
)
"""Ten across, its point on the controlled point; edges run from the point to the corners."""
HOOKED = shape(
    [(0, 0), (10, 1), (12, 12), (30, 12), (30, 60), (3, 60), (3, 14), (-1, 12)],
    [0, 7],
    [(0, 0), (10, 1), (12, 12), (-1, 12)],
)
"""Its holder is hollow between z 3 and the cutting part that leads."""
NECKED = shape(
    [(0, 0), (6, 0.4), (20, 3.4), (20, 60), (0.7, 60), (0.7, 2.8), (0.2, 1.8)],
    [0, 6],
    [(0, 0), (6, 0.4), (0.2, 1.8)],
)
"""Low over its cutting part, which the neck behind it overhangs."""
TOOLS = {
    "square": SQUARE,
    "turning": TURNING,
    "grooving": GROOVING,
    "boring": BORING,
    "drill": DRILL,
    "hooked": HOOKED,
    "necked": NECKED,
}


def appear(at: Point) -> Row:
    return Kind.APPEAR, Path.STRAIGHT, at, at


def rapid(start: Point, end: Point) -> Row:
    return Kind.RAPID, Path.STRAIGHT, start, end


def anyhow(start: Point, end: Point) -> Row:
    """A rapid known only by its rectangle."""
    return Kind.RAPID, Path.ANYWHERE, start, end


def feed(start: Point, end: Point) -> Row:
    return Kind.FEED, Path.STRAIGHT, start, end


def table(
    rows: Sequence[Row],
    *,
    tool: Sequence[int] | None = None,
    spindle: int = Spindle.FORWARD,
    call: Sequence[int] | None = None,
    variant: Sequence[int] | None = None,
    credited: Sequence[bool] | None = None,
    crest: Sequence[float] | None = None,
) -> Motions:
    """The rows as a table; what is left out is the same in every row."""
    n = len(rows)
    zeros = np.zeros(n)
    return Motions(
        kind=np.array([r[0] for r in rows], dtype=np.int8),
        path=np.array([r[1] for r in rows], dtype=np.int8),
        start=np.array([r[2] for r in rows], dtype=float).reshape(-1, 2),
        end=np.array([r[3] for r in rows], dtype=float).reshape(-1, 2),
        sagitta=zeros,
        tool=np.array(tool if tool is not None else zeros, dtype=np.int16),
        block=np.arange(n, dtype=np.int32),
        profile=np.full(n, -1, dtype=np.int32),
        call=np.array(call if call is not None else np.full(n, -1), dtype=np.int32),
        variant=np.array(variant if variant is not None else zeros, dtype=np.int16),
        credited=np.array(credited if credited is not None else np.ones(n), dtype=bool),
        crest=np.array(crest if crest is not None else zeros, dtype=float),
        compensated=np.zeros(n, dtype=bool),
        spindle=np.full(n, spindle, dtype=np.int8),
        feed=zeros,
        feed_mode=np.zeros(n, dtype=np.int8),
        speed=zeros,
        speed_mode=np.zeros(n, dtype=np.int8),
        clamp=np.full(n, np.inf),
        coolant=np.ones(n, dtype=bool),
    )


def keep_out_of(tool: ToolShape, rows: Sequence[Row], limit: float = LIMIT) -> KeepOut:
    """The keep-out of one tool's motions."""
    return keep_out(table(rows), [Tooling(tool, Spindle.FORWARD)], [0.0], limit, REACH)


def keep_out_area(tool: ToolShape, rows: Sequence[Row]) -> BaseGeometry:
    """The keep-out as one area."""
    return shapely.union_all(keep_out_of(tool, rows).areas)


def strikes(tool: ToolShape, rows: Sequence[Row], blank: shapely.Polygon) -> list[int]:
    """Numbers of the motions that strike a blank."""
    return keep_out_of(tool, rows).layers[0].first_strikes(blank)


def polygon_of(tool: ToolShape) -> shapely.Polygon:
    return shapely.Polygon(tool.outer)
