"""Threads as ISO 6410-1 wants them: crests wide, roots narrow, a wide line where the thread ends.

In a section the hatching goes on to the crests, which are the metal's own outline here.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

import shapely
from shapely.geometry import LineString
from shapely.geometry.base import BaseGeometry

from standclear.drawing.inks import Ink
from standclear.drawing.shapes import Line
from standclear.drawing.view import View, line_shapes, outline, polygons

INSIDE_MM = 0.01
"""How far within the metal an edge of the thread must lie to be its root or its end."""
STEEPEST = 0.5
"""Of a root: rise over run. The flank of the last groove, at 60 degrees or less, is steeper."""


def thread_lines(view: View, threads: BaseGeometry, metal: BaseGeometry) -> Iterator[Line]:
    """Root and end of every thread in `metal`; `threads` is the part of it that they wind through,
    (z, r) in mm."""
    inner = metal.buffer(-INSIDE_MM)
    for thread in polygons(threads):
        root = _root(thread, inner)
        if root is None:
            continue
        yield from line_shapes(view.clipped(root), Ink.THREAD)
        for end in _ends(root, thread, inner):
            yield from line_shapes(view.clipped(end), Ink.OUTLINE)


def _root(thread: BaseGeometry, inner: BaseGeometry) -> LineString | None:
    """The line that the tips of the grooves lie on, as long as the thread; None without one."""
    edges = outline(thread).intersection(inner)
    flat = []
    for part in shapely.get_parts(edges):
        points = shapely.get_coordinates(part)
        for (z0, r0), (z1, r1) in pairwise(points):
            if abs(r1 - r0) <= STEEPEST * abs(z1 - z0):
                flat += [(z0, r0), (z1, r1)]
    if not flat:
        return None
    first, last = min(flat), max(flat)
    return LineString([first, last]) if last[0] - first[0] > INSIDE_MM else None


def _ends(root: LineString, thread: BaseGeometry, inner: BaseGeometry) -> Iterator[LineString]:
    """Across the thread from root to crest where plain metal of the crest's diameter goes on."""
    (z0, _), (z1, _) = root.coords
    _, r_low, _, r_high = thread.bounds
    for z, r, beyond in (
        (z0, root.coords[0][1], z0 - (r_high - r_low)),
        (z1, root.coords[1][1], z1 + (r_high - r_low)),
    ):
        crest = r_high if abs(r - r_low) < abs(r - r_high) else r_low
        near_crest = crest + 0.1 * (r - crest)
        if inner.intersects(shapely.Point(beyond, near_crest)):
            yield LineString([(z, r), (z, crest)])
